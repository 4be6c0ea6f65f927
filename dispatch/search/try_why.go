package search

// laxCap is how many updates a question may take to find how far times go without upper
// limits; rules that push each other in a circle never settle.
const laxCap = 600

// laxOf is an edit's model without upper limits.
func (a *Warm) laxOf(e *edit) *model {
	if a.laxBase == nil {
		a.laxBase = laxModel(a.m, nil, nil)
	}
	if e.m == a.m {
		return a.laxBase
	}
	return laxModel(e.m, a.m, a.laxBase)
}

// least times something without upper limits on a state that is ready for it, and undoes it
// again unless keep; ok is false if it did not settle.
type timing func(m *model, cap int) (st *state, undo func(), ok bool)

// visitLimits says why a visit fits at none of some positions of a tour: for that where,
// without upper limits, the fewest would break.
func (a *Warm) visitLimits(e *edit, v, t int32, spots []int) []Limit {
	j := e.m.visits[v].job
	st := a.lifted
	if !a.lift(st, v, e, true, a.mayGive(j)) {
		return []Limit{a.undecided(j)}
	}
	lax := a.laxOf(e)
	best, bestPos, settled := []Limit(nil), spots[0], false
	for _, pos := range spots {
		st.putIn(v, t, pos)
		books := a.notKept(st)
		st.takeIn(v, t)
		if len(books) > 0 {
			if len(spots) == 1 {
				return books
			}
			if best == nil {
				best = books
			}
			continue
		}
		l, ok := a.under(lax, e.m, a.timing1(e, st, v, t, pos))
		if ok && (!settled || len(l) < len(best) || len(l) == len(best) && sumBy(l) < sumBy(best)) || best == nil {
			best, bestPos = l, pos
		}
		settled = settled || ok
	}
	if !settled && len(best) > 0 {
		return best
	}
	return a.why(e, lax, []int32{j}, v, a.timing1(e, st, v, t, bestPos))
}

func sumBy(l []Limit) (sum int64) {
	for i := range l {
		sum += l[i].By
	}
	return sum
}

// timing1 times a lifted visit at a position.
func (a *Warm) timing1(e *edit, st *state, v, t int32, pos int) timing {
	return func(m *model, cap int) (*state, func(), bool) {
		st.m = m
		mark, ok := st.time1(v, t, pos, cap, nil)
		if !ok {
			st.m = e.m
			return st, nil, false
		}
		return st, func() { st.lift1(v, t, mark); st.m = e.m }, true
	}
}

// limits says why an edit does not fit: of the ways of timing the rest, for that where the
// fewest limits break.
func (a *Warm) limits(e *edit) []Limit {
	var best []Limit
	lax := a.laxOf(e)
	for _, free := range []bool{false, true} {
		if free && len(e.tours) == 0 {
			break
		}
		l := a.limitsOf(e, lax, free)
		if best == nil || len(l) < len(best) || len(l) == len(best) && sumBy(l) < sumBy(best) {
			best = l
		}
	}
	return best
}

func (a *Warm) limitsOf(e *edit, lax *model, free bool) []Limit {
	st := a.fresh
	a.prepare(st, e, free, true)
	if l := a.notKept(st); len(l) > 0 {
		return l
	}
	l := a.why(e, lax, e.jobs, -1, func(m *model, cap int) (*state, func(), bool) {
		x := *e
		x.m = m
		a.prepare(st, &x, free, true)
		if e.whole {
			return st, func() {}, st.raise(cap)
		}
		st.budget = cap
		ok := st.sink() && st.lunchTimed(cap)
		st.drain()
		st.wipe()
		return st, func() {}, ok
	})
	if l != nil {
		return l
	}
	// it fits in its least times, so it is what shows only when all is timed
	a.prepare(st, e, free, true)
	st.settleEdit(e)
	if l := a.notKept(st); len(l) > 0 {
		return l
	}
	return []Limit{a.undecided(-1)}
}

func (a *Warm) undecided(j int32) Limit {
	return Limit{Rule: RuleLink, Visit: -1, Tour: -1, Job: int(j), Unit: inSeconds, Kind: "undecided"}
}

// raise finds the least times of everything from nothing; nothing is priced.
func (st *state) raise(cap int) bool {
	m := st.m
	st.trail, st.cuts, st.relunch = st.trail[:0], st.cuts[:0], st.relunch[:0]
	st.wipe()
	st.drain()
	st.count = 0
	for v := range m.visits {
		if m.visits[v].fixed {
			continue
		}
		st.ls[v], st.le[v], st.s[v], st.e[v] = always, always, always, always
		if st.placed[v] {
			st.count++
		}
	}
	st.budget = cap + 8*st.count
	ok := true
	for t := range m.tours {
		st.dep[t] = always
		if len(st.stops[t]) > 0 {
			st.enqueue(int32(t))
		}
	}
	for j := range m.jobs {
		if st.in[j] || m.jobs[j].must {
			ok = ok && st.open(int32(j))
		}
	}
	ok = ok && st.propagate() && st.lunchTimed(roundCap*st.count)
	st.drain()
	st.wipe()
	return ok
}

// why finds the limits that keep an edit from fitting; try times it under a model. v is the
// visit that is put somewhere, -1: none.
func (a *Warm) why(e *edit, lax *model, jobs []int32, v int32, try timing) []Limit {
	with, settled := a.under(lax, e.m, try)
	if settled && len(with) == 0 {
		if l := a.late1(e, try); len(l) > 0 || v < 0 {
			return l
		}
		return []Limit{{Rule: RuleLunch, Visit: int(v), Tour: -1, Job: int(e.m.visits[v].job), Unit: inSeconds, Kind: "unknown"}}
	}
	apart, ok := a.under(withoutBack(lax, jobs), e.m, try)
	switch {
	case ok && len(apart) == 0:
		if l := a.links(e, jobs, try); len(l) > 0 {
			return l
		}
		return with
	case settled && (!ok || len(apart) >= len(with)):
		return cut6(with)
	case ok:
		return cut6(apart)
	case v >= 0:
		return a.order(e, lax, v, try)
	}
	return []Limit{a.undecided(-1)}
}

func cut6(l []Limit) []Limit { return l[:min(len(l), mostLimits)] }

// under are the limits that the least times without upper limits go beyond.
func (a *Warm) under(lax, strict *model, try timing) ([]Limit, bool) {
	st, undo, ok := try(lax, laxCap)
	defer lax.closeAll()
	if !ok {
		return nil, false
	}
	l := a.excess(st, strict)
	undo()
	return l, true
}

// late1 looks for what shows only when all is timed: a crew on two tours at once, a pool
// left low.
func (a *Warm) late1(e *edit, try timing) []Limit {
	st, undo, ok := try(e.m, laxCap)
	if !ok {
		return nil
	}
	st.reprice()
	l := a.notKept(st)
	undo()
	return l
}
