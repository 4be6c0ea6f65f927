package search

// settle slides a tour's stops right with its return held at the least, everybody
// else held at the least times, and prices the result. Departure becomes as late as
// it can be; drains stay late (the pool stands low for less long); other stops come
// as early as the late departure allows.
func (st *state) settle(t int32) {
	m, tr := st.m, &st.m.tours[t]
	stops := st.stops[t]
	nb := len(tr.prefix)
	cost := int64(0)
	if len(stops) == 0 {
		cost = st.anewCost(t, 0)
		st.setTour(t, cost)
		return
	}
	if tr.returned || len(stops) == nb {
		r := st.ret[t]
		if tr.returned {
			r = *tr.begun.Returned
		}
		st.put(undoLeave, t, tr.begun.Depart)
		st.put(undoBack, t, r)
		st.setTour(t, st.tourPrice(t, tr.begun.Depart, r))
		return
	}
	lp, l := st.lunch[t], tr.lunch
	x, p := st.ret[t], tr.end
	if lp.kind == lunchBefore && int(lp.pos) == len(stops) {
		x = min(m.travel.leave(m.visits[stops[len(stops)-1]].place, p, x)-l.Seconds, l.To)
	} else {
		x = m.travel.leave(m.visits[stops[len(stops)-1]].place, p, x)
	}
	for i := len(stops) - 1; i >= nb; i-- {
		v := stops[i]
		vs := &m.visits[v]
		d, free := vs.secs, starts(nil)
		hi := x
		if lp.kind == lunchInside && int(lp.pos) == i {
			d += l.Seconds
			free = st.freeLunchOf(v, tr.lunchClass)
			hi = min(hi, l.To+d)
		} else {
			free = st.freeOf(v)
		}
		s := free.prev(min(hi-d, st.latest(v, d, t)))
		if s < st.s[v] {
			s = st.s[v] // never: the least times keep every rule
		}
		st.put(undoSS, v, s)
		st.put(undoSE, v, s+d)
		st.low[v] = st.s[v]
		x = s
		if lp.kind == lunchAfter && int(lp.pos) == i {
			x = min(x-l.Seconds, l.To)
		}
		if i > nb {
			p = m.visits[stops[i-1]].place
		} else {
			p = tr.from
		}
		x = m.travel.leave(p, vs.place, x)
		if lp.kind == lunchBefore && int(lp.pos) == i {
			x = min(x-l.Seconds, l.To)
		}
	}
	dep := max(x, tr.depart0)
	if tr.begun != nil {
		dep = tr.depart0
	}
	st.forward(t, dep)
	if tr.begun != nil {
		dep = tr.begun.Depart
	}
	st.put(undoLeave, t, dep)
	st.put(undoBack, t, st.ret[t])
	cost = st.tourPrice(t, dep, st.ret[t])
	if m.w.HandedOut != nil && st.anew(t, len(stops)) {
		cost = st.stick(t, cost)
	}
	st.setTour(t, cost)
	for _, v := range stops {
		st.soilJob(m.visits[v].job)
	}
}

// forward sets the stops as early as a departure at x allows, drains excepted.
func (st *state) forward(t int32, x int64) {
	m, tr := st.m, &st.m.tours[t]
	stops, lp, l := st.stops[t], st.lunch[t], tr.lunch
	p := tr.from
	for i := len(tr.prefix); i < len(stops); i++ {
		v := stops[i]
		vs := &m.visits[v]
		if lp.kind == lunchBefore && int(lp.pos) == i {
			x = max(x, l.From) + l.Seconds
		}
		x = m.travel.arrive(p, vs.place, x)
		if lp.kind == lunchAfter && int(lp.pos) == i {
			x = max(x, l.From) + l.Seconds
		}
		d, late := st.se[v]-st.ss[v], st.ss[v]
		s := max(x, st.low[v])
		if lp.kind == lunchInside && int(lp.pos) == i {
			s = st.freeLunchOf(v, tr.lunchClass).next(max(s, l.From-vs.secs))
		} else {
			s = st.freeOf(v).next(s)
		}
		if m.jobs[vs.job].drain == v {
			s = late
		}
		s = min(s, late)
		st.put(undoSS, v, s)
		st.put(undoSE, v, s+d)
		x, p = s+d, vs.place
		st.carry(v, t)
	}
}

