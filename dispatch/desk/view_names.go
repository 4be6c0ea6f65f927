package desk

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// names are what people call the things of a week.
type names struct {
	job   map[string]jobs.Job
	visit map[string]jobs.VisitName
	crew  map[string]string
}

func readNames(tx *store.Tx, branchID string, w *week.Week) (names, error) {
	n := names{job: map[string]jobs.Job{}, visit: map[string]jobs.VisitName{}, crew: map[string]string{}}
	ids := make([]string, len(w.Jobs))
	for i := range w.Jobs {
		ids[i] = w.Jobs[i].ID
	}
	list, err := tx.JobsByID(ids...)
	if err != nil {
		return n, err
	}
	for _, j := range list {
		n.add(j)
	}
	crews, err := tx.Crews(branchID)
	for _, c := range crews {
		n.crew[c.ID] = c.Name
	}
	return n, err
}

func (n names) add(j jobs.Job) {
	n.job[j.ID] = j
	for _, v := range j.Visits {
		n.visit[v.ID] = jobs.VisitName{VisitID: v.ID, Kind: v.Kind, JobID: j.ID, JobNumber: j.Number, CustomerName: j.CustomerName, SiteName: j.SiteName}
	}
}

// tour is a crew's id and name and the day of a tour of the week.
func (n names) tour(id string) (crewID, name string, day jobs.Day) {
	crewID, day = readTourID(strings.TrimSuffix(id, "+"))
	return crewID, n.crew[crewID], day
}

// kindWord is a kind of visit in the middle of a sentence.
func kindWord(k jobs.VisitKind) string { return strings.ReplaceAll(string(k), "_", "-") }

// of names a visit in a sentence: the conversion of job 12.
func of(v jobs.VisitName) string {
	return fmt.Sprintf("the %s visit of job %d", kindWord(v.Kind), v.JobNumber)
}

// seconds of a visit of the week; 0: it holds none of that id.
func (v *looked) seconds(visitID string) int64 {
	for i := range v.w.Jobs {
		for k := range v.w.Jobs[i].Visits {
			if x := &v.w.Jobs[i].Visits[k]; x.ID == visitID {
				return x.Seconds
			}
		}
	}
	return 0
}

// moved says where a visit lay and lies.
func (v *looked) moved(m dispatch.MovedVisit) jobs.MovedVisit {
	out := jobs.MovedVisit{VisitName: v.names.visit[m.Visit]}
	if m.TourBefore != "" {
		out.CrewIDBefore, out.CrewNameBefore, _ = v.names.tour(m.TourBefore)
		out.StartBefore = v.at(m.Before)
	}
	if m.Tour != "" {
		out.CrewID, out.CrewName, _ = v.names.tour(m.Tour)
		out.StartAt = v.at(m.Start)
		out.EndAt = v.at(m.Start + v.seconds(m.Visit))
	}
	out.Says = movedSays(v, out)
	return out
}

// movedSays says in words where a visit lay and lies.
func movedSays(v *looked, m jobs.MovedVisit) string {
	who := upper(of(m.VisitName))
	switch {
	case m.CrewIDBefore == "" && m.CrewID == "":
		return who + " is in neither plan"
	case m.CrewIDBefore == "":
		return fmt.Sprintf("%s is new: %s with %s", who, v.say(m.StartAt), m.CrewName)
	case m.CrewID == "":
		return fmt.Sprintf("%s, %s with %s, falls away", who, v.say(m.StartBefore), m.CrewNameBefore)
	case m.CrewID != m.CrewIDBefore:
		return fmt.Sprintf("%s moves from %s with %s to %s with %s", who, v.say(m.StartBefore), m.CrewNameBefore, v.say(m.StartAt), m.CrewName)
	}
	return fmt.Sprintf("%s moves from %s to %s with %s", who, v.say(m.StartBefore), v.say(m.StartAt), m.CrewName)
}

func (v *looked) movedAll(list []dispatch.MovedVisit) []jobs.MovedVisit {
	out := make([]jobs.MovedVisit, 0, len(list))
	for _, m := range list {
		out = append(out, v.moved(m))
	}
	return out
}

// late says which promised window is not kept; false: the week has no such.
func (v *looked) late(l dispatch.LatePromise) (jobs.LateWindow, bool) {
	i := slices.IndexFunc(v.w.Promises, func(p week.Promise) bool { return p.ID == l.Promise })
	if i < 0 {
		return jobs.LateWindow{}, false
	}
	p := v.w.Promises[i]
	out := jobs.LateWindow{VisitName: v.names.visit[l.Visit], FromAt: v.at(p.From), ToAt: v.at(p.To), BySeconds: l.By}
	window := fmt.Sprintf("%s was promised %s to %s for %s", out.CustomerName, v.say(out.FromAt), out.ToAt.In(v.zone).Format("3:04 pm"), of(out.VisitName))
	switch {
	case l.By == nil:
		out.Says = window + ", and nobody comes"
	case *l.By < 0:
		out.Says = window + "; the crew comes " + span(-*l.By) + " before it"
	default:
		out.Says = window + "; the crew comes " + span(*l.By) + " after it"
	}
	return out, true
}

func (v *looked) lateAll(list []dispatch.LatePromise) []jobs.LateWindow {
	out := make([]jobs.LateWindow, 0, len(list))
	for _, l := range list {
		if x, ok := v.late(l); ok {
			out = append(out, x)
		}
	}
	return out
}

// span is a length of time as people say it, to the minute.
func span(seconds int64) string {
	m := (seconds + 30) / 60
	switch {
	case m < 60:
		return plural(m, "minute")
	case m < 48*60:
		if m%60 == 0 {
			return plural(m/60, "hour")
		}
		return plural(m/60, "hour") + " " + plural(m%60, "minute")
	}
	return plural(m/(24*60), "day")
}

func plural(n int64, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// headDeltas are what each head changes by, those that change.
func headDeltas(before, after week.Cost) []jobs.CostHead {
	return costHeads(week.Cost{Driving: after.Driving - before.Driving, PaidTime: after.PaidTime - before.PaidTime, Overtime: after.Overtime - before.Overtime,
		Waiting: after.Waiting - before.Waiting, Late: after.Late - before.Late, LeftOut: after.LeftOut - before.LeftOut,
		Promises: after.Promises - before.Promises, ToldAnew: after.ToldAnew - before.ToldAnew, Low: after.Low - before.Low,
		Owed: after.Owed - before.Owed, RuleBreaks: after.RuleBreaks - before.RuleBreaks})
}

// more says a difference of cost: 212.00 more, 80.00 less.
func more(cents int64) string {
	switch {
	case cents > 0:
		return "$" + jobs.Cents(cents).String() + " more"
	case cents < 0:
		return "$" + jobs.Cents(-cents).String() + " less"
	}
	return "no more"
}

// clockOf is the time of day that a reader of the zone sees.
func clockOf(t time.Time, zone *time.Location) string { return t.In(zone).Format("3:04 pm") }
