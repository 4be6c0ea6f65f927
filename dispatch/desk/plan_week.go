package desk

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"ebbline/dispatch/week"
	"ebbline/jobs"
)

// keptOut is a job that could not even be put to the planner, and why.
type keptOut struct {
	Job     jobs.Job
	Reasons []string
}

// weekMaker turns nouns into a week. Ids of places, visits, jobs, crews and
// homes are the nouns' own; a tour is CREW@DAY.
type weekMaker struct {
	facts weekFacts
	base  int64 // unix second of the first local midnight
	w     *week.Week
	out   []keptOut
	homes map[string]jobs.Home
	kinds map[jobs.VisitKind]jobs.VisitKindInfo
	mean  int64 // value of a job whose own is not known yet, cents
}

// makeWeek builds the problem. Jobs that can't be put to the planner are given
// back with the reason. The week that comes out is valid. CodeConflict when
// nobody can go out at all.
func makeWeek(f weekFacts) (*week.Week, []keptOut, error) {
	skip := map[string][]string{}
	for {
		m := &weekMaker{facts: f, base: f.FirstDay.Start(f.Zone).Unix(), homes: map[string]jobs.Home{}, kinds: map[jobs.VisitKind]jobs.VisitKindInfo{}}
		m.make(skip)
		if len(m.w.Tours) == 0 {
			return nil, nil, jobs.Errorf(jobs.CodeConflict, "No crew goes out from %s on %d days: give a crew people and a shift", f.FirstDay, f.Days)
		}
		err := m.w.Validate()
		if err == nil {
			return m.w, m.out, nil
		}
		// A job that can never fit keeps only itself out.
		found, again := jobFaults(m.w, err), false
		for id, reasons := range found {
			if _, known := skip[id]; !known {
				skip[id], again = reasons, true
			}
		}
		if !again {
			return nil, nil, jobs.Wrap(jobs.CodeInternal, err, "The week could not be put together")
		}
	}
}

var jobPath = regexp.MustCompile(`^jobs\[(\d+)\]`)

// jobFaults sorts a week's faults by the job that they are about.
func jobFaults(w *week.Week, err error) map[string][]string {
	var faults week.FieldErrors
	out := map[string][]string{}
	if !errors.As(err, &faults) {
		return out
	}
	for _, f := range faults {
		hit := jobPath.FindStringSubmatch(f.Path)
		if hit == nil {
			continue
		}
		i, err := strconv.Atoi(hit[1])
		if err != nil || i >= len(w.Jobs) {
			continue
		}
		id := w.Jobs[i].ID
		field := strings.TrimPrefix(f.Path, hit[0]+".")
		out[id] = append(out[id], fmt.Sprintf("%s: %s; it would have to be %s", field, f.Value, f.Want))
	}
	return out
}

func (m *weekMaker) make(skip map[string][]string) {
	f := m.facts
	for _, h := range f.Homes {
		m.homes[h.ID] = h
	}
	for _, k := range f.Kinds {
		m.kinds[k.ID] = k
	}
	m.w = &week.Week{Version: week.Version, Zone: f.Branch.Zone, T0: m.sec(f.Now), Rates: m.rates(),
		Label: f.Branch.Name + ", " + string(f.FirstDay)}
	for d := range f.Days {
		day := f.FirstDay.Add(d)
		m.w.Days = append(m.w.Days, week.Day{Date: string(day), Start: m.sec(day.Start(f.Zone))})
	}
	m.w.End = m.sec(f.FirstDay.Add(f.Days).Start(f.Zone))
	m.w.Uncertainty = m.uncertainty()
	m.w.NextWorkday = m.nextWorkday()
	for _, s := range jobs.Skills {
		m.w.Skills = append(m.w.Skills, week.Name{ID: string(s), Label: s.Label()})
	}
	for _, k := range f.Kinds {
		m.w.Kinds = append(m.w.Kinds, week.Name{ID: string(k.ID), Label: k.Name})
	}
	first := jobs.DayOf(f.Now, f.Zone)
	if first > f.FirstDay {
		first = f.FirstDay
	}
	m.w.WaterHours = m.spans(jobs.Without(jobs.HoursBetween(f.Rules.WaterHours, first, f.FirstDay.Add(f.Days), f.Zone), m.noPumping("", "")))
	m.stock()
	m.tours()
	m.meanValue()
	for i := range f.Jobs {
		j := &f.Jobs[i]
		reasons, skipped := skip[j.Job.ID]
		if !skipped {
			var job *week.Job
			if job, reasons = m.job(j); job != nil {
				m.w.Jobs = append(m.w.Jobs, *job)
				continue
			}
		}
		if len(reasons) > 0 {
			m.out = append(m.out, keptOut{Job: j.Job, Reasons: reasons})
		}
	}
	m.places()
	m.settleBegun()
	m.closures()
	m.told()
}

