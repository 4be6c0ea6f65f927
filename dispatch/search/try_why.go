package search

import (
	"slices"
)

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
		return a.late1(e, try)
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

// withoutBack is m without the rules by which later visits of jobs hold earlier ones back:
// that they must follow soon enough, and low limits.
func withoutBack(m *model, jobs []int32) *model {
	c := *m
	c.visits = slices.Clone(m.visits)
	for _, j := range jobs {
		jb := &c.jobs[j]
		for v := jb.first; v < jb.first+jb.n; v++ {
			c.visits[v].out = slices.DeleteFunc(slices.Clone(c.visits[v].out), func(x arc) bool { return back(v, &x) })
		}
	}
	return &c
}

func back(v int32, x *arc) bool { return x.limit || x.to < v }

// links are the rules that later visits must follow soon enough, where nothing but they
// is in the way: by how much the later one comes too late.
func (a *Warm) links(e *edit, jobs []int32, try timing) []Limit {
	st, undo, ok := try(withoutBack(e.m, jobs), laxCap)
	if !ok {
		return nil
	}
	var list []brokenBack
	for _, j := range jobs {
		jb := &e.m.jobs[j]
		most := brokenBack{n: -1}
		for v := jb.first; v < jb.first+jb.n; v++ {
			for n := range e.m.visits[v].out {
				x := &e.m.visits[v].out[n]
				by := st.backBy(e.m, j, v, x)
				switch {
				case by > 0 && x.fn == fnLimit: // one limit, whatever visit comes last
					if by > most.by {
						most = brokenBack{v, int32(n), by}
					}
				case by > 0:
					list = append(list, brokenBack{v, int32(n), by})
				}
			}
			if st.owed[v] && len(list) == 0 {
				if l := st.owedLatest(j, v); l != nil && *l < e.m.w.NextWorkday.End {
					undo()
					return []Limit{{Rule: RuleOwed, Visit: int(v), Tour: -1, Job: int(j), By: e.m.w.NextWorkday.End - *l, Unit: inSeconds, At: *l}}
				}
			}
		}
		if most.n >= 0 {
			list = append(list, most)
		}
	}
	undo()
	var out []Limit
	for _, b := range list {
		lo, hi := int64(0), b.by // hi does, lo may not
		m := granting1(e.m, b, list)
		for lo < hi {
			mid := (lo + hi) / 2
			m.give(e.m, b.v, b.n, mid)
			if _, undo, ok := try(m, laxCap); ok {
				undo()
				hi = mid
			} else {
				lo = mid + 1
			}
		}
		if hi == 0 {
			continue // the others are in the way
		}
		x := &e.m.visits[b.v].out[b.n]
		other := int(x.to)
		if e.m.visits[x.to].told {
			other = -1
		}
		l := Limit{Rule: ruleOf(x), Visit: int(b.v), Tour: -1, Job: int(e.m.visits[b.v].job), By: hi, Unit: inSeconds, Kind: "back", Home: other}
		if x.fn == fnAdd {
			l.Rule = RuleLink
		}
		out = append(out, l)
	}
	return out
}

// brokenBack is rule n from visit v, broken by so much.
type brokenBack struct {
	v, n int32
	by   int64
}

// backBy is by how much a rule from v to an earlier visit is broken as times stand.
func (st *state) backBy(m *model, j, v int32, x *arc) int64 {
	off := st.off[j]
	if !back(v, x) || !st.placed[v] || !st.placed[x.to] || off != 0 && (x.limit && off&offLow != 0 || x.comm && off&offCommission != 0) {
		return 0
	}
	from := st.s[v]
	if x.fromEnd {
		from = st.e[v]
	}
	if x.fn == fnLimit {
		begin := st.s[x.to]
		if x.toEnd {
			begin = st.e[x.to]
		}
		wt := m.jobs[j].water
		y, ok1 := at(wt.Covered, from)
		lim, ok2 := limitOf(wt, begin)
		if !ok1 || !ok2 {
			return 0
		}
		return y - lim
	}
	to := st.s[x.to]
	if x.toEnd {
		to = st.e[x.to]
	}
	return from + x.c - to
}

// granting1 is m to have one broken rule give way in, without the other broken ones.
func granting1(m *model, b brokenBack, list []brokenBack) *model {
	c := *m
	c.visits, c.jobs = slices.Clone(m.visits), slices.Clone(m.jobs)
	c.visits[b.v].out = slices.Clone(m.visits[b.v].out)
	limit := m.visits[b.v].out[b.n].fn == fnLimit
	for _, o := range list {
		if o == b {
			continue
		}
		out := slices.Clone(c.visits[o.v].out)
		out[o.n] = arc{to: out[o.n].to, c: always} // asks for nothing
		c.visits[o.v].out = out
	}
	if !limit { // low limits of all visits go with the one that is named
		for _, o := range list {
			if m.visits[o.v].out[o.n].fn == fnLimit {
				c.dropLimits(m.visits[o.v].job)
			}
		}
	}
	return &c
}

// dropLimits lets a job's pool be low as long as need be.
func (c *model) dropLimits(j int32) {
	jb := &c.jobs[j]
	for v := jb.first; v < jb.first+jb.n; v++ {
		c.visits[v].out = slices.Clone(c.visits[v].out)
		for n := range c.visits[v].out {
			if x := &c.visits[v].out[n]; x.fn == fnLimit {
				*x = arc{to: x.to, c: always}
			}
		}
	}
}

// give has rule n from v give way by some seconds more than in m.
func (c *model) give(m *model, v, n int32, by int64) {
	x := &c.visits[v].out[n]
	if x.fn != fnLimit {
		x.c = m.visits[v].out[n].c - by
		return
	}
	wt := *m.jobs[m.visits[v].job].water
	wt.LowLimit = slices.Clone(wt.LowLimit)
	for i := range wt.LowLimit {
		wt.LowLimit[i].Y += by
	}
	c.jobs[m.visits[v].job].water = &wt
}

// order says which rule between a visit and the others of its job its spot goes against,
// whatever the times.
func (a *Warm) order(e *edit, lax *model, v int32, try timing) []Limit {
	c := *lax
	c.visits = slices.Clone(lax.visits)
	j := lax.visits[v].job
	jb := &lax.jobs[j]
	each := func(u int32) {
		c.visits[u].out = slices.DeleteFunc(slices.Clone(c.visits[u].out), func(x arc) bool { return u == v || x.to == v })
	}
	for u := jb.first; u < jb.first+jb.n; u++ {
		each(u)
	}
	if jb.told >= 0 {
		each(jb.told)
	}
	st, undo, ok := try(&c, laxCap)
	defer c.closeAll()
	if !ok {
		return []Limit{a.undecided(j)}
	}
	var out []Limit
	for u := jb.first; u < jb.first+jb.n; u++ {
		for n := range e.m.visits[u].out {
			x := &e.m.visits[u].out[n]
			if u != v && x.to != v || !st.placed[u] || !st.placed[x.to] {
				continue
			}
			from, to := st.s[u], st.s[x.to]
			if x.fromEnd {
				from = st.e[u]
			}
			if x.toEnd {
				to = st.e[x.to]
			}
			if by := st.value(x, j, from) - to; by > 0 && by < never/2 {
				other := x.to
				if other == v {
					other = u
				}
				out = append(out, Limit{Rule: ruleOf(x), Visit: int(v), Tour: int(st.tourOf[v]), Job: int(j), By: by, Unit: inSeconds, Kind: "order", Home: int(other)})
			}
		}
	}
	undo()
	if len(out) == 0 {
		return []Limit{a.undecided(j)}
	}
	return cut6(out)
}
