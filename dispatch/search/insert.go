package search

import (
	"math/rand/v2"

	"ebbline/dispatch/week"
)

// chainMax is the most visits of a job.
const chainMax = 6

// partial is the beginning of a chain, each visit with a spot and estimated times.
type partial struct {
	spots [chainMax]spot
	es    [chainMax]int64 // estimated start, by number of the visit in the job
	ee    [chainMax]int64
	late  [chainMax]int64 // no later start is possible at the spot
	set   uint8           // visits with a spot that is not "owed"
	told  span            // estimated told interval
	n     int8
	owes  bool
	day   int32
	cost  int64 // estimated, money units
}

// inserter looks for the cheapest spots of a whole job. Its slices are kept between
// calls.
type inserter struct {
	width  int // partial chains kept per visit
	exact  int // complete chains tried exactly
	perDay int // spots kept per partial chain and day
	blink  float64
	rng    *rand.Rand
	have   []partial
	next   []partial
	byDay  []partial
	nDay   []int
	best   []spot
	all    bool // look at every tour
	every  bool // keep several spots of one tour
	// candidates of each visit, and when they were looked for
	cand       [][]int32
	candStamp  []int32
	stamp      int32
	near       []nearTour
	nNear      []int
	untilBlink int
	seenEmpty  []int32 // by class of tours: number of the extension in which an empty one was looked at
	extension  int32
	// late is what the last look cost in lateness, where that is paid for
	late int64
	pays bool
	// generous lets a job in that does not pay alone
	generous bool
	// noise, in money units, is what a dearer place may win by
	noise int64
	// gapsOf each day that the present visit may have, cheapest first
	gapsOf [][]gap
}

func newInserter(rng *rand.Rand, width, exact int) *inserter {
	return &inserter{width: width, exact: exact, perDay: 2, blink: 0.01, rng: rng}
}

// find returns the cheapest spots for a job that is not placed, and what the whole
// plan's cost changes by. The slice is valid until the next call.
func (in *inserter) find(st *state, j int32) (spots []spot, delta int64, moved, ok bool) {
	st.moved[j] = false
	delta, ok = in.search(st, j)
	spots = append(in.best[:0:0], in.best...)
	if st.m.jobs[j].gives {
		st.moved[j] = true
		d, ok2 := in.search(st, j)
		if ok2 && (!ok || d < delta) {
			return append(spots[:0], in.best...), d, true, true
		}
		st.moved[j] = false
	}
	return spots, delta, false, ok
}

func (in *inserter) search(st *state, j int32) (delta int64, ok bool) {
	in.chains(st, j)
	before, bestKey := st.total, int64(0)
	exact := in.exact
	if st.m.jobs[j].n == 1 { // what one visit costs is estimated well
		exact = min(exact, 3)
		if st.m.unpaid && st.m.lateRate+st.m.worstRate == 0 && in.noise == 0 { // and exactly
			exact = 1
		}
	}
	for n := range in.have {
		if n >= exact && (ok || n >= in.exact) {
			break
		}
		c := &in.have[n]
		spots := c.spots[:c.n]
		mark, good := st.place(j, spots)
		if !good {
			continue
		}
		d := st.total - before
		key := d
		if in.noise > 0 {
			key += in.rng.Int64N(in.noise)
		}
		if !ok || key < bestKey {
			ok, delta, bestKey = true, d, key
			in.best = append(in.best[:0], spots...)
		}
		st.unplace(j, spots, mark)
	}
	return delta, ok
}

// chains fills in.have with complete chains, cheapest estimate first.
func (in *inserter) chains(st *state, j int32) {
	m, jb := st.m, &st.m.jobs[j]
	in.have = in.have[:0]
	root, ok := in.root(st, j)
	if !ok {
		return
	}
	in.have = append(in.have, root)
	for v := jb.first; v < jb.first+jb.n; v++ {
		if m.visits[v].fixed {
			continue
		}
		in.extend(st, j, v)
		if len(in.have) == 0 {
			return
		}
	}
}

// root is the chain with what of it has begun, and the told interval at the earliest; ok
// is false if nothing can be told.
func (in *inserter) root(st *state, j int32) (root partial, ok bool) {
	m, jb := st.m, &st.m.jobs[j]
	root.day = -1
	for v := jb.first; v < jb.first+jb.n; v++ {
		if i := v - jb.first; m.visits[v].fixed {
			root.es[i], root.ee[i], root.late[i] = st.s[v], st.e[v], st.s[v]
			root.set |= 1 << uint(i)
		}
	}
	if jb.told >= 0 {
		s, d := st.toldNext(jb.told, always)
		if s >= never {
			return root, false
		}
		root.told = span{s, s + d}
	}
	return root, true
}

