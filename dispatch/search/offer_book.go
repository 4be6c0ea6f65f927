package search

import "slices"

// Book puts a job into the plan as a window has it. A window that no longer fits so, or is
// not of this plan, does not fit.
func (a *Warm) Book(q OfferAsk, stops []Moved) Tried {
	o := &offerer{a: a, st: a.fresh, in: a.finder, q: q, j: int32(q.Job)}
	o.st.copyWith(a.base, a.m)
	o.st.moved[o.j] = false
	spots := make([]spot, len(stops))
	for i, s := range stops {
		spots[i] = spot{int32(s.Visit), int32(s.Tour), 0}
		if s.Tour >= 0 && (a.m.tours[s.Tour].returned || !slices.Contains(a.m.visits[s.Visit].tours, int32(s.Tour))) {
			return Tried{}
		}
	}
	if !o.as(stops, spots, 0) {
		return Tried{}
	}
	return a.answer(o.st, &edit{m: a.m, gone: -1})
}

// as finds the positions from number i on with which all visits start when stops say.
func (o *offerer) as(stops []Moved, spots []spot, i int) bool {
	if i == len(stops) {
		undo, ok := o.placed(spots)
		if !ok {
			return false
		}
		for _, s := range stops {
			if s.Tour >= 0 && o.st.ss[s.Visit] != s.Start {
				undo()
				return false
			}
		}
		return true
	}
	if spots[i].tour < 0 {
		return o.a.m.visits[spots[i].visit].owedFloor && o.as(stops, spots, i+1)
	}
	first, last := o.st.mayTake(spots[i].visit, spots[i].tour)
	for pos := first; pos <= last; pos++ {
		if spots[i].pos = pos; o.as(stops, spots, i+1) {
			return true
		}
	}
	return false
}