// sec is an instant as the week counts it.
func (m *weekMaker) sec(t time.Time) int64 { return t.Unix() - m.base }

func (m *weekMaker) spans(list []jobs.Stretch) []week.Span {
	var out []week.Span
	for _, s := range list {
		out = append(out, week.Span{From: m.sec(s.From), To: m.sec(s.To)})
	}
	return out
}

func (m *weekMaker) rates() week.Rates {
	r := m.facts.Rules
	return week.Rates{
		WaitingPermille: r.WaitingPermillePerDay, LateCents: int64(r.LateCentsPerDay), LeftOutPermille: r.LeftOutPermillePerWeek,
		PromiseCents: int64(r.PromiseCents), ToldAnewCents: int64(r.ToldAnewCents), ToldAnewSeconds: r.ToldAnewMinutes * 60,
		LowCents: int64(r.LowCentsPerHour), LowFreeSeconds: r.LowFreeHours * 3600, OwedCents: int64(r.OwedCents),
		BreakLowLimitCents: int64(r.BreakLowLimitCents), BreakCommissionCents: int64(r.BreakCommissionCents),
		BreakAvailabilityCents: int64(r.BreakAvailabilityCents), BreakPinCents: int64(r.BreakPinCents),
	}
}

// nextWorkday is the first day after the horizon on which some crew has a
// shift; without any within two weeks, the first day.
func (m *weekMaker) nextWorkday() week.NextWorkday {
	f, best := m.facts, m.facts.Days
search:
	for d := f.Days; d < f.Days+14; d++ {
		for _, c := range f.Crews {
			if _, works := c.ShiftOn(f.FirstDay.Add(d).Weekday()); works && c.Active {
				best = d
				break search
			}
		}
	}
	return week.NextWorkday{Day: best, End: m.sec(f.FirstDay.Add(best + 1).Start(f.Zone))}
}

// stock counts each home's pumps that work, those on sites among them.
func (m *weekMaker) stock() {
	for _, h := range m.facts.Homes {
		n := 0
		for _, p := range m.facts.Pumps {
			if p.HomeID == h.ID && p.State == jobs.PumpWorking {
				n++
			}
		}
		home := week.Home{ID: h.ID, Label: h.Name}
		for range m.facts.Days {
			home.Pumps = append(home.Pumps, n)
		}
		m.w.Homes = append(m.w.Homes, home)
	}
}

// meanValue is what a job counts for while its own value is not known yet: the
// mean of those known, or 3,000.00 where none is.
func (m *weekMaker) meanValue() {
	sum, n := int64(0), int64(0)
	for i := range m.facts.Jobs {
		if v := jobValue(&m.facts.Jobs[i]); v != nil {
			sum, n = sum+int64(*v), n+1
		}
	}
	if m.mean = 3_000_00; n > 0 {
		m.mean = sum / n
	}
}

func jobValue(j *jobFacts) *jobs.Cents {
	if j.Job.Value != nil {
		return j.Job.Value
	}
	if j.Estimate != nil && j.Estimate.Price.Total.Known {
		v := jobs.Cents(j.Estimate.Price.Total.Value)
		return &v
	}
	return nil
}

// places lists homes and sites in use, with travel between them.
func (m *weekMaker) places() {
	var at []spot
	for _, h := range m.facts.Homes {
		m.w.Places = append(m.w.Places, week.Place{ID: h.ID, Label: h.Name})
		at = append(at, spot{point{h.LatE7, h.LonE7}, true})
	}
	seen := map[string]bool{}
	planned := map[string]bool{}
	for i := range m.w.Jobs {
		planned[m.w.Jobs[i].ID] = true
	}
	for i := range m.facts.Jobs {
		j := &m.facts.Jobs[i]
		if !planned[j.Job.ID] || seen[j.Site.ID] {
			continue
		}
		seen[j.Site.ID] = true
		m.w.Places = append(m.w.Places, week.Place{ID: j.Site.ID, Label: j.Site.Label(), Area: jobs.FoldKey(j.Site.Postcode)})
		at = append(at, spot{point{*j.Site.LatE7, *j.Site.LonE7}, false})
	}
	m.travel(at)
}