// extend gives visit v a spot in every kept chain and keeps the cheapest results.
func (in *inserter) extend(st *state, j, v int32) {
	m := st.m
	if len(in.nDay) < m.days {
		in.nDay = make([]int, m.days)
		in.byDay = make([]partial, m.days*in.perDay)
	}
	if len(in.seenEmpty) < m.classes {
		in.seenEmpty = make([]int32, m.classes)
	}
	vs := &m.visits[v]
	in.next = in.next[:0]
	in.pays = m.lateRate+m.worstRate > 0
	tours := in.toursFor(st, v)
	if st.off[j]&(offAvailability|offPin) != 0 {
		tours = vs.anyTours
	}
	listed := len(in.have) > 1
	if listed {
		in.list(st, j, v, tours)
	}
	for h := range in.have {
		c := &in.have[h]
		if vs.owedFloor || vs.owedLate && st.off[j]&offCommission != 0 {
			in.owe(m, j, v, c)
		}
		if c.owes {
			continue
		}
		lo, hi := in.bounds(st, j, v, c)
		if lo >= never || lo > hi {
			continue
		}
		for d := range in.nDay[:m.days] {
			in.nDay[d] = 0
		}
		if listed {
			in.scan(st, j, v, c, lo, hi)
		}
		in.extension++
		for _, t := range tours {
			tr := &m.tours[t]
			if listed && !c.uses(t) {
				continue
			}
			if tr.o < lo+vs.secs || tr.a > hi {
				continue
			}
			if len(st.stops[t]) == 0 && !c.uses(t) { // one of several equal empty ones will do
				if in.seenEmpty[tr.class] == in.extension {
					continue
				}
				in.seenEmpty[tr.class] = in.extension
			}
			in.gaps(st, j, v, t, c, lo, hi)
		}
		for d := 0; d < m.days; d++ {
			in.next = append(in.next, in.byDay[d*in.perDay:d*in.perDay+in.nDay[d]]...)
		}
	}
	in.prune()
}

// owe leaves visit v owed behind a chain.
func (in *inserter) owe(m *model, j, v int32, c *partial) {
	o := *c
	o.spots[o.n] = spot{v, -1, 0}
	o.n++
	o.owes = true
	o.cost += m.w.Rates.OwedCents * week.MoneyUnit
	if v == m.jobs[j].conv {
		o.cost += m.leftOutPrice(j)
	}
	in.next = append(in.next, o)
}

// prune keeps the cheapest chains, not more than a share of them with the last
// visit on one day.
func (in *inserter) prune() {
	sortPartials(in.next)
	in.have = in.have[:0]
	share := max(2, in.width/3)
	var days [16]int
	for i := range in.next {
		d := in.next[i].day
		if in.next[i].owes {
			d = 15
		}
		if days[d&15] >= share && len(in.next) > in.width {
			continue
		}
		days[d&15]++
		in.have = append(in.have, in.next[i])
		if len(in.have) == in.width {
			break
		}
	}
}

func sortPartials(p []partial) {
	// insertion sort on indices would copy less, but the lists are short
	for i := 1; i < len(p); i++ {
		if p[i].cost >= p[i-1].cost {
			continue
		}
		x := p[i]
		k := i
		for k > 0 && p[k-1].cost > x.cost {
			p[k] = p[k-1]
			k--
		}
		p[k] = x
	}
}

// bounds are the least start of v that the chain so far allows, and a start that is
// surely too late after it.
func (in *inserter) bounds(st *state, j, v int32, c *partial) (lo, hi int64) {
	m, jb := st.m, &st.m.jobs[j]
	vs := &m.visits[v]
	lo, hi = always, never
	if !st.moved[j] {
		for _, p := range vs.promises {
			lo = max(lo, m.w.Promises[p].From)
		}
	}
	take := func(a *arc, es, ee int64) {
		if a.to != v {
			return
		}
		x := es
		if a.fromEnd {
			x = ee
		}
		y := st.value(a, j, x)
		if a.toEnd {
			y -= vs.secs
		}
		lo = max(lo, y)
	}
	for i := int32(0); i < jb.n; i++ {
		if c.set&(1<<uint(i)) == 0 {
			continue
		}
		u := &m.visits[jb.first+i]
		for k := range u.out {
			take(&u.out[k], c.es[i], c.ee[i])
		}
	}
	if jb.told >= 0 {
		u := &m.visits[jb.told]
		for k := range u.out {
			take(&u.out[k], c.told.lo, c.told.hi)
		}
	}
	for k := range vs.out { // a placed one must not be pushed past its latest start
		a := &vs.out[k]
		i := a.to - jb.first
		if a.fn != fnAdd || i < 0 || i >= jb.n || c.set&(1<<uint(i)) == 0 || a.comm && st.off[j]&offCommission != 0 {
			continue
		}
		y := c.late[i]
		if a.toEnd {
			y += c.ee[i] - c.es[i]
		}
		y -= a.c
		if a.fromEnd {
			y -= vs.secs
		}
		hi = min(hi, y)
	}
	return lo, hi
}
