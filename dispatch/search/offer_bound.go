package search

import (
	"cmp"
	"slices"

	"ebbline/dispatch/week"
)

// layOut lists the gaps of each visit.
func (o *offerer) layOut() {
	st, m := o.st, o.a.m
	late := o.greatest()
	least := never
	for t := range m.tours {
		least = min(least, m.tours[t].pay, m.tours[t].over)
	}
	o.gaps = make([][]offerGap, len(o.visits))
	o.rest = make([]int64, len(o.visits)+1)
	for i, v := range o.visits {
		vs := &m.visits[v]
		for _, t := range vs.tours {
			tr := &m.tours[t]
			if tr.room > 0 && st.room[t]+vs.room > tr.room {
				continue
			}
			first, last := st.mayTake(v, t)
			for pos := first; pos <= last; pos++ {
				g := offerGap{tour: t, pos: pos, lo: vs.free.next(o.arrival(v, t, pos, tr.from, always)), hi: o.latest(late, v, t, pos)}
				if g.lo+vs.secs > tr.o {
					break
				}
				if g.hi = vs.free.prev(g.hi); g.lo > g.hi || vs.drop && !o.in.pumpFor(st, t, int(pos)) {
					continue
				}
				g.cost = o.gapCost(v, t, pos, -1, false)
				o.gaps[i] = append(o.gaps[i], g)
			}
		}
		slices.SortStableFunc(o.gaps[i], func(x, y offerGap) int { return cmp.Compare(x.cost, y.cost) })
	}
	for i := len(o.visits) - 1; i >= 0; i-- {
		v := o.visits[i]
		x := m.visits[v].secs * least // beside another of its visits
		if l := o.gaps[i]; len(l) > 0 {
			x = min(x, l[0].cost)
		}
		if m.visits[v].owedFloor {
			x = min(x, m.w.Rates.OwedCents*week.MoneyUnit)
		}
		o.rest[i] = o.rest[i+1] + x
	}
	o.base = -m.leftOutPrice(o.j)
	for v := m.jobs[o.j].first; v < m.jobs[o.j].first+m.jobs[o.j].n; v++ {
		o.base -= int64(len(m.visits[v].promises)) * m.w.Rates.PromiseCents * week.MoneyUnit
	}
	if m.jobs[o.j].hasSent {
		o.base -= m.w.Rates.PromiseCents * week.MoneyUnit
	}
	for j := range m.jobs { // a pool drained later may be low for less long
		x := st.jobHeads(int32(j))
		if int32(j) != o.j {
			o.base -= x.breaks
		}
	}
}

// greatest is how late all stops may be with every promise that is kept kept, whatever
// becomes of lunches; nil: not known.
func (o *offerer) greatest() *greatest {
	a := o.a
	st := a.lifted
	st.copyWith(a.base, a.m)
	for t := range a.m.tours {
		if l := st.lunch[t]; l.kind == lunchInside {
			v := st.stops[t][l.pos]
			st.se[v] = st.ss[v] + a.m.visits[v].secs
		}
		st.lunch[t] = lunchAt{kind: lunchTaken} // as if
	}
	g, ok := st.latestStarts()
	if !ok {
		return nil
	}
	return g
}

// latest is the latest start of visit v at a position of a tour that lets what comes
// behind it be on time.
func (o *offerer) latest(g *greatest, v, t, pos int32) int64 {
	m, tr := o.a.m, &o.a.m.tours[t]
	p, secs, stops := m.visits[v].place, m.visits[v].secs, o.st.stops[t]
	switch {
	case g == nil:
		return m.travel.leave(p, tr.end, tr.o) - secs
	case pos < int32(len(stops)):
		u := stops[pos]
		return m.travel.leave(p, m.visits[u].place, g.s[u]) - secs
	case len(stops) == 0:
		return m.travel.leave(p, tr.end, tr.o) - secs
	}
	return m.travel.leave(p, tr.end, min(tr.o, max(g.ret[t], o.st.back[t]))) - secs
}

