package search

import "slices"

// polisher times a finished plan better with its tours, orders and lunch places kept.
// Settling holds each tour's return at its least; where a pool lies low, or days are
// counted, a later return or an earlier departure may be worth it. One tour at a time,
// the others where they are shown: the cheapest times of its stops are found exactly by
// dynamic programming over the instants at which anything changes. Then the same as if
// the others would make way, which they are made to ([polisher.shove]).
type polisher struct {
	st    *state
	last  *greatest
	t     int32
	stops []int32 // of the tour, those still to be made
	stop  []polishStop
	ways  [][]int64 // by stop: starts to choose from, rising
	cost  [][]int64
	from  [][]int32
	eps   int64 // money units that a second later is worth, to break ties
	loose int   // 1: others make way for what comes later, -1: for what comes earlier
	most  int64 // by which stops may move while others make way
	told  bool  // starts as the crew was told
	moved []int32
	touch func(t int32)
}

// polishStop is what the times of one stop depend on.
type polishStop struct {
	v      int32
	secs   int64
	free   starts
	lo, hi int64 // what other tours allow
	early  int64 // what its own tour allows too
	late   int64
	told   int32 // told interval that moves with it, -1: none
}

// polishSweeps bounds how often all tours are gone through.
const polishSweeps = 8

// polish lowers the cost of the state by better times; tours are no longer settled after
// it, so it comes last.
func (st *state) polish() {
	st.trail = st.trail[:0]
	st.free()
	g, ok := st.latestStarts()
	if !ok {
		return
	}
	p := &polisher{st: st, last: g, most: never}
	var touched []int32
	p.touch = func(t int32) {
		if !slices.Contains(touched, t) {
			touched = append(touched, t)
		}
	}
	if st.m.w.HandedOut != nil { // what was told may have been polished too
		for t := range int32(len(st.m.tours)) {
			if st.sameList(t) && st.anew(t, len(st.stops[t])) && !p.retell(t) {
				p.retellLunch(t)
			}
		}
	}
	idle := 0
	for sweep := 0; sweep < polishSweeps && idle < 2; sweep++ {
		before := st.total
		sign := int64(1 - 2*(sweep%2)) // late and early in turn: either may make room
		for t := range int32(len(st.m.tours)) {
			if p.begin(t) && p.better(sign) {
				p.touch(t)
			}
		}
		for t := range int32(len(st.m.tours)) {
			for _, way := range []int{1, -1} {
				p.shove(t, way)
			}
		}
		if idle++; st.total < before {
			idle = 0
		}
	}
	for _, t := range touched { // what costs nothing comes early again
		if p.begin(t) {
			p.better(-1)
		}
	}
	if !st.shownKept() { // can't happen
		st.rollback(0)
	}
	st.trail = st.trail[:0]
}

// begin looks at a tour; false if there is nothing to choose.
func (p *polisher) begin(t int32) bool {
	if !p.look(t) {
		return false
	}
	for i := range p.stop {
		p.window(i)
	}
	return p.reach()
}

// look lays out a tour's stops without limits; false if none has to do with water.
func (p *polisher) look(t int32) bool {
	st, m, tr := p.st, p.st.m, &p.st.m.tours[t]
	nb := len(tr.prefix)
	p.t, p.stop = t, p.stop[:0]
	if tr.returned || len(st.stops[t]) == nb {
		return false
	}
	p.stops = st.stops[t][nb:]
	wet := false
	for i, v := range p.stops {
		wet = wet || m.jobs[m.visits[v].job].water != nil
		s := polishStop{v: v, secs: st.se[v] - st.ss[v], free: st.freeOf(v), lo: always, hi: never, told: -1}
		if l := st.lunch[t]; l.kind == lunchInside && int(l.pos) == i+nb {
			s.free = st.freeLunchOf(v, tr.lunchClass)
			s.lo, s.hi = tr.lunch.From-m.visits[v].secs, tr.lunch.To
		}
		p.stop = append(p.stop, s)
	}
	return wet
}

