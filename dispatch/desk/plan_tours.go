package desk

import (
	"slices"

	"ebbline/dispatch/week"
	"ebbline/jobs"
)

// tours lays the crews' days over the horizon: shifts, less time away, with the
// people who are there. A person in two crews goes with the first of them.
func (m *weekMaker) tours() {
	f := m.facts
	for _, c := range f.Crews {
		if c.Active {
			m.w.Crews = append(m.w.Crews, week.Name{ID: c.ID, Label: c.Name})
		}
	}
	for d := range f.Days {
		day, busy := f.FirstDay.Add(d), map[string]bool{}
		for _, c := range f.Crews {
			if t, ok := m.tour(c, d, day, busy); ok {
				m.w.Tours = append(m.w.Tours, t)
			}
		}
	}
}

func (m *weekMaker) tour(c jobs.Crew, d int, day jobs.Day, busy map[string]bool) (week.Tour, bool) {
	shift, works := c.ShiftOn(day.Weekday())
	home, known := m.homes[c.HomeID]
	if !works || !c.Active || !known {
		return week.Tour{}, false
	}
	from, to, over, ok := m.hours(c, day, shift)
	if !ok || m.sec(jobs.MinuteOf(day, over, m.facts.Zone)) <= m.w.T0 && !m.atWork(c, day) {
		return week.Tour{}, false
	}
	people := m.present(c, day, from, to, busy)
	if len(people) == 0 {
		return week.Tour{}, false
	}
	at := func(minute int64) int64 { return m.sec(jobs.MinuteOf(day, minute, m.facts.Zone)) }
	r := m.facts.Rules
	t := week.Tour{
		ID: tourID(c.ID, day), Label: c.Name + " on " + day.Format("Mon Jan 2"), Crew: c.ID, Day: d, Start: home.ID, End: home.ID,
		ShiftFrom: at(from), ShiftTo: at(to), OvertimeTo: at(over), People: len(people),
		PayPerHour: int64(r.PayCentsPerHour), OvertimePerHour: int64(r.OvertimeCentsPerHour), CostPerKm: int64(r.DrivingCentsPerKm),
	}
	if c.PumpBerths > 0 {
		t.Home, t.Berths = home.ID, int(c.PumpBerths)
	}
	for _, s := range jobs.Skills {
		if slices.ContainsFunc(people, func(p jobs.Person) bool { return slices.Contains(p.Skills, s) }) {
			t.Skills = append(t.Skills, string(s))
		}
	}
	if id := crewSkill(c.ID); m.crewPinned(c.ID) {
		t.Skills = append(t.Skills, id)
		if !slices.ContainsFunc(m.w.Skills, func(n week.Name) bool { return n.ID == id }) {
			m.w.Skills = append(m.w.Skills, week.Name{ID: id, Label: c.Name})
		}
	}
	if l := (week.Lunch{Seconds: r.LunchMinutes * 60, From: at(r.LunchFromMinute), To: at(r.LunchToMinute), DueAfter: r.LunchAfterMinutes * 60,
		Paid: r.LunchPaid}); l.Seconds > 0 && l.To >= t.ShiftFrom && l.From <= t.OvertimeTo {
		t.Lunch = &l
	}
	t.Begun = m.begun(c, day, &t)
	m.wayHome(&t, home)
	return t, true
}

// atWork says whether a visit of the crew is under way since that day.
func (m *weekMaker) atWork(c jobs.Crew, day jobs.Day) bool {
	for i := range m.facts.Jobs {
		j := &m.facts.Jobs[i]
		for _, v := range j.Job.Visits {
			if v.State == jobs.VisitUnderWay && jobs.DayOf(v.BegunAt, m.facts.Zone) == day && m.crewOf(j, v) == c.ID {
				return true
			}
		}
	}
	return false
}

// wayHome lets a crew that has begun come home from where it is, however late.
func (m *weekMaker) wayHome(t *week.Tour, home jobs.Home) {
	if t.Begun == nil {
		return
	}
	places := []spot{{point{home.LatE7, home.LonE7}, true}, {point{home.LatE7, home.LonE7}, true}}
	for i := range m.facts.Jobs {
		if s := m.facts.Jobs[i].Site; s.ID == t.Begun.Place && s.LatE7 != nil && s.LonE7 != nil {
			places[0] = spot{point{*s.LatE7, *s.LonE7}, false}
		}
	}
	t.OvertimeTo = max(t.OvertimeTo, t.Begun.FreeAt+m.facts.longest(m.facts.legs(places).seconds[0][1]))
}

// crewSkill ties a visit to a crew without tying it to a day: only that crew
// has it.
func crewSkill(crewID string) string { return "crew:" + crewID }

func (m *weekMaker) crewPinned(crewID string) bool {
	for i := range m.facts.Jobs {
		for _, v := range m.facts.Jobs[i].Job.Visits {
			if v.PinCrewID == crewID {
				return true
			}
		}
	}
	return false
}

// hours is the shift less the crew's own time away, in minutes. Away in the
// middle leaves the longer side: a crew's day has no hole.
func (m *weekMaker) hours(c jobs.Crew, day jobs.Day, s jobs.Shift) (from, to, over int64, ok bool) {
	from, to, over = s.FromMinute, s.ToMinute, min(s.ToMinute+s.OvertimeMinutes, 36*60)
	for _, a := range m.facts.Absences {
		if a.CrewID != c.ID || a.Day != day || a.ToMinute <= from || a.FromMinute >= over {
			continue
		}
		if a.FromMinute-from >= to-a.ToMinute {
			to, over = min(to, a.FromMinute), a.FromMinute
		} else {
			from = a.ToMinute
		}
	}
	return from, to, over, to > from
}

