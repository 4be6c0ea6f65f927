package search

import (
	"slices"

	"ebbline/dispatch/week"
)

// Tried is what comes of a change; numbers are those of the week's jobs, tours and promises
// and of the visits counted through.
type Tried struct {
	Fits    bool
	Cost    week.Cost // if it fits
	Moved   []Moved
	Out, In []int
	Late    []Late
	Limits  []Limit
	at      *state // the state after it, until the next question
}

// Moved is a visit's tour and start before and after; tour -1: not on any.
type Moved struct {
	Visit, TourBefore, Tour int
	Before, Start           int64
}

// Late is a promise that would be broken and was not; By is past its end, negative before
// it begins; Unmade: the visit is not made.
type Late struct {
	Promise int
	By      int64
	Unmade  bool
}

// edit is a change of the week and of which visits its plan makes.
type edit struct {
	m     *model
	out   []int32 // jobs that fall out
	owe   []int32 // visits to be left for after the horizon
	gone  int32   // job that the week no longer holds, -1
	tours []int32 // tours whose stops need not be held back any more
	jobs  []int32 // jobs that may give up a promised window or told interval
	off   []int32 // begun jobs let off limits that are priced
	whole bool    // what has begun changes, so all is timed from nothing
}

// copyWith makes st equal to o under another model of the same size.
func (st *state) copyWith(o *state, m *model) {
	st.m = m
	st.changed.clear()
	st.lunchless = st.lunchless[:0]
	st.copyFrom(o)
	st.peak, st.fell = 0, false
	copy(st.tardy, o.tardy)
}

// prepare makes st the base with an edit done to its lists, and notes what may come earlier;
// not timed yet.
func (a *Warm) prepare(st *state, e *edit, free, give bool) {
	st.copyWith(a.base, e.m)
	m := e.m
	for v := range m.visits {
		if vs := &m.visits[v]; vs.fixed && (st.e[v] != vs.begun1 || st.s[v] != vs.begun0) {
			st.s[v], st.e[v], st.ss[v], st.se[v] = vs.begun0, vs.begun1, vs.begun0, vs.begun1
		}
	}
	for _, j := range e.out {
		st.remove(j)
	}
	for _, v := range e.owe {
		st.leave0(v)
	}
	for _, j := range e.jobs {
		st.moved[j] = st.moved[j] || give
		st.dropJob(j)
		st.soilJob(j)
	}
	for _, j := range e.off {
		st.off[j] |= offLow | offCommission
	}
	st.relunch = st.relunch[:0]
	for _, t := range e.tours {
		st.soil(t)
		if m.tours[t].lunch == nil {
			st.lunch[t] = lunchAt{}
		}
		if free {
			st.letGoOf(t)
			st.fast(t)
		}
	}
	st.recount()
}

// fast times a tour as if no lunch were due, until [state.lunchAnew].
func (st *state) fast(t int32) {
	tr := &st.m.tours[t]
	if tr.lunch == nil || st.lunch[t].kind == lunchTaken || tr.returned {
		return
	}
	st.lunch[t], st.dep[t] = lunchAt{kind: lunchTaken}, always
	st.lunchless = append(st.lunchless, t)
	for k := len(tr.prefix); k < len(st.stops[t]); k++ {
		st.cuts = append(st.cuts, cut{t, int32(k), true})
	}
}

// leave0 takes a visit of a job that stays off its tour and owes it.
func (st *state) leave0(v int32) {
	if t := st.tourOf[v]; t >= 0 {
		k := int32(slices.Index(st.stops[t], v))
		for c := range st.cuts {
			if x := &st.cuts[c]; x.tour == t && x.pos > k {
				x.pos--
			}
		}
		st.cuts = append(st.cuts, cut{t, k, true})
	}
	st.takeOff(v)
	st.owed[v] = true
	if w := st.m.jobs[st.m.visits[v].job].told; w >= 0 {
		st.placed[w] = st.placed[st.m.jobs[st.m.visits[v].job].firstLow]
	}
}

// takeOff takes one visit off its tour, if it is on one; books and times are not kept.
func (st *state) takeOff(v int32) {
	t := st.tourOf[v]
	st.owed[v] = false
	if t < 0 {
		return
	}
	k := slices.Index(st.stops[t], v)
	st.stops[t] = slices.Delete(st.stops[t], k, k+1)
	st.dropLunch(t, k)
	st.placed[v], st.tourOf[v] = false, -1
	st.count--
}

// holding reports whether anything of a tour is held back.
func (st *state) holding(t int32) bool {
	for _, v := range st.stops[t] {
		jb := &st.m.jobs[st.m.visits[v].job]
		for u := jb.first; u < jb.first+jb.n; u++ {
			if st.hold[u] > always {
				return true
			}
		}
		if jb.told >= 0 && st.hold[jb.told] > always {
			return true
		}
	}
	return false
}

