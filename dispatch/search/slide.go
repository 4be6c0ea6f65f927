package search

// slide looks for starts that are cheaper than the least times allow by themselves: a
// stop held back where its tour then leaves later and waits less, where it comes behind
// hours that it has to skip anyway, where a pool stands low for less long, or where a
// promise is kept by waiting. What waits for the stop moves along. It is tried for the
// stops of tours and jobs that changed, as long as anything gets cheaper.
func (st *state) slide() {
	if st.m.unpaid {
		return
	}
	for range slideSweeps {
		before := st.total
		st.sliding = append(st.sliding[:0], st.changed.tours...)
		for _, t := range st.sliding {
			st.slideTour(t)
		}
		st.sliding = append(st.sliding[:0], st.changed.jobs...)
		for _, j := range st.sliding {
			st.slideTold(j)
		}
		if st.total >= before {
			return
		}
	}
}

// slideSweeps is how often the stops are gone through at most.
const slideSweeps = 3

func (st *state) slideTour(t int32) {
	m, tr := st.m, &st.m.tours[t]
	nb := len(tr.prefix)
	if tr.returned || len(st.stops[t]) == nb {
		return
	}
	idle := st.idle(t)
	if idle > 0 {
		st.loosen(t)
	}
	for i := nb; i < len(st.stops[t]); i++ {
		v := st.stops[t][i]
		if m.visits[v].fixed {
			continue
		}
		if idle > 0 {
			if x := st.lax[v]; x > st.ss[v] && st.holdTo(v, x) {
				idle = st.idle(t)
				st.loosen(t)
			}
		}
		if idle > 0 {
			if x := after(st.freeOf(v), st.ss[v]); x < never && st.holdTo(v, x) {
				idle = st.idle(t)
				st.loosen(t)
			}
		}
		for _, p := range m.visits[v].promises {
			if from := m.w.Promises[p].From; st.ss[v] < from && st.moved[m.visits[v].job] {
				st.holdTo(v, from)
			}
		}
		if j := m.visits[v].job; m.jobs[j].drain == v || m.visits[v].arrival {
			st.slideLow(j, v)
		}
	}
}

// slideTold tries to tell a customer a later interval.
func (st *state) slideTold(j int32) {
	w := st.m.jobs[j].told
	if w < 0 || !st.placed[w] || st.m.jobs[j].hasSent && !st.moved[j] {
		return
	}
	st.slideLow(j, w)
}

// slideLow begins draining later by what saves the next hour that the pool is low.
func (st *state) slideLow(j, v int32) {
	r := &st.m.w.Rates
	if r.LowCents == 0 {
		return
	}
	for range 24 {
		low, ok := st.lowFor(j)
		if !ok || low <= r.LowFreeSeconds {
			return
		}
		over := (low - r.LowFreeSeconds - 1) % 3600
		if !st.holdTo(v, st.ss[v]+over+1) {
			return
		}
	}
}

// after is the first start of a later span than the one that holds x.
func after(s starts, x int64) int64 {
	for i := range s {
		if s[i].lo > x {
			return s[i].lo
		}
	}
	return never
}

// idle is how long a tour's crew waits while it is paid.
func (st *state) idle(t int32) int64 {
	m, tr := st.m, &st.m.tours[t]
	p, x := tr.from, st.leave[t]
	if tr.begun != nil {
		x = tr.depart0
	}
	lunch := int64(0)
	if st.lunch[t].kind == lunchBefore || st.lunch[t].kind == lunchAfter {
		lunch = tr.lunch.Seconds
	}
	sum := int64(0)
	for i := len(tr.prefix); i < len(st.stops[t]); i++ {
		v := st.stops[t][i]
		a := m.travel.arrive(p, m.visits[v].place, x)
		sum += st.ss[v] - a
		x, p = st.se[v], m.visits[v].place
	}
	sum += st.back[t] - m.travel.arrive(p, tr.end, x)
	return sum - lunch
}

