package search

import (
	"cmp"
	"slices"

	"ebbline/dispatch/week"
)

// cheapest goes through all chains whose least cost may be worth while; false if there were
// too many.
func (o *offerer) cheapest(c *partial, i int) bool {
	if i == len(o.visits) {
		o.weigh(c.spots[:c.n])
		return o.places < offerPlaces || o.all
	}
	m, v := o.a.m, o.visits[i]
	if m.visits[v].owedFloor {
		n := *c
		o.owe(&n, v)
		if !o.tooDear(&n, i) && !o.cheapest(&n, i+1) {
			return false
		}
	}
	if c.owes {
		return true
	}
	lo, hi := o.in.bounds(o.st, o.j, v, c)
	if lo >= never || lo > hi {
		return true
	}
	for k := range o.gaps[i] {
		g := &o.gaps[i][k]
		if o.nodes++; o.nodes > offerNodes && !o.all {
			return false
		}
		shared := c.uses(g.tour)
		if !shared && c.cost+g.cost+o.rest[i+1]+o.base > o.worth && !o.all {
			if !c.any() { // gaps come cheapest first
				break
			}
			continue
		}
		var n partial
		if o.extend(&n, c, v, g, lo, hi, shared) && !o.tooDear(&n, i) && !o.cheapest(&n, i+1) {
			return false
		}
	}
	return true
}

// any reports whether a chain has a stop already.
func (c *partial) any() bool { return c.n > 0 }

// tooDear reports whether a chain, its visits up to number i placed, costs too much at the
// least.
func (o *offerer) tooDear(c *partial, i int) bool {
	return !o.all && c.cost+o.rest[i+1]+o.base > o.worth
}

func (o *offerer) owe(c *partial, v int32) {
	m := o.a.m
	c.spots[c.n] = spot{v, -1, 0}
	c.n++
	c.owes = true
	c.cost += m.w.Rates.OwedCents * week.MoneyUnit
	if v == m.jobs[o.j].conv {
		c.cost += m.leftOutPrice(o.j)
	}
}

// extend puts visit v into a gap behind chain c, at its least times; false if that can't be.
func (o *offerer) extend(n, c *partial, v int32, g *offerGap, lo, hi int64, shared bool) bool {
	m, st, tr := o.a.m, o.st, &o.a.m.tours[g.tour]
	vs, jb := &m.visits[v], &o.a.m.jobs[o.j]
	at, cost := g.lo, g.cost
	if shared {
		mate, x := int32(-1), always
		for k := range c.spots[:c.n] {
			sp := &c.spots[k]
			if sp.tour != g.tour {
				continue
			}
			if sp.pos > g.pos {
				return false
			}
			if u := sp.visit - jb.first; c.ee[u] > x {
				x = c.ee[u]
			}
			if sp.pos == g.pos {
				mate = m.visits[sp.visit].place
			}
		}
		from := mate
		if mate < 0 {
			from = m.visits[st.stops[g.tour][g.pos-1]].place
		}
		at = max(at, o.arrival(v, g.tour, g.pos, from, x))
		cost = o.gapCost(v, g.tour, g.pos, mate, true)
		if mate >= 0 {
			at = o.arrival(v, g.tour, g.pos, from, x)
		}
		if tr.room > 0 && !o.in.roomFor(st, c, g.tour, vs.room) {
			return false
		}
	}
	s := vs.free.next(max(at, lo))
	if s > min(hi, g.hi) || s+vs.secs > tr.o || !o.rests(v, g, s+vs.secs) {
		return false
	}
	*n = *c
	n.cost += cost
	if v == jb.conv {
		n.cost += m.conversionPrice(o.j, s+vs.secs)
	}
	i := v - jb.first
	n.spots[n.n] = spot{v, g.tour, g.pos}
	n.n++
	n.es[i], n.ee[i], n.late[i] = s, s+vs.secs, g.hi
	n.set |= 1 << uint(i)
	return true
}