// arrival is the least arrival of visit v at a position of a tour, as the tour stands
// without a lunch; behind a mate of its job at place p that ends at x.
func (o *offerer) arrival(v, t, pos, p int32, x int64) int64 {
	st, m, tr := o.st, o.a.m, &o.a.m.tours[t]
	at, from := tr.depart0, tr.from
	nb := int32(len(tr.prefix))
	if l := st.lunch[t]; st.dep[t] == always && (l.kind == lunchNone || l.kind == lunchTaken || int32(l.pos) >= pos) {
		if pos > nb {
			u := st.stops[t][pos-1]
			at, from = st.e[u], m.visits[u].place
		}
	} else {
		for _, u := range st.stops[t][nb:pos] {
			us := &m.visits[u]
			at = m.travel.arrive(from, us.place, at)
			if st.off[us.job] == 0 {
				at = max(at, us.free.next(at))
			}
			at, from = at+us.secs, us.place
		}
	}
	if x > always {
		return m.travel.arrive(p, m.visits[v].place, max(x, at))
	}
	return m.travel.arrive(from, m.visits[v].place, at)
}

// gapCost is what a visit at a position of a tour costs at the least, in money units: the
// drive exactly; pay for work and drives where the crew does not wait already; telling the
// crew; less what stops pushed later may save. mate is the place of the job's visit right
// before it (-1: none); shared: another of the job's visits is on the tour already.
func (o *offerer) gapCost(v, t, pos, mate int32, shared bool) int64 {
	st, m, tr := o.st, o.a.m, &o.a.m.tours[t]
	p, q, stops := tr.from, tr.end, st.stops[t]
	nb := int32(len(tr.prefix))
	if pos > nb {
		p = m.visits[stops[pos-1]].place
	}
	if mate >= 0 {
		p = mate
	}
	if pos < int32(len(stops)) {
		q = m.visits[stops[pos]].place
	}
	place := m.visits[v].place
	detour := m.travel.dist(p, place) + m.travel.dist(place, q)
	drive := o.least(p, place) + o.least(place, q)
	if len(stops) > 0 || mate >= 0 || shared {
		detour -= m.travel.dist(p, q)
		drive -= o.least(p, q)
	}
	cost := detour*tr.km + (drive+m.visits[v].secs)*min(tr.pay, tr.over)
	if shared {
		return cost
	}
	return cost + o.tourCost(t)
}

// tourCost is what a tour's pay at the least is less than as planned, and what a stop more
// may save at other stops.
func (o *offerer) tourCost(t int32) int64 {
	st, m, tr := o.st, o.a.m, &o.a.m.tours[t]
	stops := st.stops[t]
	if len(stops) == 0 {
		if m.w.HandedOut != nil && len(tr.told) == 0 {
			return m.w.Rates.ToldAnewCents * week.MoneyUnit
		}
		return -st.anewCost(t, 0)
	}
	work, p := int64(0), tr.from
	for _, u := range stops[len(tr.prefix):] {
		work += o.least(p, m.visits[u].place) + m.visits[u].secs
		p = m.visits[u].place
	}
	work += o.least(p, tr.end)
	if tr.begun != nil {
		if work += tr.depart0 - tr.begun.Depart; tr.lunch != nil && !tr.lunch.Paid {
			work -= tr.lunch.Seconds
		}
	}
	_, paid, over := st.tourHeads(t, st.leave[t], st.back[t])
	cost := work*min(tr.pay, tr.over) - paid - over
	for _, u := range stops {
		x := st.jobHeads(m.visits[u].job)
		cost -= x.low + x.promises
	}
	if anew := st.anewCost(t, len(stops)); anew > 0 {
		cost -= anew
	} else if m.w.HandedOut != nil && !tr.returned {
		cost += m.w.Rates.ToldAnewCents * week.MoneyUnit
	}
	return cost
}

// least is the drive between two places at the greatest speed.
func (o *offerer) least(p, q int32) int64 { return o.a.m.travel.usual(p, q) * 1000 / o.fast }
