package weeks

import (
	"slices"

	"ebbline/dispatch/week"
)

// Later is the same week at a later instant: what plan p had begun by then is a fact,
// the rest was handed out, customers who were told keep their interval as sent.
func Later(w *week.Week, p *week.Plan, t0 int64) *week.Week {
	x := *w
	x.T0 = t0
	x.Tours, x.Jobs, x.Promises = slices.Clone(w.Tours), slices.Clone(w.Jobs), nil
	begun := map[string]bool{}
	placeOf := map[string]string{}
	for j := range w.Jobs {
		for _, v := range w.Jobs[j].Visits {
			placeOf[v.ID] = v.Place
		}
	}
	handed := &week.HandedOut{}
	for _, pt := range p.Tours {
		h := week.HandedTour{Tour: pt.Tour}
		for _, s := range pt.Stops {
			h.Stops = append(h.Stops, week.HandedStop{Visit: s.Visit, Start: s.Start})
		}
		handed.Tours = append(handed.Tours, h)
		for i := range x.Tours {
			if x.Tours[i].ID == pt.Tour && pt.Depart <= t0 {
				b := begunAt(&x.Tours[i], &pt, t0, begun, placeOf)
				x.Tours[i].Begun = b
				x.Tours[i].Frozen = slices.DeleteFunc(slices.Clone(x.Tours[i].Frozen), func(v string) bool { return begun[v] || b.Returned != nil })
				if l := x.Tours[i].Lunch; l != nil && b.LunchStart == nil && b.FreeAt > l.To {
					x.Tours[i].Lunch = nil // missed: the edge no longer asks for it
				}
			}
		}
	}
	x.HandedOut = handed
	gone := map[string]bool{}
	for _, l := range p.LeftOut {
		gone[l.Job] = true
	}
	for j := range x.Jobs {
		job := &x.Jobs[j]
		job.Visits = slices.Clone(job.Visits)
		for n := range job.Visits {
			if begun[job.Visits[n].ID] {
				job.Begun = true
				job.Visits[n].Pin = nil
			} else if pin := job.Visits[n].Pin; pin != nil && pin.Day != nil && x.DayStart(*pin.Day+1) <= t0 {
				job.Visits[n].Pin = nil
			}
		}
		later(&x, job, p, t0)
	}
	return &x
}

// later turns a told interval into a sent one, or into a drain that has begun.
func later(x *week.Week, job *week.Job, p *week.Plan, t0 int64) {
	if job.Water == nil || job.Water.Customer == nil {
		return
	}
	for _, t := range p.Told {
		if t.Job != job.ID {
			continue
		}
		wt := *job.Water
		if t.Earliest <= t0 {
			at := t.Earliest
			wt.DrainedAt, wt.Customer, job.Begun = &at, nil, true
		} else {
			c := *wt.Customer
			c.Sent = &week.Interval{Earliest: t.Earliest, Latest: t.Latest}
			wt.Customer = &c
		}
		job.Water = &wt
	}
}

// begunAt is the part of a planned tour that has begun by t0.
func begunAt(t *week.Tour, pt *week.PlanTour, t0 int64, begun map[string]bool, placeOf map[string]string) *week.Begun {
	b := &week.Begun{Depart: pt.Depart, Load: pt.Load, Place: t.Start, FreeAt: t0}
	if pt.Lunch != nil && pt.Lunch.Start <= t0 {
		at := pt.Lunch.Start
		b.LunchStart = &at
		b.FreeAt = max(b.FreeAt, at+t.Lunch.Seconds)
	}
	for _, s := range pt.Stops {
		if s.Start > t0 {
			break
		}
		s.PumpsAfter, s.Slack, s.Binds, s.BindsKind = nil, nil, "", "" // of plans, not of what happened
		if b.LunchStart == nil && pt.Lunch != nil && pt.Lunch.Inside == s.Visit {
			s.End -= t.Lunch.Seconds // still to come
		}
		b.Stops = append(b.Stops, s)
		b.Place, b.FreeAt = placeOf[s.Visit], max(b.FreeAt, s.End)
		begun[s.Visit] = true
		if b.LunchStart != nil && pt.Lunch.Inside == s.Visit {
			b.LunchInside = s.Visit
		}
	}
	if pt.Return <= t0 {
		at := pt.Return
		b.Returned, b.Place, b.FreeAt = &at, t.End, at
	}
	return b
}