// rests reports whether the rest of a tour may follow a visit that ends at x.
func (o *offerer) rests(v int32, g *offerGap, x int64) bool {
	m, tr := o.a.m, &o.a.m.tours[g.tour]
	p := m.visits[v].place
	for _, u := range o.st.stops[g.tour][g.pos:] {
		us := &m.visits[u]
		if o.st.off[us.job] != 0 {
			return true
		}
		s := us.free.next(m.travel.arrive(p, us.place, x))
		if s <= o.st.s[u] && o.st.dep[g.tour] == always {
			return true
		}
		if s+us.secs > tr.o {
			return false
		}
		x, p = s+us.secs, us.place
	}
	return m.travel.arrive(p, tr.end, x) <= tr.o
}

// placed puts the job into its spots and times everything; undo takes it out again.
func (o *offerer) placed(spots []spot) (undo func(), ok bool) {
	st := o.st
	mark := len(st.trail)
	eased := st.easeAll(spots)
	back := func() {
		st.rollback(mark)
		st.drain()
		st.wipe()
	}
	if !eased {
		back()
		return nil, false
	}
	at, ok := st.place(o.j, spots)
	if !ok {
		back()
		return nil, false
	}
	undo = func() {
		st.unplace(o.j, spots, at)
		back()
	}
	if !o.promisesKept(mark) || !o.pumpsKept(spots) {
		undo()
		return nil, false
	}
	return undo, true
}

// easeAll is [state.ease] for all tours that get a stop.
func (st *state) easeAll(spots []spot) bool {
	for _, sp := range spots {
		if sp.tour >= 0 && !st.ease(sp.tour) {
			return false
		}
	}
	return true
}

// pumpsKept reports whether the tours with a new stop still have the pumps they need.
func (o *offerer) pumpsKept(spots []spot) bool {
	for _, sp := range spots {
		if sp.tour >= 0 && o.st.short[sp.tour] && !o.a.base.short[sp.tour] {
			return false
		}
	}
	return true
}

// promisesKept reports whether no promise that the plan keeps would be broken.
func (o *offerer) promisesKept(mark int) bool {
	st := o.st
	for i := mark; i < len(st.trail); i++ {
		u := &st.trail[i]
		if u.what != undoSS {
			continue
		}
		for _, p := range o.a.m.visits[u.at].promises {
			if o.a.base.keepsPromise(u.at, p) && !st.keepsPromise(u.at, p) {
				return false
			}
		}
	}
	return true
}

// weigh times and prices a chain and keeps its window if it is the cheapest of its kind.
func (o *offerer) weigh(spots []spot) {
	v := int32(o.q.Visit)
	if !slices.ContainsFunc(spots, func(s spot) bool { return s.visit == v && s.tour >= 0 }) {
		return
	}
	o.places++
	undo, ok := o.placed(spots)
	if !ok {
		return
	}
	w := o.window(spots)
	undo()
	key := [2]int64{int64(w.Tour), w.From}
	if was := o.best[key]; was == nil || cheaper(w, was) < 0 {
		o.best[key] = w
		if l := o.chosen(); len(l) == o.q.Most {
			o.worth = (l[len(l)-1].Delta.Total + 12) * week.MoneyUnit // each head is rounded
		}
	}
	o.sooner(w)
}

func (o *offerer) sooner(w *Window) {
	if o.early == nil || w.Start < o.early.Start || w.Start == o.early.Start && cheaper(w, o.early) < 0 {
		o.early, o.soon = w, w.Start
	}
}

// window is what a placed job's arrival can be promised as.
func (o *offerer) window(spots []spot) *Window {
	st, m, jb := o.st, o.a.m, &o.a.m.jobs[o.j]
	v := int32(o.q.Visit)
	w := &Window{Tour: int(st.tourOf[v]), Start: st.ss[v], spots: slices.Clone(spots)}
	midnight := int64(0)
	for _, d := range m.w.Days {
		if d.Start <= w.Start {
			midnight = d.Start
		}
	}
	w.From = midnight + (w.Start-midnight)/o.q.Step*o.q.Step
	w.To = w.From + o.q.Width
	w.Delta = less(o.a.heads0.afterChain(st, spots), o.a.cost)
	for u := jb.first; u < jb.first+jb.n; u++ {
		x := Moved{Visit: int(u), TourBefore: -1, Tour: int(st.tourOf[u])}
		if x.Tour >= 0 {
			x.Start = st.ss[u]
		}
		w.Stops = append(w.Stops, x)
	}
	if jb.told >= 0 && st.placed[jb.told] {
		w.Told = &week.Interval{Earliest: st.ss[jb.told], Latest: st.se[jb.told]}
	}
	return w
}

