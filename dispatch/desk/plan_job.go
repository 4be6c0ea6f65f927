package desk

import (
	"fmt"
	"slices"

	"ebbline/dispatch/week"
	"ebbline/jobs"
)

// begunJob says whether something happened that can't be taken back.
func (j *jobFacts) begun() bool {
	for _, v := range j.Job.Visits {
		if v.State == jobs.VisitUnderWay {
			return true
		}
	}
	return j.Job.State == jobs.StateUnderWay || j.Job.State == jobs.StateMadeSafe || j.Job.State == jobs.StateConverted ||
		j.Job.State == jobs.StateAwaitingInspection || j.startedAt() != 0
}

// job states one job; nil with reasons when it can't be put to the planner.
func (m *weekMaker) job(j *jobFacts) (*week.Job, []string) {
	open := j.Job.Plannable()
	if j.Site.LatE7 == nil || j.Site.LonE7 == nil {
		return nil, []string{"its place on the map is not known yet"}
	}
	if len(open) > jobs.MaxVisits {
		return nil, []string{fmt.Sprintf("it has %d visits still to come; a plan takes at most %d", len(open), jobs.MaxVisits)}
	}
	out := &week.Job{ID: j.Job.ID, Label: fmt.Sprintf("#%d %s, %s", j.Job.Number, j.Site.Label(), j.Job.CustomerName),
		Value: m.mean, DueDay: m.w.NextWorkday.Day, Begun: j.begun()}
	if v := jobValue(j); v != nil {
		out.Value = int64(*v)
	}
	if j.Job.DueDay != "" {
		out.DueDay = j.Job.DueDay.Sub(m.facts.FirstDay)
	}
	if !out.Begun {
		m.days(j, out)
	}
	if reason := m.booked(j); reason != "" {
		return nil, []string{reason}
	}
	open, after, reason := m.elsewhere(j, open)
	if len(open) == 0 || reason != "" {
		return nil, said(reason)
	}
	if after != 0 {
		out.Begun = true // its first visits stand in days that these leave alone
	}
	for _, v := range open {
		visit, reason := m.visit(j, v, len(out.Visits) == 0)
		if reason != "" {
			return nil, []string{reason}
		}
		out.Visits = append(out.Visits, visit)
	}
	if after != 0 {
		for i := range out.Visits {
			m.notBefore(&out.Visits[i], after)
		}
	} else if reasons := m.water(j, out); len(reasons) > 0 {
		return nil, reasons
	}
	m.owe(j, out)
	m.links(j, out)
	return out, nil
}

func said(reason string) []string {
	if reason == "" {
		return nil
	}
	return []string{reason}
}

// elsewhere takes out visits that were handed out for days outside of these:
// they stay as they are. after is when what remains may come, 0 where nothing
// was taken out. A chain whose later part is fixed elsewhere can't be planned
// in front of it.
func (m *weekMaker) elsewhere(j *jobFacts, open []jobs.Visit) (rest []jobs.Visit, after int64, reason string) {
	for _, v := range open {
		stop, ok := m.handedOut(v)
		outside := ok && v.State == jobs.VisitRouted && (m.sec(stop.StartAt) >= m.w.End || m.sec(stop.StartAt) < 0 && !stop.StartAt.Before(m.facts.Now))
		switch {
		case outside && len(rest) > 0:
			return nil, 0, "a later visit of it is handed out for " + jobs.DayOf(stop.StartAt, m.facts.Zone).Words() + ", outside of these days"
		case outside:
			after = max(after, m.sec(stop.EndAt))
		default:
			rest = append(rest, v)
		}
	}
	if after == 0 {
		return rest, 0, ""
	}
	for _, v := range rest {
		if need := m.kinds[v.Kind].Water; need == "low" || v.Kind == jobs.VisitDrain {
			return nil, 0, "a part of it that lowers the water is handed out for other days"
		}
	}
	if j.Drain != nil && !j.Drain.CoveredAt.IsZero() {
		after = max(after, m.sec(j.Drain.CoveredAt))
	}
	return rest, after, ""
}

// handedOut is the live stop of a visit.
func (m *weekMaker) handedOut(v jobs.Visit) (jobs.Stop, bool) {
	for _, s := range m.facts.Stops {
		if s.VisitID == v.ID {
			return s, true
		}
	}
	return jobs.Stop{}, false
}

// notBefore lets a visit start at an instant or later.
func (m *weekMaker) notBefore(v *week.Visit, at int64) {
	at = max(at, m.w.T0)
	if len(v.Allowed) == 0 {
		v.Allowed = []week.Span{{From: at, To: max(m.w.End, at)}}
		return
	}
	var left []week.Span
	for _, s := range v.Allowed {
		if s.To-v.Seconds >= at {
			left = append(left, week.Span{From: max(s.From, at), To: s.To})
		}
	}
	if len(left) == 0 { // none of these days: it waits for later ones
		left = []week.Span{{From: max(m.w.End, at), To: max(m.w.End, at) + v.Seconds}}
	}
	v.Allowed = left
}

