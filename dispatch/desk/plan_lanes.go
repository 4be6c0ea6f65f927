package desk

import (
	"slices"
	"time"

	"ebbline/jobs"
)

// lanes draws every crew that works in these days or has a day in them.
func (v *weekViewer) lanes() []Lane {
	m := &weekMaker{facts: v.facts, base: v.base}
	var out []Lane
	for _, c := range v.facts.Crews {
		lane := Lane{CrewID: c.ID, CrewName: c.Name}
		for _, p := range v.facts.Persons {
			if slices.Contains(c.People, p.ID) {
				lane.People = append(lane.People, p.Name)
			}
		}
		for d := range v.facts.Days {
			if day, ok := v.crewDay(m, c, v.facts.FirstDay.Add(d)); ok {
				lane.Days = append(lane.Days, day)
			}
		}
		if c.Active || len(lane.Days) > 0 {
			out = append(out, lane)
		}
	}
	return out
}

func (v *weekViewer) crewDay(m *weekMaker, c jobs.Crew, day jobs.Day) (CrewDay, bool) {
	zone := v.facts.Zone
	out := CrewDay{Day: day}
	shift, works := c.ShiftOn(day.Weekday())
	works = works && c.Active
	if works {
		from, to, _, ok := m.hours(c, day, shift)
		if !ok {
			from, to = shift.FromMinute, shift.ToMinute
		}
		out.ShiftFrom, out.ShiftTo = jobs.MinuteOf(day, from, zone), jobs.MinuteOf(day, to, zone)
		out.Note = v.dayNote(c, day)
	}
	i := slices.IndexFunc(v.live.Tours, func(t jobs.Tour) bool { return t.CrewID == c.ID && t.Day == day })
	if i < 0 {
		return out, works
	}
	t := v.live.Tours[i]
	out.Depart, out.Return, out.MorningPumps = t.DepartAt, t.ReturnAt, t.MorningPumps
	if out.ShiftFrom.IsZero() {
		out.ShiftFrom, out.ShiftTo = t.DepartAt, t.ReturnAt
	}
	if !t.LunchAt.IsZero() {
		out.LunchFrom, out.LunchTo = t.LunchAt, t.LunchAt.Add(time.Duration(t.LunchSeconds)*time.Second)
	}
	for _, s := range v.live.Stops {
		if s.TourID == t.ID {
			out.Stops = append(out.Stops, v.stop(s))
		}
	}
	slices.SortFunc(out.Stops, func(a, b StopView) int { return a.StartAt.Compare(b.StartAt) })
	out.DriveMetres = v.drives(c, out.Stops)
	return out, true
}

// dayNote says why a crew's day is short or empty.
func (v *weekViewer) dayNote(c jobs.Crew, day jobs.Day) string {
	for _, a := range v.facts.Absences {
		if a.Day == day && (a.CrewID == c.ID || slices.Contains(c.People, a.PersonID)) {
			who := c.Name
			for _, p := range v.facts.Persons {
				if p.ID == a.PersonID {
					who = p.Name
				}
			}
			return who + " away: " + a.Reason
		}
	}
	from, to := day.Start(v.facts.Zone), day.Add(1).Start(v.facts.Zone)
	for _, k := range v.facts.Closures {
		if k.Kind == jobs.ClosureEverything && k.FromAt.Before(to) && k.ToAt.After(from) {
			return "closed: " + k.Reason
		}
	}
	return ""
}

func (v *weekViewer) stop(s jobs.Stop) StopView {
	j, visit := v.jobs[s.JobID], v.visits[s.VisitID]
	out := StopView{Stop: s, JobNumber: j.Number, Kind: visit.Kind, SiteName: j.SiteName, CustomerName: j.CustomerName, State: visit.State}
	if p, ok := v.stops[s.VisitID]; ok {
		out.DriveFrom, out.Slack, out.Binds = time.Unix(p.leave, 0).UTC(), p.stop.Slack, p.stop.Binds
		if out.DriveFrom.After(s.ArriveAt) { // the row is older than this plan
			out.DriveFrom = time.Time{}
		}
	}
	for _, p := range v.live.Promises {
		if p.VisitID == s.VisitID {
			out.PromiseFrom, out.PromiseTo = p.FromAt, p.ToAt
		}
	}
	return out
}

// drives answers the metres of the day's way from home by the stops and back, as
// planning counts them, and notes which drives are straight lines.
func (v *weekViewer) drives(c jobs.Crew, stops []StopView) int64 {
	i := slices.IndexFunc(v.facts.Homes, func(h jobs.Home) bool { return h.ID == c.HomeID })
	if i < 0 || len(stops) == 0 {
		return 0
	}
	way := []spot{{point{v.facts.Homes[i].LatE7, v.facts.Homes[i].LonE7}, true}}
	var to []int // stops that the way leads to
	for i, s := range stops {
		if site := v.sites[v.jobs[s.JobID].SiteID]; site.LatE7 != nil && site.LonE7 != nil {
			way, to = append(way, spot{point{*site.LatE7, *site.LonE7}, false}), append(to, i)
		}
	}
	way = append(way, way[0])
	l, sum := v.facts.legs(way), int64(0)
	for i := range len(way) - 1 {
		sum += l.metres[i][i+1]
		if i < len(to) {
			stops[to[i]].DriveStraight = l.straight(i, i+1)
		}
	}
	return sum
}
