package search

import (
	"slices"

	"ebbline/dispatch/week"
)

// VisitAsk asks for a visit to be made by a tour.
type VisitAsk struct {
	Visit, Tour int
	// After is the stop behind which it comes; -1: first of what has not begun, -2: wherever
	// it is cheapest.
	After int
	// Pinned is the week with the visit's start pinned; nil: the start is free.
	Pinned *week.Week
}

// Anywhere and First are values of VisitAsk.After beside a visit.
const (
	First    = -1
	Anywhere = -2
)

// Visit tries a visit on a tour.
func (a *Warm) Visit(q VisitAsk) Tried {
	v, t := int32(q.Visit), int32(q.Tour)
	j := a.m.visits[v].job
	e := &edit{m: a.m, gone: -1, jobs: []int32{j}}
	if q.Pinned != nil {
		e.m = a.m.withJob(int(j), &q.Pinned.Jobs[j], q.Pinned.Closures)
	}
	if l := a.static(e.m, v, t); len(l) > 0 {
		return Tried{Limits: l}
	}
	spots := a.spotsOf(q)
	if len(spots) == 0 {
		return Tried{Limits: []Limit{{Rule: RulePin, Visit: int(v), Tour: int(t), Job: int(j), Unit: "s", Kind: "frozen"}}}
	}
	found := a.lifts(v, e, func(st *state) bool {
		better := false
		for _, pos := range spots {
			a.ways(st, v, t, pos, func() {
				if a.best.m == nil || st.total < a.best.total {
					a.best.copyWith(st, e.m)
					better = true
				}
			})
		}
		return better
	})
	if found {
		return a.answer(a.best, e)
	}
	return Tried{Limits: a.visitLimits(e, v, t, spots)}
}

// ways puts a lifted visit into a spot in the ways of having lunch that are open, and calls
// with for each that fits.
func (a *Warm) ways(st *state, v, t int32, pos int, with func()) {
	lunches := [2]*lunchAt{nil, nil}
	n := 1
	if a.ownSpot(v, t, pos) { // lunch as planned is one
		lunches[1], n = &a.base.lunch[t], 2
	}
	for _, l := range lunches[:n] {
		if mark, ok := st.put1(v, t, pos, l); ok {
			with()
			st.lift1(v, t, mark)
		}
	}
}

// ownSpot reports whether a position is where the plan has the visit.
func (a *Warm) ownSpot(v, t int32, pos int) bool {
	l := a.base.stops[t]
	return t == a.base.tourOf[v] && pos < len(l) && l[pos] == v
}

// lifts calls try with the plan without a visit, once for each way of timing the rest that
// may differ. try says whether it found something better; a.best.m is nil before.
func (a *Warm) lifts(v int32, e *edit, try func(st *state) bool) bool {
	a.best.m = nil
	j, t := a.m.visits[v].job, a.base.tourOf[v]
	frees := []bool{false}
	if a.base.hold[v] > always || t >= 0 && a.base.holding(t) {
		frees = []bool{false, true}
	}
	gives := []bool{false}
	if a.mayGive(j) && !a.base.moved[j] {
		gives = []bool{false, true}
	}
	found := false
	for _, give := range gives {
		for _, free := range frees {
			if a.lift(a.lifted, v, e, free, give) && try(a.lifted) {
				found = true
			}
		}
	}
	if a.best.m == nil {
		a.best.m = a.m
	}
	return found
}

// spotsOf are the positions on the tour, as it stands without the visit, that a question
// leaves open and frozen stops allow.
func (a *Warm) spotsOf(q VisitAsk) []int {
	v, t := int32(q.Visit), int32(q.Tour)
	stops := a.base.stops[t]
	if k := slices.Index(stops, v); k >= 0 {
		stops = slices.Delete(slices.Clone(stops), k, k+1)
	}
	first, last := a.m.mayTakeOf(stops, v, t)
	if q.After == Anywhere {
		var list []int
		for pos := first; pos <= last; pos++ {
			list = append(list, int(pos))
		}
		return list
	}
	pos := int32(len(a.m.tours[t].prefix))
	if q.After != First {
		pos = int32(slices.Index(stops, int32(q.After))) + 1
	}
	if pos < first || pos > last {
		return nil
	}
	return []int{int(pos)}
}

// mayTakeOf is [state.mayTake] for a list of stops.
func (m *model) mayTakeOf(stops []int32, v, t int32) (first, last int32) {
	st := state{m: m, stops: make([][]int32, t+1)}
	st.stops[t] = stops
	return st.mayTake(v, t)
}