// days turns the days of the gating facts into instants.
func (m *weekMaker) days(j *jobFacts, out *week.Job) {
	before, after := j.NotBefore, j.NotAfter
	if j.Job.NotBeforeDay > before {
		before = j.Job.NotBeforeDay
	}
	if before != "" {
		at := m.sec(before.Start(m.facts.Zone))
		out.NotBefore = &at
	}
	if after != "" {
		at := m.sec(after.Add(1).Start(m.facts.Zone))
		out.NotAfter = &at
	}
}

// longVisit is the length from which lunch may lie inside a visit: a crew at
// work for a whole morning eats at the pool.
const longVisit = 2 * 3600

func (m *weekMaker) visit(j *jobFacts, v jobs.Visit, first bool) (week.Visit, string) {
	kind := m.kinds[v.Kind]
	out := week.Visit{ID: v.ID, Label: kind.Name, Kind: string(v.Kind), Place: j.Site.ID, Seconds: m.seconds(j, v), People: 1,
		Water: week.NeedNothing}
	out.Skills = m.skills(j, v)
	if e, ok := m.estimated(j, v.Kind); ok {
		out.People = max(e.People, 1)
		m.spread(&out, e)
	} else if v.Kind == jobs.VisitConvert {
		out.People = 2
	}
	if v.PinCrewID != "" && v.PinDay == "" {
		out.Skills = append(out.Skills, crewSkill(v.PinCrewID))
		if !slices.ContainsFunc(m.w.Skills, func(n week.Name) bool { return n.ID == crewSkill(v.PinCrewID) }) {
			m.w.Skills = append(m.w.Skills, week.Name{ID: crewSkill(v.PinCrewID)})
		}
	}
	if open, bound := m.open(j); bound && v.State != jobs.VisitUnderWay {
		out.Allowed, out.EndInside = m.spans(open), true
	}
	if v.State == jobs.VisitUnderWay {
		return out, ""
	}
	out.Interruptible = out.Seconds >= longVisit
	return out, m.pin(v, &out)
}

// pin fixes a visit to a day, a crew's day and an instant. What can't be in
// this horizon is said.
func (m *weekMaker) pin(v jobs.Visit, out *week.Visit) string {
	if v.PinDay == "" && v.PinStart.IsZero() {
		return ""
	}
	p := &week.Pin{}
	if v.PinDay != "" {
		day := v.PinDay.Sub(m.facts.FirstDay)
		if day < 0 || day >= m.facts.Days {
			return fmt.Sprintf("its %s is held to %s, which is not among these days", out.Label, v.PinDay.Words())
		}
		p.Day = &day
		if v.PinCrewID != "" {
			p.Tour = tourID(v.PinCrewID, v.PinDay)
			if !slices.ContainsFunc(m.w.Tours, func(t week.Tour) bool { return t.ID == p.Tour }) {
				return fmt.Sprintf("its %s is held to a crew that does not go out on %s", out.Label, v.PinDay.Words())
			}
		}
	}
	if !v.PinStart.IsZero() {
		at := m.sec(v.PinStart)
		if at < m.w.T0 || at > m.w.End {
			return fmt.Sprintf("its %s is held to an instant that is over or not among these days", out.Label)
		}
		p.Start = &at
	}
	out.Pin = p
	return ""
}

// owe lets the end of a chain wait for after the horizon: what tests, inspects
// or collects after the last visit that needs low water. A job of nothing else
// must have begun for that.
func (m *weekMaker) owe(j *jobFacts, out *week.Job) {
	due := !j.Job.ConvertedAt.IsZero() && m.sec(j.Job.ConvertedAt)+m.facts.Rules.CommissionInDays*86_400 < m.w.NextWorkday.End
	lastLow := -1
	for i, v := range out.Visits {
		if v.Water == week.NeedLow || v.DropsPump || v.CollectsPump {
			lastLow = i
		}
	}
	for i := len(out.Visits) - 1; i > lastLow && (i > 0 || out.Begun); i-- {
		switch jobs.VisitKind(out.Visits[i].Kind) {
		case jobs.VisitCommission, jobs.VisitInspect, jobs.VisitCollect:
			if due && out.Visits[i].Kind == string(jobs.VisitCommission) {
				return // it has waited for as long as it may
			}
			if p := out.Visits[i].Pin; p != nil {
				return // a pinned visit is never owed
			}
			out.Visits[i].MayOwe = true
		default:
			return
		}
	}
}

// links bounds how long a commission may wait after the conversion.
func (m *weekMaker) links(_ *jobFacts, out *week.Job) {
	convert := ""
	for _, v := range out.Visits {
		switch jobs.VisitKind(v.Kind) {
		case jobs.VisitConvert:
			convert = v.ID
		case jobs.VisitCommission:
			if convert != "" {
				lo, hi := int64(0), m.facts.Rules.CommissionInDays*86_400
				out.Links = append(out.Links, week.Link{From: convert, FromEnd: true, To: v.ID, Lo: &lo, Hi: &hi})
			}
		}
	}
}
