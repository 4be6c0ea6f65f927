package dispatch

import (
	"cmp"
	"slices"

	"ebbline/dispatch/check"
	"ebbline/dispatch/week"
)

// rolling compares a plan with the one that is to be expected.
type rolling struct {
	w      *week.Week
	before *week.Plan
	after  *week.Plan
	ix     *week.Index
	begun  map[string]int64
	was    map[string]*week.Stop // planned
	is     map[string]*week.Stop
	out    *Rolled
}

func newRolling(w *week.Week, before, after *week.Plan) *rolling {
	r := &rolling{w: w, before: before, after: after, ix: week.NewIndex(w), begun: begunStops(w), was: stopAt(before), is: stopAt(after),
		out: &Rolled{Plan: after, Stops: []RolledStop{}, Late: []LatePromise{}, Overtime: []RolledOvertime{}, Water: []RolledWater{},
			Lunches: []RolledLunch{}, NoCrew: []string{}, Limits: []Limit{}}}
	return r
}

func stopAt(p *week.Plan) map[string]*week.Stop {
	m := map[string]*week.Stop{}
	for i := range p.Tours {
		for k := range p.Tours[i].Stops {
			s := &p.Tours[i].Stops[k]
			m[s.Visit] = s
		}
	}
	return m
}

func (r *rolling) says() *Rolled {
	for i := range r.after.Tours {
		pt := &r.after.Tours[i]
		for k := range pt.Stops {
			if _, over := r.begun[pt.Stops[k].Visit]; !over {
				r.stop(pt, &pt.Stops[k])
			}
		}
		r.tour(pt)
	}
	slices.SortStableFunc(r.out.Stops, func(a, b RolledStop) int {
		return cmp.Or(cmp.Compare(a.Start, b.Start), cmp.Compare(a.Visit, b.Visit))
	})
	r.promises()
	return r.out
}

// stop says of one stop when it is to be expected and what it waits for.
func (r *rolling) stop(pt *week.PlanTour, s *week.Stop) {
	was := r.was[s.Visit]
	x := RolledStop{Tour: pt.Tour, Visit: s.Visit, Planned: was.Start, Arrive: s.Arrive, Start: s.Start, End: s.End}
	r.water(pt, s, &x)
	if s.Start > was.Start && s.BindsKind != week.BindDrive {
		if by := (s.Start - s.Arrive) - (was.Start - was.Arrive); by > 0 {
			x.Waits, x.For = by, s.Binds
		}
	}
	r.out.Stops = append(r.out.Stops, x)
}

// water says whether a pool is not as the visit needs it when its crew could start.
func (r *rolling) water(pt *week.PlanTour, s *week.Stop, x *RolledStop) {
	at := r.ix.Visit[s.Visit]
	job := &r.w.Jobs[at.Job]
	need := job.Visits[at.Number].Water
	if need == week.NeedNothing || job.Water == nil {
		return
	}
	ready := r.ready(job, need)
	if could := max(s.Arrive, x.Planned); ready != nil && *ready > could {
		r.out.Water = append(r.out.Water, RolledWater{Job: job.ID, Visit: s.Visit, Tour: pt.Tour, Need: need, Ready: *ready, By: *ready - could})
	}
}

// ready is when a pool is as a visit needs it; nil: nothing says so.
func (r *rolling) ready(job *week.Job, need string) *int64 {
	if w := job.Water.Window; job.Water.Way == week.WayWindow && w != nil {
		if need == week.NeedLow {
			return &w.From
		}
		if len(job.Water.Covered) == 0 {
			return &w.To
		}
	}
	if need == week.NeedLow && job.Water.Way == week.WayArrival {
		return nil
	}
	for i := range r.after.Water {
		if p := &r.after.Water[i]; p.Job == job.ID {
			if need == week.NeedLow {
				return p.SurelyLow
			}
			return p.CoveredBy
		}
	}
	return nil
}

// tour says whether a crew's day runs over and whether its lunch moves.
func (r *rolling) tour(pt *week.PlanTour) {
	t := &r.w.Tours[r.ix.Tour[pt.Tour]]
	if t.Begun != nil && t.Begun.Returned != nil {
		return
	}
	var was *week.PlanTour
	for i := range r.before.Tours {
		if r.before.Tours[i].Tour == pt.Tour {
			was = &r.before.Tours[i]
		}
	}
	if pt.Return > t.ShiftTo {
		o := RolledOvertime{Tour: pt.Tour, Seconds: pt.Return - t.ShiftTo, Past: max(0, pt.Return-t.OvertimeTo)}
		if was != nil {
			o.Planned = max(0, was.Return-t.ShiftTo)
		}
		r.out.Overtime = append(r.out.Overtime, o)
	}
	if pt.Lunch == nil || t.Lunch == nil || t.Begun != nil && t.Begun.LunchStart != nil {
		return
	}
	l := RolledLunch{Tour: pt.Tour, Start: pt.Lunch.Start, Past: max(0, pt.Lunch.Start-t.Lunch.To)}
	if was != nil && was.Lunch != nil {
		l.Planned = was.Lunch.Start
	}
	if l.Past > 0 || l.Planned != l.Start {
		r.out.Lunches = append(r.out.Lunches, l)
	}
}

// promises lists those of visits that are still to be made and that are not kept; who
// waits longest comes first, then who is come to too early, then who is not come to.
func (r *rolling) promises() {
	at := stopsOf(r.after)
	for i := range r.w.Promises {
		pr := &r.w.Promises[i]
		if _, over := r.begun[pr.Visit]; over || r.was[pr.Visit] == nil {
			continue
		}
		if l := brokenBy(pr, at); l != nil {
			r.out.Late = append(r.out.Late, *l)
		}
	}
	size := func(l LatePromise) int64 {
		if l.By == nil {
			return -1 << 60
		}
		return *l.By
	}
	slices.SortStableFunc(r.out.Late, func(a, b LatePromise) int { return cmp.Compare(size(b), size(a)) })
}

// limits are the rules that a report finds broken, those that a begun tour or job is
// excused from too.
func limits(rep check.Report) []Limit {
	out := []Limit{}
	for _, b := range slices.Concat(rep.Broken, rep.Excused) {
		if b.Rule == check.RuleCost || b.Rule == check.RuleStated {
			continue
		}
		unit := b.Unit
		if unit == "seconds" {
			unit = "s"
		}
		out = append(out, Limit{Rule: b.Rule, Visit: b.Visit, Tour: b.Tour, Job: b.Job, By: b.By, Unit: unit, Text: b.Text})
	}
	return out
}