// loosen finds how late each stop of a tour could start if only its own return, and the
// rules between its own stops, held it; see state.lax.
func (st *state) loosen(t int32) {
	m, tr, lp := st.m, &st.m.tours[t], st.lunch[t]
	stops, l := st.stops[t], tr.lunch
	x, p := st.back[t], tr.end
	for k := len(stops); k >= len(tr.prefix); k-- {
		if k < len(stops) {
			v := stops[k]
			x, p = st.loose(t, k, x), m.visits[v].place
			if st.lax[v] = x; lp.kind == lunchAfter && int(lp.pos) == k {
				x = min(x-l.Seconds, l.To)
			}
		}
		if k > 0 {
			x = m.travel.leave(m.visits[stops[k-1]].place, p, x)
		}
		if lp.kind == lunchBefore && int(lp.pos) == k {
			x = min(x-l.Seconds, l.To)
		}
	}
}

// loose is the latest start of stop k of a tour that ends at end or before.
func (st *state) loose(t int32, k int, end int64) int64 {
	m, tr, lp := st.m, &st.m.tours[t], st.lunch[t]
	v := st.stops[t][k]
	d, free := st.se[v]-st.ss[v], starts(nil)
	hi := end - d
	if lp.kind == lunchInside && int(lp.pos) == k {
		free = st.freeLunchOf(v, tr.lunchClass)
		hi = min(hi, tr.lunch.To)
	} else {
		free = st.freeOf(v)
	}
	out := m.visits[v].out
	for i := range out {
		a := &out[i]
		if st.tourOf[a.to] != t || st.ss[a.to] < st.se[v] || m.visits[a.to].fixed {
			continue
		}
		y := st.lax[a.to]
		if a.toEnd {
			y += st.se[a.to] - st.ss[a.to]
		}
		y = st.inverse(a, m.visits[v].job, y)
		if a.fromEnd {
			y -= d
		}
		hi = min(hi, y)
	}
	return max(st.ss[v], free.prev(hi))
}

// holdTo keeps visit v from starting before x if that lowers the whole cost, and reports
// whether it did.
func (st *state) holdTo(v int32, x int64) bool {
	mark, before := len(st.trail), st.total
	st.allow(roundCap)
	st.set(undoHold, v, x)
	ok := true
	if x > st.ls[v] {
		st.set(undoLS, v, x)
		ok = x <= st.s[v] || st.touch(v)
	}
	if ok && st.propagate() {
		st.reprice()
		if st.total < before && st.apart(mark) {
			st.commit()
			return true
		}
	}
	st.drain()
	st.rollback(mark)
	st.wipe()
	return false
}

// apart reports whether no crew is on two tours at once, among the tours that changed
// since the trail was mark long.
func (st *state) apart(mark int) bool {
	for i := mark; i < len(st.trail); i++ {
		u := &st.trail[i]
		if u.what != undoLeave && u.what != undoBack {
			continue
		}
		for _, t := range st.m.tours[u.at].rivals {
			if len(st.stops[t]) > 0 && st.leave[t] < st.back[u.at] && st.leave[u.at] < st.back[t] {
				return false
			}
		}
	}
	return true
}

// unhold lets go of what was held back in the tours that lost a stop, and in what hangs
// on them.
func (st *state) unhold() {
	for _, c := range st.cuts[:len(st.cuts):len(st.cuts)] {
		for _, v := range st.stops[c.tour] {
			jb := &st.m.jobs[st.m.visits[v].job]
			for u := jb.first; u < jb.first+jb.n; u++ {
				st.letGo(u)
			}
			if jb.told >= 0 {
				st.letGo(jb.told)
			}
		}
	}
}

// letGo no longer holds a visit or told interval back; it is to be timed again.
func (st *state) letGo(v int32) {
	if st.hold[v] == always {
		return
	}
	st.set(undoHold, v, always)
	j := st.m.visits[v].job
	if !st.isReopened[j] {
		st.isReopened[j] = true
		st.reopened = append(st.reopened, j)
	}
	if st.m.visits[v].told {
		if !st.isFallen[v] {
			st.letFall(v)
		}
		return
	}
	for k, u := range st.stops[st.tourOf[v]] {
		if u == v {
			st.cuts = append(st.cuts, cut{st.tourOf[v], int32(k), true})
		}
	}
}

// free finds the least times again as if nothing were held back, and leaves the times that
// are shown as they are: they keep every rule.
func (st *state) free() {
	o := st.clone()
	for v := range o.hold {
		o.hold[v] = always
	}
	if !o.rebuild() {
		return
	}
	copy(st.hold, o.hold)
	copy(st.ls, o.ls)
	copy(st.le, o.le)
	copy(st.s, o.s)
	copy(st.e, o.e)
	copy(st.dep, o.dep)
	copy(st.ret, o.ret)
}