// closures states what is shut, where the week knows the place or the area.
func (m *weekMaker) closures() {
	places, areas := map[string]bool{}, map[string]bool{}
	for _, p := range m.w.Places {
		places[p.ID], areas[p.Area] = true, true
	}
	for _, c := range m.facts.Closures {
		k := week.Closure{ID: c.ID, Label: c.Reason, From: m.sec(c.FromAt), To: m.sec(c.ToAt), StopsPumping: c.StopsPumping}
		switch c.Kind {
		case jobs.ClosureEverything:
			k.All = true
		case jobs.ClosureArea:
			if k.Area = jobs.FoldKey(c.Area); !areas[k.Area] {
				continue
			}
		case jobs.ClosureSite:
			if k.Place = c.SiteID; !places[k.Place] {
				continue
			}
		}
		m.w.Closures = append(m.w.Closures, k)
	}
}

// noPumping are the times in which water may not be moved at a site.
func (m *weekMaker) noPumping(siteID, postcode string) []jobs.Stretch {
	return noPumping(m.facts.Closures, siteID, postcode)
}

// told states promises and what was handed out, of visits not begun.
func (m *weekMaker) told() {
	visits, begun := map[string]bool{}, map[string]bool{}
	for i := range m.w.Jobs {
		for _, v := range m.w.Jobs[i].Visits {
			visits[v.ID] = true
		}
	}
	tours := map[string]bool{}
	for _, t := range m.w.Tours {
		tours[t.ID] = true
		if t.Begun != nil {
			for _, s := range t.Begun.Stops {
				begun[s.Visit] = true
			}
		}
	}
	promised := map[string]bool{}
	for _, p := range m.facts.Promises {
		promised[p.VisitID] = true
	}
	list := m.facts.Promises
	for _, h := range m.facts.Holds { // a window held or booked is as good as told
		if !promised[h.VisitID] {
			list = append(list[:len(list):len(list)], h.Promise())
		}
	}
	for _, p := range list {
		if visits[p.VisitID] && !begun[p.VisitID] && p.Answer != "declined" {
			m.w.Promises = append(m.w.Promises, week.Promise{ID: p.ID, Visit: p.VisitID, From: m.sec(p.FromAt), To: m.sec(p.ToAt)})
		}
	}
	if m.facts.PlanNumber == 0 {
		return
	}
	m.w.HandedOut = &week.HandedOut{Tours: []week.HandedTour{}}
	of, done := map[string]jobs.Tour{}, m.doneVisits()
	for _, t := range m.facts.Tours {
		of[t.ID] = t
	}
	stops := map[string][]week.HandedStop{}
	for _, s := range m.facts.Stops {
		t, ok := of[s.TourID]
		if id := tourID(t.CrewID, t.Day); ok && tours[id] && !done[s.VisitID] {
			stops[id] = append(stops[id], week.HandedStop{Visit: s.VisitID, Start: m.sec(s.StartAt)})
		}
	}
	for _, t := range m.w.Tours {
		if list := stops[t.ID]; len(list) > 0 {
			slices.SortStableFunc(list, func(a, b week.HandedStop) int { return int(a.Start - b.Start) })
			m.w.HandedOut.Tours = append(m.w.HandedOut.Tours, week.HandedTour{Tour: t.ID, Stops: list})
		}
	}
}

// doneVisits are those over: they are facts, not stops that anybody is told.
func (m *weekMaker) doneVisits() map[string]bool {
	done := map[string]bool{}
	for i := range m.facts.Jobs {
		for _, v := range m.facts.Jobs[i].Job.Visits {
			if v.State == jobs.VisitDone || v.State == jobs.VisitWasted {
				done[v.ID] = true
			}
		}
	}
	return done
}

func tourID(crewID string, day jobs.Day) string { return crewID + "@" + string(day) }

// readTourID takes a tour's name apart again.
func readTourID(id string) (crewID string, day jobs.Day) {
	crew, d, _ := strings.Cut(id, "@")
	return crew, jobs.Day(d)
}