// present are the crew's people who are there for the whole shift and not out
// with another crew.
func (m *weekMaker) present(c jobs.Crew, day jobs.Day, from, to int64, busy map[string]bool) []jobs.Person {
	var out []jobs.Person
	for _, p := range m.facts.Persons {
		if !p.Active || busy[p.ID] || !slices.Contains(c.People, p.ID) {
			continue
		}
		away := slices.ContainsFunc(m.facts.Absences, func(a jobs.Absence) bool {
			return a.PersonID == p.ID && a.Day == day && a.FromMinute < to && a.ToMinute > from
		})
		if !away {
			busy[p.ID] = true
			out = append(out, p)
		}
	}
	return out
}

// begun is what a crew's day has behind it: when it left, the visit that is
// under way, and where it is free. What is done is not repeated; it stands in
// its job as a fact.
func (m *weekMaker) begun(c jobs.Crew, day jobs.Day, t *week.Tour) *week.Begun {
	if day != jobs.DayOf(m.facts.Now, m.facts.Zone) {
		return nil
	}
	told, out := m.toldTour(c.ID, day)
	b := &week.Begun{Depart: m.w.T0, Place: t.Start, FreeAt: m.w.T0}
	started := false
	lastEnd, pumps := int64(0), 0
	for i := range m.facts.Jobs {
		j := &m.facts.Jobs[i]
		for _, v := range j.Job.Visits {
			if v.BegunAt.IsZero() || jobs.DayOf(v.BegunAt, m.facts.Zone) != day || m.crewOf(j, v) != c.ID || j.Site.LatE7 == nil {
				continue
			}
			started = true
			begin := min(m.sec(v.BegunAt), m.w.T0)
			b.Depart = min(b.Depart, begin)
			if v.State == jobs.VisitUnderWay {
				end := max(begin+m.seconds(j, v), m.w.T0, begin+1)
				b.Stops = []week.Stop{{Visit: v.ID, Leave: begin, Arrive: begin, Start: begin, End: end}}
				b.Place, b.FreeAt, lastEnd = j.Site.ID, end, end
				continue
			}
			pumps += pumpMove(j.Job, v)
			if end := m.sec(v.DoneAt); end > lastEnd && len(b.Stops) == 0 {
				lastEnd, b.Place = end, j.Site.ID
			}
		}
	}
	if !started {
		return nil
	}
	if out {
		b.Depart = min(b.Depart, m.sec(told.DepartAt))
		b.Load = min(max(int(told.MorningPumps)+pumps, 0), t.Berths)
		if at := told.LunchAt; t.Lunch != nil && !at.IsZero() && m.sec(at) >= b.Depart && m.sec(at) <= m.w.T0 {
			lunch := m.sec(at)
			b.LunchStart = &lunch
			if len(b.Stops) > 0 && lunch > b.Stops[0].Start { // inside the visit under way, which ends later for it
				b.LunchInside = b.Stops[0].Visit
				b.Stops[0].End += t.Lunch.Seconds
				b.FreeAt = b.Stops[0].End
			}
		}
	}
	if len(b.Stops) > 0 {
		b.Stops[0].Leave = max(b.Depart, min(b.Stops[0].Leave, b.Stops[0].Arrive))
	}
	b.FreeAt = max(b.FreeAt, m.w.T0)
	if t.Lunch != nil && b.LunchStart == nil && b.FreeAt > t.Lunch.To {
		t.Lunch = nil // it falls into the visit under way: the crew's own affair by now
	}
	return b
}

// pumpMove is what a done visit did to the number of pumps on the truck.
func pumpMove(j jobs.Job, v jobs.Visit) int {
	if j.WayLow != jobs.LowCrewPump {
		return 0
	}
	if v.Kind == jobs.VisitDrain {
		if v.State == jobs.VisitDone {
			return -1
		}
		return 0
	}
	for i := len(j.Visits) - 1; i >= 0; i-- { // the last that ended before it
		b := j.Visits[i]
		if b.ID != v.ID && !b.DoneAt.IsZero() && b.DoneAt.Before(v.BegunAt) && b.State == jobs.VisitDone {
			if b.Kind == jobs.VisitDrain {
				return 1
			}
			return 0
		}
	}
	return 0
}

// settleBegun takes out of begun days what the week does not know after all,
// because its job was kept out.
func (m *weekMaker) settleBegun() {
	visits, places := map[string]bool{}, map[string]bool{}
	for i := range m.w.Jobs {
		for _, v := range m.w.Jobs[i].Visits {
			visits[v.ID] = true
		}
	}
	for _, p := range m.w.Places {
		places[p.ID] = true
	}
	for i := range m.w.Tours {
		b := m.w.Tours[i].Begun
		if b == nil {
			continue
		}
		b.Stops = slices.DeleteFunc(b.Stops, func(s week.Stop) bool { return !visits[s.Visit] })
		if len(b.Stops) == 0 {
			b.LunchInside = ""
		}
		if !places[b.Place] {
			b.Place = m.w.Tours[i].Start
		}
	}
}

// toldTour is the crew's day as it was handed out.
func (m *weekMaker) toldTour(crewID string, day jobs.Day) (jobs.Tour, bool) {
	for _, t := range m.facts.Tours {
		if t.CrewID == crewID && t.Day == day {
			return t, true
		}
	}
	return jobs.Tour{}, false
}

// crewOf is the crew that began a visit: as reported, else as handed out.
func (m *weekMaker) crewOf(j *jobFacts, v jobs.Visit) string {
	if r, ok := j.Records[v.ID]; ok && r.CrewID != "" {
		return r.CrewID
	}
	for _, s := range m.facts.Stops {
		if s.VisitID == v.ID {
			return s.CrewID
		}
	}
	return ""
}