// try times an edit of the plan in the ways that are open to it, and keeps the cheapest: with
// lunches and what is held back as planned, and as if they were not. Promises of jobs that
// change are given up only where nothing else fits.
func (a *Warm) try(e *edit) Tried {
	found := false
	gives := a.gives(e)
	for n := 0; n <= gives && !found; n++ {
		for _, free := range []bool{false, true} {
			st := a.fresh
			a.prepare(st, e, free, n > 0)
			if !st.settleEdit(e) || len(a.notKept(st)) > 0 {
				continue
			}
			if !found || st.total < a.best.total {
				a.fresh, a.best, found = a.best, a.fresh, true
			}
			if len(e.tours) == 0 {
				break
			}
		}
	}
	if found {
		return a.answer(a.best, e)
	}
	return Tried{Limits: a.limits(e)}
}

// gives is 1 if a job of an edit has a promise to give up.
func (a *Warm) gives(e *edit) int {
	for _, j := range e.jobs {
		if a.mayGive(j) && !a.base.moved[j] {
			return 1
		}
	}
	return 0
}

// lunchAnew chooses lunch for the tours that wait for it, when all else is timed.
func (st *state) lunchAnew() bool { return st.lunchTimed(roundCap*st.count + 64) }

// lunchTimed is lunchAnew with so many updates for each tour.
func (st *state) lunchTimed(cap int) bool {
	for _, t := range st.lunchless {
		st.setLunch(t, lunchAt{})
		st.budget = cap
		if !st.lunchOpen(t) {
			return false
		}
		st.enqueue(t)
		if !st.propagate() {
			st.drain()
			return false
		}
	}
	st.lunchless = st.lunchless[:0]
	return true
}

// settleEdit times and prices a state that is prepared.
func (st *state) settleEdit(e *edit) bool {
	if e.whole {
		if !st.raise(roundCap * st.count) {
			return false
		}
		for t := range st.m.tours {
			st.soil(int32(t))
		}
		for j := range st.m.jobs {
			st.soilJob(int32(j))
		}
	} else {
		st.allow(2 * roundCap)
		if !st.sink() || !st.lunchAnew() {
			st.drain()
			st.wipe()
			return false
		}
	}
	st.reprice()
	st.trail = st.trail[:0]
	return true
}

// mayGive reports whether a job has a promised window or a sent interval to give up.
func (a *Warm) mayGive(j int32) bool {
	jb := &a.m.jobs[j]
	if jb.hasSent {
		return true
	}
	for v := jb.first; v < jb.first+jb.n; v++ {
		if len(a.m.visits[v].promises) > 0 {
			return true
		}
	}
	return false
}

// answer compares a timed state with the base.
func (a *Warm) answer(st *state, e *edit) Tried {
	b, m := a.base, e.m
	// rules that hold each other up in a circle may hold up more than they have to
	if o := a.lifted; st != o {
		if o.copyWith(st, m); o.rebuild() && o.total <= st.total {
			st = o
		}
	}
	r := Tried{Fits: true, at: st, Cost: st.headsBut(e.gone)}
	for v := range a.m.real {
		if st.tourOf[v] == b.tourOf[v] && (st.tourOf[v] < 0 || st.ss[v] == b.ss[v]) {
			continue
		}
		x := Moved{Visit: v, TourBefore: int(b.tourOf[v]), Tour: int(st.tourOf[v])}
		if x.TourBefore >= 0 {
			x.Before = b.ss[v]
		}
		if x.Tour >= 0 {
			x.Start = st.ss[v]
		}
		r.Moved = append(r.Moved, x)
	}
	slices.SortStableFunc(r.Moved, func(x, y Moved) int {
		switch {
		case (x.Tour < 0) != (y.Tour < 0):
			if x.Tour < 0 {
				return 1
			}
			return -1
		case x.Start != y.Start:
			if x.Start < y.Start {
				return -1
			}
			return 1
		}
		return x.Visit - y.Visit
	})
	for j := range m.jobs {
		if st.in[j] && !b.in[j] {
			r.In = append(r.In, j)
		}
		if !st.in[j] && b.in[j] {
			r.Out = append(r.Out, j)
		}
	}
	for j := range m.jobs {
		if int32(j) == e.gone {
			continue
		}
		for v := m.jobs[j].first; v < m.jobs[j].first+m.jobs[j].n; v++ {
			for _, p := range m.visits[v].promises {
				if b.keepsPromise(v, p) && !st.keepsPromise(v, p) {
					r.Late = append(r.Late, st.lateBy(v, p))
				}
			}
		}
	}
	slices.SortFunc(r.Late, func(x, y Late) int { return x.Promise - y.Promise })
	return r
}

func (st *state) keepsPromise(v, p int32) bool {
	x := &st.m.w.Promises[p]
	return st.placed[v] && x.From <= st.ss[v] && st.ss[v] <= x.To
}

func (st *state) lateBy(v, p int32) Late {
	x := &st.m.w.Promises[p]
	switch {
	case !st.placed[v]:
		return Late{Promise: int(p), Unmade: true}
	case st.ss[v] < x.From:
		return Late{Promise: int(p), By: st.ss[v] - x.From}
	}
	return Late{Promise: int(p), By: st.ss[v] - x.To}
}
