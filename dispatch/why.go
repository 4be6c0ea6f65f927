package dispatch

import (
	"context"
	"fmt"
	"strings"
	"time"

	"ebbline/dispatch/search"
	"ebbline/dispatch/week"
)

// Explain writes for each job that a plan leaves out why: where it would fit and what
// that costs against leaving it out, or which smallest sets of facts keep it out, each
// tried by granting them with all other jobs' tours and orders kept. The plan must be one
// of this week. The dearest jobs are looked into first; of those that ctx's end leaves no
// time for it says so.
func Explain(ctx context.Context, w *week.Week, p *week.Plan) {
	if len(p.LeftOut) == 0 {
		return
	}
	why := search.Why(ctx, w, p)
	for i := range p.LeftOut {
		l := &p.LeftOut[i]
		fits, asked := why[l.Job]
		switch {
		case asked:
			l.Reasons = reasons(w, l.Job, fits)
			l.Why = texts(w, l.Reasons)
		case ctx.Err() != nil:
			l.Why = []string{NotLookedInto}
		default:
			l.Why = []string{"Not looked into: too many jobs are left out of a very large week."}
		}
	}
}

// NotLookedInto is the reason given where the time was up.
const NotLookedInto = "Not looked into: the time was up."

// reasons writes down how a job fits, or what lets it in.
func reasons(w *week.Week, id string, fits []search.Fit) []week.Reason {
	job := &w.Jobs[0]
	for j := range w.Jobs {
		if w.Jobs[j].ID == id {
			job = &w.Jobs[j]
		}
	}
	var out []week.Reason
	for _, f := range fits {
		r := week.Reason{Tour: f.Tour, Start: f.Start, DeltaCents: f.DeltaCents}
		for _, k := range f.Facts {
			r.Facts = append(r.Facts, string(k))
		}
		r.Text, r.Customer = dispatcherText(w, job, f), customerText(w, job, f)
		out = append(out, r)
	}
	return out
}

// texts are the reasons as sentences for a dispatcher.
func texts(w *week.Week, reasons []week.Reason) []string {
	var out []string
	for i := range reasons {
		out = append(out, reasons[i].Text)
	}
	switch {
	case len(out) > 0:
		return out
	case len(w.Tours) == 0:
		return []string{"There is no crew in this week."}
	}
	return []string{"It would not fit even into empty days of all crews with everything else granted."}
}

func dispatcherText(w *week.Week, job *week.Job, f search.Fit) string {
	switch {
	case len(f.Facts) == 0 && f.DeltaCents >= 0:
		return fmt.Sprintf("It fits %s, and costs %s more than leaving it out.", at(w, f), money(f.DeltaCents))
	case len(f.Facts) == 0:
		return fmt.Sprintf("It fits %s and would save %s; the search had not come to it.", at(w, f), money(-f.DeltaCents))
	}
	var say []string
	for _, k := range f.Facts {
		say = append(say, factText(w, job, k))
	}
	text := strings.Join(say, ", and ")
	text = strings.ToUpper(text[:1]) + text[1:]
	cost := "would save " + money(-f.DeltaCents)
	if f.DeltaCents >= 0 {
		cost = "would cost " + money(f.DeltaCents) + " more than leaving it out"
	}
	return fmt.Sprintf("%s; otherwise it fits %s and %s.", text, at(w, f), cost)
}

// factText says in words how a fact keeps a job out.
func factText(w *week.Week, job *week.Job, f search.Fact) string {
	switch f {
	case search.FactSkill:
		return skillText(w, job)
	case search.FactPeople:
		return "no crew with enough people is free"
	case search.FactHours:
		return "the crews' hours are full"
	case search.FactPumps:
		return truckText(w, job)
	case search.FactDrain:
		return "the drain cannot finish before a crew could start"
	case search.FactLowLimit:
		return "the pool would stay low past its limit"
	case search.FactNotBefore:
		if job.NotBefore != nil && *job.NotBefore >= w.End {
			return "parts or papers come after the week"
		}
		if job.NotBefore != nil {
			return "it may not begin before " + clock(w, *job.NotBefore)
		}
		return "it may not begin earlier"
	case search.FactAllowed:
		if job.NotAfter != nil {
			return "its hours, or being over by " + clock(w, *job.NotAfter) + ", leave no time"
		}
		return "the hours in which its visits may start are taken"
	case search.FactClosure:
		return "a closure is in the way"
	case search.FactNotice:
		return "the customer cannot be told early enough to start the drain"
	case search.FactCommission:
		return "its visits would lie too far apart"
	default:
		return "what was pinned does not fit"
	}
}

// truckText says what a job lacks of a truck: pumps, or room for its material.
func truckText(w *week.Week, job *week.Job) string {
	room, pump := false, job.Water != nil && job.Water.Way == week.WayArrival
	for i := range job.Visits {
		pump = pump || job.Visits[i].DropsPump || job.Visits[i].CollectsPump
		room = room || job.Visits[i].Room > 0
	}
	limited := false
	for i := range w.Tours {
		limited = limited || w.Tours[i].Room > 0
	}
	switch {
	case !room || !limited:
		return "no pump is free"
	case pump:
		return "no pump is free, or no truck has room for its material"
	}
	return "no truck has room for its material"
}

// skillText names the skills that no crew has, or else those that are taken.
func skillText(w *week.Week, job *week.Job) string {
	label := map[string]string{}
	for _, s := range w.Skills {
		label[s.ID] = s.ID
		if s.Label != "" {
			label[s.ID] = s.Label
		}
	}
	had := map[string]bool{}
	for i := range w.Tours {
		for _, s := range w.Tours[i].Skills {
			had[s] = true
		}
	}
	var none, taken []string
	seen := map[string]bool{}
	for i := range job.Visits {
		for _, s := range job.Visits[i].Skills {
			if seen[s] {
				continue
			}
			seen[s] = true
			if had[s] {
				taken = append(taken, label[s])
			} else {
				none = append(none, label[s])
			}
		}
	}
	if len(none) > 0 {
		return "no crew can do: " + strings.Join(none, ", ")
	}
	return "no crew that can do " + strings.Join(taken, " and ") + " is free"
}

// at says where a fit lies: weekday, local time, crew.
func at(w *week.Week, f search.Fit) string {
	if f.Tour == "" {
		return "after the week"
	}
	crew := strings.TrimSuffix(f.Tour, "+")
	for i := range w.Tours {
		if w.Tours[i].ID == crew {
			crew = w.Tours[i].Crew
			for _, c := range w.Crews {
				if c.ID == crew && c.Label != "" {
					crew = c.Label
				}
			}
			break
		}
	}
	return clock(w, f.Start) + " with " + crew
}

// clock writes an instant as weekday and wall clock; days of 23 or 25 hours count from
// their midnight.
func clock(w *week.Week, x int64) string {
	d := len(w.Days) - 1
	for d > 0 && w.Days[d].Start > x {
		d--
	}
	day, err := time.Parse(time.DateOnly, w.Days[d].Date)
	if err != nil {
		return fmt.Sprint(x)
	}
	s := x - w.Days[d].Start
	day = day.Add(time.Duration(s) * time.Second)
	if s >= 7*86400 || s < 0 {
		return day.Format("Mon 2 Jan 15:04")
	}
	return day.Format("Mon 15:04")
}

// money writes cents.
func money(c int64) string { return fmt.Sprintf("$%d.%02d", c/100, c%100) }