// cheaper orders windows by cost; the earlier and then the tour first of equal ones.
func cheaper(x, y *Window) int {
	return cmp.Or(cmp.Compare(x.Delta.Total, y.Delta.Total), cmp.Compare(x.Start, y.Start), cmp.Compare(x.Tour, y.Tour))
}

// chosen are the cheapest windows, one a tour and none that overlaps a cheaper one.
func (o *offerer) chosen() []Window {
	list := make([]*Window, 0, len(o.best))
	for _, w := range o.best {
		list = append(list, w)
	}
	slices.SortFunc(list, cheaper)
	var out []Window
	for _, w := range list {
		if len(out) < o.q.Most && !slices.ContainsFunc(out, func(x Window) bool { return x.Tour == w.Tour || w.From < x.To && x.From < w.To }) {
			out = append(out, *w)
		}
	}
	return out
}

// earliest goes through all chains whose arrival may be the earliest; false if there were
// too many.
func (o *offerer) earliest(c *partial, i int) bool {
	if i == len(o.visits) {
		o.places++
		if undo, ok := o.placed(c.spots[:c.n]); ok {
			w := o.window(c.spots[:c.n])
			undo()
			o.sooner(w)
		}
		return o.places < offerPlaces || o.all
	}
	m, v := o.a.m, o.visits[i]
	if m.visits[v].owedFloor && v != int32(o.q.Visit) {
		n := *c
		o.owe(&n, v)
		if !o.earliest(&n, i+1) {
			return false
		}
	}
	if c.owes {
		return true
	}
	lo, hi := o.in.bounds(o.st, o.j, v, c)
	if lo >= never || lo > hi {
		return true
	}
	for k := range o.gaps[i] {
		g := &o.gaps[i][k]
		if o.nodes++; o.nodes > offerNodes && !o.all {
			return false
		}
		if v <= int32(o.q.Visit) && g.lo >= o.soon && !o.all && !c.uses(g.tour) {
			continue
		}
		var n partial
		if !o.extend(&n, c, v, g, lo, hi, c.uses(g.tour)) {
			continue
		}
		if v <= int32(o.q.Visit) && n.es[v-m.jobs[o.j].first] >= o.soon && !o.all {
			continue
		}
		if !o.earliest(&n, i+1) {
			return false
		}
	}
	return true
}

// holds says what keeps an arrival from being earlier: what binds it, and what binds that.
func (o *offerer) holds(w *Window) string {
	undo, ok := o.placed(w.spots)
	if !ok {
		return ""
	}
	defer undo()
	st, m, jb := o.st, o.a.m, &o.a.m.jobs[o.j]
	v, text := int32(o.q.Visit), ""
	for range 4 {
		if st.tourOf[v] < 0 {
			break
		}
		t := st.tourOf[v]
		pt := st.planTour(t)
		b := st.binds(t, slices.Index(st.stops[t], v), &pt)
		if text != "" {
			text += "; before it: "
		}
		text += b
		next := int32(-1)
		switch {
		case (b == bindLow || b == bindLimit) && jb.told >= 0:
			if n := st.toldBinds(jb.told); n != "" {
				text += "; before it: " + n
			}
		case b == bindLow:
			next = jb.drain
		case (b == bindChain || b == bindGap || b == bindCovered) && v > jb.first:
			next = v - 1
		}
		if next < 0 || next == v || m.visits[next].fixed {
			break
		}
		v = next
	}
	return text
}

// toldBinds says what keeps a told interval from being earlier.
func (st *state) toldBinds(w int32) string {
	if st.ss[w] > st.s[w] {
		return bindDrain
	}
	f := st.m.visits[w].free
	if len(f) > 0 && st.s[w] == f[0].lo {
		return "the notice to the customer"
	}
	return "the customer's hours"
}
