package search

import (
	"slices"

	"ebbline/dispatch/week"
)

// granted copies a week with some facts granted to job j; changed is false if one of
// the facts does not bind it anyway.
func granted(w *week.Week, j int, set []Fact) (*week.Week, bool) {
	x := *w
	x.Jobs = slices.Clone(w.Jobs)
	job := &x.Jobs[j]
	job.Visits = slices.Clone(job.Visits)
	if job.Water != nil {
		wt := *job.Water
		job.Water = &wt
	}
	for _, f := range set {
		if !grant(&x, job, f) {
			return nil, false
		}
	}
	return &x, true
}

// grant changes the copy so that the fact no longer binds the job; false if it never did.
func grant(x *week.Week, job *week.Job, f Fact) bool {
	changed := false
	each := func(do func(v *week.Visit) bool) {
		for i := range job.Visits {
			changed = do(&job.Visits[i]) || changed
		}
	}
	switch f {
	case FactSkill:
		each(func(v *week.Visit) bool { was := len(v.Skills) > 0; v.Skills = nil; return was })
	case FactPeople:
		each(func(v *week.Visit) bool { was := v.People > 1; v.People = 1; return was })
	case FactAllowed:
		changed = job.NotAfter != nil
		job.NotAfter = nil
		each(func(v *week.Visit) bool { was := len(v.Allowed) > 0; v.Allowed, v.EndInside = nil, false; return was })
	case FactPins:
		each(func(v *week.Visit) bool { was := v.Pin != nil; v.Pin = nil; return was })
		changed = thaw(x, job) || changed
	case FactNotBefore:
		changed = job.NotBefore != nil
		job.NotBefore = nil
	case FactClosure:
		changed = len(x.Closures) > 0
		x.Closures = nil
	case FactCommission:
		var links []week.Link
		for _, l := range job.Links {
			if l.Hi != nil {
				changed = true
				l.Hi = nil
				if l.Lo == nil { // a link stays, or the order of the chain would bind
					l.Lo = new(int64)
					*l.Lo = -400 * 86400
				}
			}
			links = append(links, l)
		}
		job.Links = links
	case FactHours:
		return moreHours(x)
	case FactPumps:
		return morePumps(x, job)
	default:
		return job.Water != nil && grantWater(x, job.Water, f)
	}
	return changed
}

// thaw takes a job's visits out of the orders that are frozen.
func thaw(x *week.Week, job *week.Job) bool {
	is := func(id string) bool {
		return slices.ContainsFunc(job.Visits, func(v week.Visit) bool { return v.ID == id })
	}
	changed := false
	for i := range x.Tours {
		if !slices.ContainsFunc(x.Tours[i].Frozen, is) {
			continue
		}
		if !changed {
			x.Tours, changed = slices.Clone(x.Tours), true
		}
		x.Tours[i].Frozen = slices.DeleteFunc(slices.Clone(x.Tours[i].Frozen), is)
	}
	return changed
}

// moreHours adds a second, empty day beside each tour.
func moreHours(x *week.Week) bool {
	tours := slices.Clone(x.Tours)
	for i := range x.Tours {
		t := x.Tours[i]
		if t.Begun != nil && t.Begun.Returned != nil {
			continue
		}
		t.Begun, t.Frozen = nil, nil
		t.Crew += "+"
		t.ID += "+"
		tours = append(tours, t)
	}
	x.Tours = tours
	x.Crews = slices.Clone(x.Crews)
	for _, c := range x.Crews[:len(x.Crews):len(x.Crews)] {
		x.Crews = append(x.Crews, week.Name{ID: c.ID + "+"})
	}
	return len(tours) > 0
}

// morePumps adds two pumps to each home, berths for them to each truck, and lets trucks
// take all material.
func morePumps(x *week.Week, job *week.Job) bool {
	uses := job.Water != nil && job.Water.Way == week.WayArrival
	room := false
	for i := range job.Visits {
		uses = uses || job.Visits[i].DropsPump || job.Visits[i].CollectsPump
		room = room || job.Visits[i].Room > 0
	}
	x.Homes = slices.Clone(x.Homes)
	for h := range x.Homes {
		x.Homes[h].Pumps = slices.Clone(x.Homes[h].Pumps)
		for d := range x.Homes[h].Pumps {
			x.Homes[h].Pumps[d] += 2
		}
	}
	x.Tours = slices.Clone(x.Tours)
	for i := range x.Tours {
		if x.Tours[i].Home != "" {
			x.Tours[i].Berths += 2
		}
		uses = uses || room && x.Tours[i].Room > 0
		x.Tours[i].Room = 0
	}
	return uses
}

// grantWater grants what the water takes.
func grantWater(x *week.Week, wt *week.Water, f Fact) bool {
	far := week.Table{{X: -100 * 86400, Y: -100 * 86400}, {X: 400 * 86400, Y: 400 * 86400}}
	switch f {
	case FactDrain:
		if wt.Way == week.WayWindow {
			return false
		}
		if len(wt.LowLate) > 0 {
			wt.LowLate = far
		}
		if wt.Way == week.WayArrival {
			wt.ArrivalSeconds = 1
		}
		return true
	case FactLowLimit:
		if wt.Way == week.WayWindow {
			if wt.Window == nil {
				return false
			}
			if len(wt.Covered) == 0 { // what needs covered water waited for the window's end
				wt.Covered = far
			}
			wt.Window = &week.Span{From: wt.Window.From, To: x.End + 30*86400}
			return true
		}
		wt.LowLimit = week.Table{{X: -100 * 86400, Y: 100 * 86400}, {X: 400 * 86400, Y: 800 * 86400}}
		return true
	case FactNotice:
		if wt.Customer == nil {
			return false
		}
		c := *wt.Customer
		c.Hours = []week.Span{{From: x.T0, To: x.End}}
		c.NoticeHours, c.Lead = []week.Span{{From: x.T0, To: x.End}}, 0
		wt.Customer = &c
		return true
	}
	return false
}
