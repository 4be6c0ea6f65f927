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
	// generous lets a job in that does not pay alone
	generous bool
	// noise, in money units, is what a dearer place may win by
	noise int64
}

func newInserter(rng *rand.Rand, width, exact int) *inserter {
	return &inserter{width: width, exact: exact, perDay: 2, blink: 0.01, rng: rng}
}

// find returns the cheapest spots for a job that is not placed, and what the whole
// plan's cost changes by. The slice is valid until the next call.
func (in *inserter) find(st *state, j int32) (spots []spot, delta int64, moved, ok bool) {
	jb := &st.m.jobs[j]
	soft := jb.hasSent
	for v := jb.first; v < jb.first+jb.n; v++ {
		soft = soft || len(st.m.visits[v].promises) > 0
	}
	st.moved[j] = false
	delta, ok = in.search(st, j)
	spots = append(in.best[:0:0], in.best...)
	if soft {
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
	for n := range in.have {
		if n == in.exact {
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
	root := partial{day: -1}
	for v := jb.first; v < jb.first+jb.n; v++ {
		if i := v - jb.first; m.visits[v].fixed {
			root.es[i], root.ee[i], root.late[i] = st.s[v], st.e[v], st.s[v]
			root.set |= 1 << uint(i)
		}
	}
	in.have = in.have[:0]
	if jb.told >= 0 {
		s, d := st.toldNext(jb.told, always)
		if s >= never {
			return
		}
		root.told = span{s, s + d}
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

// extend gives visit v a spot in every kept chain and keeps the cheapest results.
func (in *inserter) extend(st *state, j, v int32) {
	m, jb := st.m, &st.m.jobs[j]
	if len(in.nDay) < m.days {
		in.nDay = make([]int, m.days)
		in.byDay = make([]partial, m.days*in.perDay)
	}
	vs := &m.visits[v]
	in.next = in.next[:0]
	for h := range in.have {
		c := &in.have[h]
		if vs.owedFloor {
			o := *c
			o.spots[o.n] = spot{v, -1, 0}
			o.n++
			o.owes = true
			o.cost += m.w.Rates.OwedCents * week.MoneyUnit
			if v == jb.conv {
				o.cost += m.leftOutPrice(j)
			}
			in.next = append(in.next, o)
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
		tours := vs.tours
		if st.off[j]&(offAvailability|offPin) != 0 {
			tours = vs.anyTours
		}
		for _, t := range tours {
			tr := &m.tours[t]
			if tr.o < lo+vs.secs || tr.a > hi {
				continue
			}
			in.gaps(st, j, v, t, c, lo, hi)
		}
		for d := 0; d < m.days; d++ {
			in.next = append(in.next, in.byDay[d*in.perDay:d*in.perDay+in.nDay[d]]...)
		}
	}
	in.prune()
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

// gaps tries every position of one tour.
func (in *inserter) gaps(st *state, j, v, t int32, c *partial, lo, hi int64) {
	m, tr := st.m, &st.m.tours[t]
	vs, stops := &m.visits[v], st.stops[t]
	first, last := int32(len(tr.prefix)), int32(len(stops))
	for first < last {
		x := &m.visits[stops[first]]
		if x.frozenTour != t || vs.frozenTour == t && x.frozenRank > vs.frozenRank {
			break
		}
		first++
	}
	if vs.frozenTour == t {
		last = first
	}
	mate := -1 // the chain's last visit in the same tour
	for i := 0; i < int(c.n); i++ {
		if c.spots[i].tour == t {
			mate = i
			first = max(first, c.spots[i].pos)
		}
	}
	per, day := in.perDay, int(tr.day)
	kept := in.byDay[day*per : day*per+per]
	l := tr.lunch
	for pos := first; pos <= last; pos++ {
		if in.blink > 0 && in.rng != nil && in.rng.Float64() < in.blink {
			continue
		}
		p, x := tr.from, max(tr.depart0, always)
		if pos > int32(len(tr.prefix)) {
			u := stops[pos-1]
			p, x = m.visits[u].place, st.e[u]
		}
		if mate >= 0 {
			u := c.spots[mate].visit - m.jobs[j].first
			if c.spots[mate].pos == pos {
				p = m.visits[c.spots[mate].visit].place
			}
			x = max(x, c.ee[u])
		}
		q := tr.end
		if pos < int32(len(stops)) {
			q = m.visits[stops[pos]].place
		}
		detour := m.travel.dist(p, vs.place) + m.travel.dist(vs.place, q)
		work := m.travel.usual(p, vs.place) + m.travel.usual(vs.place, q) + vs.secs
		if len(stops) > 0 || mate >= 0 {
			detour -= m.travel.dist(p, q)
			work -= m.travel.usual(p, q)
		}
		cost := c.cost + detour*tr.km + work*tr.pay
		if in.nDay[day] == per && cost >= kept[per-1].cost {
			continue
		}
		s := st.freeOf(v).next(max(m.travel.arrive(p, vs.place, x), lo))
		if s > hi || s+vs.secs > tr.o {
			continue
		}
		r, ok := in.push(st, t, int(pos), vs.place, s+vs.secs, l)
		if !ok {
			continue
		}
		if was := st.ret[t]; len(stops) > 0 {
			cost += max(0, r-was-work) * tr.pay / 2
			if r > tr.b {
				cost += (r - max(tr.b, was)) * (tr.over - tr.pay)
			}
		} else if r > tr.b {
			cost += (r - tr.b) * (tr.over - tr.pay)
		}
		if v == m.jobs[j].conv {
			cost += m.conversionPrice(j, s+vs.secs)
		}
		if vs.drop && !in.pumpFor(st, t, int(pos)) {
			continue
		}
		in.keep(kept, day, c, v-m.jobs[j].first, spot{v, t, pos}, s, s+vs.secs, tr.o-vs.secs, cost)
	}
}

// push walks the rest of a tour after a stop that ends at x and returns its return.
func (in *inserter) push(st *state, t int32, pos int, p int32, x int64, l *week.Lunch) (int64, bool) {
	m, tr := st.m, &st.m.tours[t]
	stops, lp := st.stops[t], st.lunch[t]
	gap := lp.kind == lunchBefore || lp.kind == lunchAfter
	for k := pos; k < len(stops); k++ {
		u := stops[k]
		us := &m.visits[u]
		if gap && int(lp.pos) == k {
			x = max(x, l.From) + l.Seconds
		}
		a := m.travel.arrive(p, us.place, x)
		d := st.e[u] - st.s[u]
		if a <= st.s[u] {
			return st.ret[t], true
		}
		s := a
		if f := us.free; len(f) > 0 {
			if s = f.next(a); s >= never {
				return 0, false
			}
		}
		x = s + d
		if x > tr.o {
			return 0, false
		}
		p = us.place
	}
	if gap && int(lp.pos) == len(stops) && len(stops) > 0 {
		x = max(x, l.From) + l.Seconds
	}
	r := m.travel.arrive(p, tr.end, x)
	return r, r <= tr.o
}

// pumpFor reports whether a pump can be on the truck for a drop before stop pos.
func (in *inserter) pumpFor(st *state, t int32, pos int) bool {
	m, tr := st.m, &st.m.tours[t]
	on, least := st.load[t], int32(1<<30)
	for k, v := range st.stops[t] {
		if k == pos {
			least = on
		}
		if m.visits[v].collect {
			on++
		}
		if m.visits[v].drop {
			on--
		}
		least = min(least, on)
		if k < pos {
			least = 1 << 30
		}
	}
	if min(least, on) >= 1 {
		return true // one comes onto the truck early enough
	}
	i := int(tr.home)*m.days + int(tr.day)
	return tr.begun == nil && int(st.loads[i]+st.out[i]) < m.homes[tr.home].pumps[tr.day]
}

// keep holds the cheapest spots per day, one a tour.
func (in *inserter) keep(kept []partial, day int, c *partial, i int32, sp spot, s, e, late, cost int64) {
	n := in.nDay[day]
	k := n
	for x := 0; x < n; x++ {
		if kept[x].spots[c.n].tour == sp.tour {
			if kept[x].cost <= cost {
				return
			}
			k = x
			break
		}
	}
	if k == n {
		if n == len(kept) {
			if kept[n-1].cost <= cost {
				return
			}
			k = n - 1
		} else {
			in.nDay[day]++
		}
	}
	x := &kept[k]
	*x = *c
	x.cost, x.day = cost, int32(day)
	x.spots[c.n] = sp
	x.n = c.n + 1
	x.es[i], x.ee[i], x.late[i] = s, e, late
	x.set |= 1 << uint(i)
	for k > 0 && kept[k-1].cost > kept[k].cost {
		kept[k-1], kept[k] = kept[k], kept[k-1]
		k--
	}
}
