package dispatch

import (
	"sort"

	"ebbline/dispatch/week"
)

// What a difference between two plans says.
const (
	CrewAnew       = "crew_anew"       // a crew's day has another list of stops
	CrewMoved      = "crew_moved"      // same stops, some start moved by more than is let pass
	TellDrain      = "tell_drain"      // a customer is told a drain interval for the first time
	MoveDrain      = "move_drain"      // the told drain interval changed
	WithdrawDrain  = "withdraw_drain"  // the told drain interval no longer holds
	TellWindow     = "tell_window"     // a visit is new in the plan
	MoveWindow     = "move_window"     // a visit's start or day changed by more than is let pass
	WithdrawWindow = "withdraw_window" // a visit is no longer in the plan
)

// Difference is one thing that someone must be told.
type Difference struct {
	What  string `json:"what"`
	Tour  string `json:"tour,omitempty"`
	Job   string `json:"job,omitempty"` // of drain intervals
	Visit string `json:"visit,omitempty"`
	// Before and After are the told interval, or the visit's start in both fields.
	Before *week.Interval `json:"before,omitempty"`
	After  *week.Interval `json:"after,omitempty"`
}

// MovedSeconds is by how much a start may move before anyone is told.
const MovedSeconds = 900

// Told lists who must be told what when plan after takes the place of plan before;
// before may be nil (nothing told yet). Crews come first, then drains, then windows,
// each in the order of ids.
func Told(before, after *week.Plan) []Difference {
	if before == nil {
		before = &week.Plan{}
	}
	var out []Difference
	out = append(out, crews(before, after)...)
	out = append(out, drains(before, after)...)
	return append(out, windows(before, after)...)
}

// ToldSince is [Told] for a day that has begun: what has begun in week w is neither moved
// nor told, crews that have returned are told nothing, and of crews' days, jobs and visits
// that w does not hold any more nobody is told. w is the week as things stand, before
// changes that take crews or jobs out of it.
func ToldSince(w *week.Week, before, after *week.Plan) []Difference {
	if before == nil {
		before = &week.Plan{}
	}
	ix := week.NewIndex(w)
	a, b := stillTold(w, ix, before), stillTold(w, ix, after)
	var out []Difference
	for _, d := range crews(a, b) {
		if g := w.Tours[ix.Tour[d.Tour]].Begun; g == nil || g.Returned == nil {
			out = append(out, d)
		}
	}
	out = append(out, drains(a, b)...)
	for _, d := range windows(a, b) {
		if _, ok := ix.Visit[d.Visit]; ok {
			out = append(out, d)
		}
	}
	return out
}

// stillTold is a plan without what is over in w or under way.
func stillTold(w *week.Week, ix *week.Index, p *week.Plan) *week.Plan {
	begun, q := begunStops(w), &week.Plan{}
	for i := range p.Tours {
		if _, ok := ix.Tour[p.Tours[i].Tour]; !ok {
			continue
		}
		pt := week.PlanTour{Tour: p.Tours[i].Tour}
		for _, s := range p.Tours[i].Stops {
			if _, over := begun[s.Visit]; !over {
				pt.Stops = append(pt.Stops, s)
			}
		}
		q.Tours = append(q.Tours, pt)
	}
	for _, t := range p.Told {
		if j, ok := ix.Job[t.Job]; ok && !drained(&w.Jobs[j], begun) {
			q.Told = append(q.Told, t)
		}
	}
	return q
}

// drained reports whether nothing is to be told of a job's drain any more.
func drained(job *week.Job, begun map[string]int64) bool {
	if job.Water == nil || job.Water.DrainedAt != nil {
		return true
	}
	for i := range job.Visits {
		if _, over := begun[job.Visits[i].ID]; over && job.Visits[i].Water == week.NeedLow {
			return true
		}
	}
	return false
}

// begunStops are the starts of the visits that have begun.
func begunStops(w *week.Week) map[string]int64 {
	m := map[string]int64{}
	for i := range w.Tours {
		if b := w.Tours[i].Begun; b != nil {
			for _, s := range b.Stops {
				m[s.Visit] = s.Start
			}
		}
	}
	return m
}

func crews(before, after *week.Plan) []Difference {
	was, is := map[string]*week.PlanTour{}, map[string]*week.PlanTour{}
	for i := range before.Tours {
		was[before.Tours[i].Tour] = &before.Tours[i]
	}
	for i := range after.Tours {
		is[after.Tours[i].Tour] = &after.Tours[i]
	}
	var out []Difference
	for _, id := range keys(was, is) {
		var a, b []week.Stop
		if t := was[id]; t != nil {
			a = t.Stops
		}
		if t := is[id]; t != nil {
			b = t.Stops
		}
		what := ""
		if len(a) != len(b) {
			what = CrewAnew
		}
		for k := 0; what != CrewAnew && k < len(a); k++ {
			if a[k].Visit != b[k].Visit {
				what = CrewAnew
			} else if moved(a[k].Start, b[k].Start) {
				what = CrewMoved
			}
		}
		if what != "" {
			out = append(out, Difference{What: what, Tour: id})
		}
	}
	return out
}

func drains(before, after *week.Plan) []Difference {
	was, is := map[string]*week.Interval{}, map[string]*week.Interval{}
	for _, t := range before.Told {
		was[t.Job] = &week.Interval{Earliest: t.Earliest, Latest: t.Latest}
	}
	for _, t := range after.Told {
		is[t.Job] = &week.Interval{Earliest: t.Earliest, Latest: t.Latest}
	}
	var out []Difference
	for _, id := range keys(was, is) {
		a, b := was[id], is[id]
		d := Difference{Job: id, Before: a, After: b}
		switch {
		case a == nil:
			d.What = TellDrain
		case b == nil:
			d.What = WithdrawDrain
		case *a != *b:
			d.What = MoveDrain
		default:
			continue
		}
		out = append(out, d)
	}
	return out
}

// planned is where and when a plan makes a visit.
type planned struct {
	tour  string
	start int64
}

func windows(before, after *week.Plan) []Difference {
	was, is := stopsOf(before), stopsOf(after)
	var out []Difference
	for _, id := range keys(was, is) {
		a, b := was[id], is[id]
		d := Difference{Visit: id}
		if a != nil {
			d.Before = &week.Interval{Earliest: a.start, Latest: a.start}
		}
		if b != nil {
			d.After, d.Tour = &week.Interval{Earliest: b.start, Latest: b.start}, b.tour
		}
		switch {
		case a == nil:
			d.What = TellWindow
		case b == nil:
			d.What = WithdrawWindow
		case moved(a.start, b.start):
			d.What = MoveWindow
		default:
			continue
		}
		out = append(out, d)
	}
	return out
}

func stopsOf(p *week.Plan) map[string]*planned {
	m := map[string]*planned{}
	for i := range p.Tours {
		for _, s := range p.Tours[i].Stops {
			m[s.Visit] = &planned{p.Tours[i].Tour, s.Start}
		}
	}
	return m
}

func moved(a, b int64) bool { return a-b > MovedSeconds || b-a > MovedSeconds }

// keys are the ids of both, sorted.
func keys[V any](a, b map[string]V) []string {
	var ids []string
	for id := range a {
		ids = append(ids, id)
	}
	for id := range b {
		if _, ok := a[id]; !ok {
			ids = append(ids, id)
		}
	}
	sort.Strings(ids)
	return ids
}