// carry keeps rules between two stops of one tour while it is walked from its late
// departure.
func (st *state) carry(v, t int32) {
	vs := &st.m.visits[v]
	for i := range vs.out {
		a := &vs.out[i]
		if st.tourOf[a.to] != t || st.m.visits[a.to].fixed {
			continue
		}
		x := st.ss[v]
		if a.fromEnd {
			x = st.se[v]
		}
		y := st.value(a, vs.job, x)
		if a.toEnd {
			y -= st.se[a.to] - st.ss[a.to]
		}
		st.low[a.to] = max(st.low[a.to], y)
	}
}

// latest is the greatest start of v, lasting d, that its rules allow with the others
// at their least times; stops of the same tour t further on count as slid.
func (st *state) latest(v int32, d int64, t int32) int64 {
	m := st.m
	vs := &m.visits[v]
	hi := never
	off := st.off[vs.job]
	for i := range vs.out {
		a := &vs.out[i]
		w := a.to
		if !st.placed[w] || off != 0 && (a.limit && off&offLow != 0 || a.comm && off&offCommission != 0) {
			continue
		}
		ys, ye := st.s[w], st.e[w]
		if w != v && t >= 0 && st.tourOf[w] == t && st.s[w] >= st.e[v] {
			ys, ye = st.ss[w], st.se[w]
		}
		y := ys
		if a.toEnd {
			y = ye
		}
		x := st.inverse(a, vs.job, y)
		if a.fromEnd {
			x -= d
		}
		hi = min(hi, x)
	}
	for _, p := range vs.promises {
		if to := m.w.Promises[p].To; st.s[v] <= to {
			hi = min(hi, to)
		} else if m.lateRate+m.worstRate > 0 { // late already: each second more costs
			hi = st.s[v]
		}
	}
	return hi
}

// latestShown is [state.latest] for what moves alone, with the others where they are
// shown instead of at their least times.
func (st *state) latestShown(v int32, d int64) int64 {
	m, hi := st.m, never
	vs := &m.visits[v]
	off := st.off[vs.job]
	for i := range vs.out {
		a := &vs.out[i]
		if !st.placed[a.to] || off != 0 && (a.limit && off&offLow != 0 || a.comm && off&offCommission != 0) {
			continue
		}
		y := st.ss[a.to]
		if a.toEnd {
			y = st.se[a.to]
		}
		x := st.inverse(a, vs.job, y)
		if a.fromEnd {
			x -= d
		}
		hi = min(hi, x)
	}
	return hi
}

// settleTold slides a job's told interval as late as what waits for it allows, as it
// is shown: the tours are settled already.
func (st *state) settleTold(j int32) {
	w := st.m.jobs[j].told
	if w < 0 || !st.placed[w] {
		return
	}
	s, d := st.s[w], st.e[w]-st.s[w]
	if !st.m.jobs[j].hasSent || st.moved[j] {
		s = max(s, st.m.visits[w].free.prev(st.latestShown(w, d)))
	}
	st.put(undoSS, w, s)
	st.put(undoSE, w, s+d)
}

// put logs a value only if it changes.
func (st *state) put(what uint8, i int32, x int64) {
	if *st.slot(what, i) != x {
		st.set(what, i, x)
	}
}

func (st *state) setTour(t int32, x int64) {
	if x != st.tourCost[t] {
		st.total += x - st.tourCost[t]
		st.set(undoTour, t, x)
	}
}

func (st *state) setJob(j int32, x int64) {
	if x != st.jobCost[j] {
		st.total += x - st.jobCost[j]
		st.set(undoJob, j, x)
	}
}

// reprice settles what is dirty and prices it.
func (st *state) reprice() {
	for _, t := range st.dirty {
		st.isDirty[t] = false
		st.settle(t)
	}
	st.dirty = st.dirty[:0]
	for _, j := range st.jdirty {
		st.isJDirty[j] = false
		st.settleTold(j)
		st.setJob(j, st.jobPrice(j))
		if st.m.worstRate > 0 {
			st.setTardy(j, st.lateness(j))
		}
	}
	st.jdirty = st.jdirty[:0]
	if st.m.worstRate > 0 {
		st.setWorst()
	}
}

// wipe forgets what is dirty; used when a move failed.
func (st *state) wipe() {
	for _, t := range st.dirty {
		st.isDirty[t] = false
	}
	for _, j := range st.jdirty {
		st.isJDirty[j] = false
	}
	st.dirty, st.jdirty = st.dirty[:0], st.jdirty[:0]
}