// window finds what the other tours, promises and what was told allow a stop.
func (p *polisher) window(i int) {
	st, m, s := p.st, p.st.m, &p.stop[i]
	vs := &m.visits[s.v]
	jb := &m.jobs[vs.job]
	for _, k := range vs.promises {
		if w := &m.w.Promises[k]; w.From <= st.ss[s.v] && st.ss[s.v] <= w.To {
			s.lo, s.hi = max(s.lo, w.From), min(s.hi, w.To)
		}
	}
	if tr := &m.tours[p.t]; m.w.HandedOut != nil && st.sameList(p.t) && (p.told || !st.anew(p.t, len(st.stops[p.t]))) {
		tol := m.w.Rates.ToldAnewSeconds
		s.lo, s.hi = max(s.lo, tr.told[i].Start-tol), min(s.hi, tr.told[i].Start+tol)
	}
	bind := func(u int32, a *arc, v int32) {
		if st.off[vs.job] != 0 && (a.limit && st.off[vs.job]&offLow != 0 || a.comm && st.off[vs.job]&offCommission != 0) || !st.placed[u] || !st.placed[v] || u == v {
			return
		}
		o := u
		if u == s.v {
			o = v
		}
		switch {
		case m.visits[o].told && (!jb.hasSent || st.moved[vs.job]):
			s.told = o // moves with the stop
			return
		case st.tourOf[o] == p.t && slices.Contains(p.stops, o):
			if a.fn == fnAdd && (a.c == 0 && a.fromEnd && !a.toEnd || a.c <= -20*3600) {
				return // the order on the tour sees to it
			}
			s.lo, s.hi = st.ss[s.v], st.ss[s.v]
			return
		}
		if u == s.v && p.loose > 0 || u != s.v && p.loose < 0 {
			return
		}
		if u == s.v { // v may not come before f(s)
			y := st.ss[v]
			if a.toEnd {
				y = st.se[v]
			}
			x := st.inverse(a, vs.job, y)
			if a.fromEnd {
				x -= s.secs
			}
			s.hi = min(s.hi, x)
			return
		}
		x := st.ss[u]
		if a.fromEnd {
			x = st.se[u]
		}
		y := st.value(a, vs.job, x)
		if a.toEnd {
			y -= s.secs
		}
		s.lo = max(s.lo, y)
	}
	each := func(u int32) {
		for k := range m.visits[u].out {
			if a := &m.visits[u].out[k]; u == s.v || a.to == s.v {
				bind(u, a, a.to)
			}
		}
	}
	for u := jb.first; u < jb.first+jb.n; u++ {
		each(u)
		if st.owed[u] { // what is owed must follow late enough, as it does now
			for k := range m.visits[u].out {
				if m.visits[u].out[k].to == s.v {
					s.lo = max(s.lo, st.ls[s.v], st.le[s.v]-s.secs)
				}
			}
		}
	}
	if jb.told >= 0 {
		each(jb.told)
	}
	switch {
	case p.told && st.sameList(p.t): // where lunch may lie elsewhere than in p.last
	case p.loose > 0:
		s.hi = min(s.hi, p.last.s[s.v], st.ss[s.v]+p.most)
	case p.loose < 0:
		s.lo = max(s.lo, st.s[s.v], st.ss[s.v]-p.most)
	}
}

// reach finds the earliest and latest start of each stop on the tour.
func (p *polisher) reach() bool {
	st, m, tr := p.st, p.st.m, &p.st.m.tours[p.t]
	x := tr.depart0
	for _, r := range tr.rivals {
		if len(st.stops[r]) > 0 && st.back[r] <= st.leave[p.t] {
			x = max(x, st.back[r])
		}
	}
	for i := range p.stop {
		s := &p.stop[i]
		if i == 0 {
			x = p.ride(0, x)
		} else {
			x = p.ride(i, p.stop[i-1].early+p.stop[i-1].secs)
		}
		if s.early = s.free.next(max(x, s.lo)); s.early > st.ss[s.v] && !p.told {
			return false
		}
	}
	back := max(tr.limit, st.back[p.t])
	for _, r := range tr.rivals {
		if len(st.stops[r]) > 0 && st.leave[r] >= st.back[p.t] {
			back = min(back, st.leave[r])
		}
	}
	n := len(p.stop)
	y := p.unride(n, back)
	for i := n - 1; i >= 0; i-- {
		s := &p.stop[i]
		if s.late = s.free.prev(min(y-s.secs, s.hi)); s.late < st.ss[s.v] && !p.told || s.late < s.early {
			return false
		}
		y = p.unride(i, s.late)
	}
	return m.travel.n > 0
}

// place of stop i; the end place behind the last, and before the first where the crew is.
func (p *polisher) place(i int) int32 {
	switch tr := &p.st.m.tours[p.t]; {
	case i < 0:
		return tr.from
	case i == len(p.stop):
		return tr.end
	}
	return p.st.m.visits[p.stop[i].v].place
}

// ride is the earliest arrival at stop i, lunch on the way included, leaving the one
// before at x; never if lunch does not fit.
func (p *polisher) ride(i int, x int64) int64 {
	lp, l := p.st.lunch[p.t], p.st.m.tours[p.t].lunch
	at := i+len(p.st.m.tours[p.t].prefix) == int(lp.pos)
	eat := func() {
		if x = max(x, l.From); x > l.To {
			x = never
		} else {
			x += l.Seconds
		}
	}
	if at && lp.kind == lunchBefore {
		eat()
	}
	if x < never {
		x = p.st.m.travel.arrive(p.place(i-1), p.place(i), x)
	}
	if at && lp.kind == lunchAfter && x < never {
		eat()
	}
	return x
}

// unride is the latest instant at which to leave the stop before i and be there at x.
func (p *polisher) unride(i int, x int64) int64 {
	lp, l := p.st.lunch[p.t], p.st.m.tours[p.t].lunch
	at := i+len(p.st.m.tours[p.t].prefix) == int(lp.pos)
	if at && lp.kind == lunchAfter {
		x = min(x-l.Seconds, l.To)
	}
	x = p.st.m.travel.leave(p.place(i-1), p.place(i), x)
	if at && lp.kind == lunchBefore {
		x = min(x-l.Seconds, l.To)
	}
	return x
}
