package search

// stickMax is the most stops of a tour that sticking looks at.
const stickMax = 32

// stick tries to keep a tour whose list of stops is as handed out at the starts that
// its crew was told, which may be later than the least times. It keeps them if that costs
// no more than cost, what the tour costs as slid, and returns the lower cost: nobody likes
// to be told of minutes that gain nothing.
func (st *state) stick(t int32, cost int64) int64 {
	m, tr := st.m, &st.m.tours[t]
	stops, nb := st.stops[t], len(tr.prefix)
	n := len(stops) - nb
	if n != len(tr.told) || n > stickMax {
		return cost
	}
	for i, h := range tr.told {
		if m.visitID(stops[nb+i]) != h.Visit {
			return cost
		}
	}
	var ss, se [stickMax]int64
	leave, back := st.leave[t], st.back[t]
	for i := range n {
		v := stops[nb+i]
		ss[i], se[i] = st.ss[v], st.se[v]
	}
	dep, ret, ok := st.stuck(t)
	if ok {
		st.put(undoLeave, t, dep)
		st.put(undoBack, t, ret)
		if c := st.tourPrice(t, dep, ret); c <= cost { // as told where it costs no more
			return c
		}
	}
	for i := range n {
		v := stops[nb+i]
		st.put(undoSS, v, ss[i])
		st.put(undoSE, v, se[i])
	}
	st.put(undoLeave, t, leave)
	st.put(undoBack, t, back)
	return cost
}

// stuck sets a tour's stops to the told starts, or as near to them as rules allow.
func (st *state) stuck(t int32) (dep, ret int64, ok bool) {
	m, tr, lp := st.m, &st.m.tours[t], st.lunch[t]
	stops, l, tol := st.stops[t], tr.lunch, st.m.w.Rates.ToldAnewSeconds
	nb := len(tr.prefix)
	x, p := tr.depart0, tr.from
	dep = x
	for i := nb; i < len(stops); i++ {
		v := stops[i]
		vs := &m.visits[v]
		told := tr.told[i-nb].Start
		if lp.kind == lunchBefore && int(lp.pos) == i {
			x = max(x, l.From) + l.Seconds
		}
		x = m.travel.arrive(p, vs.place, x)
		if lp.kind == lunchAfter && int(lp.pos) == i {
			if x = max(x, l.From); x > l.To {
				return 0, 0, false
			}
			x += l.Seconds
		}
		d, free := st.e[v]-st.s[v], starts(nil)
		lo := max(x, st.s[v], told-tol)
		hi := min(st.latest(v, d, -1), told+tol)
		if lp.kind == lunchInside && int(lp.pos) == i {
			free = st.freeLunchOf(v, tr.lunchClass)
			hi = min(hi, l.To)
		} else {
			free = st.freeOf(v)
		}
		s := free.next(max(lo, min(told, hi)))
		if s > hi {
			return 0, 0, false
		}
		if i == nb && tr.begun == nil {
			first := s
			if lp.kind == lunchAfter && int(lp.pos) == i {
				first = min(s-l.Seconds, l.To)
			}
			dep = m.travel.leave(p, vs.place, first)
			if lp.kind == lunchBefore && int(lp.pos) == i {
				dep = min(dep-l.Seconds, l.To)
			}
			dep = max(dep, tr.depart0)
		}
		st.put(undoSS, v, s)
		st.put(undoSE, v, s+d)
		x, p = s+d, vs.place
		if lp.kind == lunchBefore && int(lp.pos) == i+1 && max(x, l.From) > l.To {
			return 0, 0, false
		}
	}
	if lp.kind == lunchBefore && int(lp.pos) == len(stops) {
		x = max(x, l.From) + l.Seconds
	}
	ret = m.travel.arrive(p, tr.end, x)
	if tr.begun != nil {
		dep = tr.begun.Depart
	}
	if ret > tr.o || lp.kind == lunchNone && l != nil && ret-dep > l.DueAfter {
		return 0, 0, false
	}
	return dep, ret, true
}
