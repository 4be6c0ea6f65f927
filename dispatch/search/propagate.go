package search

// propagate raises starts until every rule x >= f(y) holds, beginning with the
// queued tours. It reports false if a rule can't be kept (or did not settle within
// the round cap, which is counted); the caller then rolls back.
func (st *state) propagate() bool {
	if st.m.opened != nil {
		return st.propagateOpen()
	}
	ok := true
	for n := 0; n < len(st.queue); n++ {
		t := st.queue[n]
		st.queued[t] = false
		mark := len(st.trail)
		if ok && !st.walk(t) {
			// where lunch no longer fits at its place another place may do; what the
			// failed walk carried on is forgotten first, or it would count as kept
			st.rollback(mark)
			ok = st.budget >= 0 && st.chooseLunch(t) && st.walk(t)
		}
		if n > 64 { // keep the slice short
			st.queue = append(st.queue[:0], st.queue[n+1:]...)
			n = -1
		}
	}
	st.queue = st.queue[:0]
	if st.budget < 0 {
		st.undecided++
	}
	return ok
}

// allow sets the round cap of what follows: so many updates for each placed visit.
func (st *state) allow(rounds int) { st.budget = rounds*st.count + 64 }

// roundCap is the number of updates per visit after which a move counts as undecided.
const roundCap = 4

func (st *state) enqueue(t int32) {
	st.soil(t)
	if !st.queued[t] {
		st.queued[t] = true
		st.queue = append(st.queue, t)
	}
}

// soil marks a tour whose settled times must be computed again.
func (st *state) soil(t int32) {
	if !st.isDirty[t] {
		st.isDirty[t] = true
		st.dirty = append(st.dirty, t)
	}
}

func (st *state) soilJob(j int32) {
	if !st.isJDirty[j] {
		st.isJDirty[j] = true
		st.jdirty = append(st.jdirty, j)
	}
}

// walk times one tour as early as its rules and the bounds from elsewhere allow,
// lunch where it was chosen to be.
func (st *state) walk(t int32) bool {
	m, tr := st.m, &st.m.tours[t]
	stops, lp, l := st.stops[t], st.lunch[t], st.m.tours[t].lunch
	nb := len(tr.prefix)
	if tr.returned || len(stops) == 0 {
		return true
	}
	if len(stops) == nb && lp.kind == lunchNone && l != nil && !st.chooseLunch(t) {
		return false
	}
	lp = st.lunch[t]
	for {
		x, p := max(tr.depart0, st.dep[t]), tr.from
		for i := nb; i < len(stops); i++ {
			v := stops[i]
			vs := &m.visits[v]
			if lp.kind == lunchBefore && int(lp.pos) == i {
				if x = max(x, l.From); x > l.To {
					return false
				}
				x += l.Seconds
			}
			x = m.travel.arrive(p, vs.place, x)
			if lp.kind == lunchAfter && int(lp.pos) == i {
				if x = max(x, l.From); x > l.To {
					return false
				}
				x += l.Seconds
			}
			d, free, lo := vs.secs, st.freeOf(v), max(x, st.ls[v])
			if inside := lp.kind == lunchInside && int(lp.pos) == i; inside {
				free = st.freeLunchOf(v, tr.lunchClass)
				lo = max(lo, l.From-d)
				d += l.Seconds
				s := free.next(max(lo, st.le[v]-d))
				if s > l.To {
					return false
				}
				lo = s
			} else {
				lo = free.next(max(lo, st.le[v]-d))
			}
			x = lo + d
			if x > tr.o {
				return false
			}
			p = vs.place
			if lo != st.s[v] || x != st.e[v] {
				if st.budget--; st.budget < 0 {
					return false
				}
				st.set(undoS, v, lo)
				st.set(undoE, v, x)
				if !st.fire(v) {
					return false
				}
			}
		}
		if lp.kind == lunchBefore && int(lp.pos) == len(stops) {
			if x = max(x, l.From); x > l.To {
				return false
			}
			x += l.Seconds
		}
		r := m.travel.arrive(p, tr.end, x)
		if r > tr.o {
			return false
		}
		if r != st.ret[t] {
			st.set(undoRet, t, r)
		}
		if lp.kind != lunchNone || l == nil {
			return true
		}
		if tr.begun != nil {
			return r-tr.begun.Depart <= l.DueAfter
		}
		if r-l.DueAfter <= max(tr.depart0, st.dep[t]) {
			return true
		}
		if st.budget--; st.budget < 0 {
			return false
		}
		st.set(undoDep, t, r-l.DueAfter)
	}
}

// fire carries a changed visit's times along its rules.
func (st *state) fire(v int32) bool {
	m := st.m
	vs := &m.visits[v]
	st.soilJob(vs.job)
	off := st.off[vs.job]
	for i := range vs.out {
		a := &vs.out[i]
		w := a.to
		if !st.placed[w] || off != 0 && (a.limit && off&offLow != 0 || a.comm && off&offCommission != 0) {
			continue
		}
		x := st.s[v]
		if a.fromEnd {
			x = st.e[v]
		}
		y := st.value(a, vs.job, x)
		if y >= never {
			return false
		}
		ws := &m.visits[w]
		if ws.fixed {
			if vs.fixed {
				continue
			}
			if a.toEnd && y > st.e[w] || !a.toEnd && y > st.s[w] {
				return false
			}
			continue
		}
		if a.toEnd {
			if y > st.le[w] {
				st.set(undoLE, w, y)
				if y > st.e[w] && !st.touch(w) {
					return false
				}
			}
		} else if y > st.ls[w] {
			st.set(undoLS, w, y)
			if y > st.s[w] && !st.touch(w) {
				return false
			}
		}
	}
	// the slack of the job's other tours has changed
	jb := &m.jobs[vs.job]
	for w := jb.first; w < jb.first+jb.n; w++ {
		if t := st.tourOf[w]; t >= 0 {
			st.soil(t)
		}
	}
	return true
}

// value is f(x) of an arc.
func (st *state) value(a *arc, j int32, x int64) int64 {
	if a.fn == fnAdd {
		return x + a.c
	}
	wt := st.m.jobs[j].water
	switch a.fn {
	case fnLowLate:
		if y, ok := at(wt.LowLate, x); ok {
			return y
		}
	case fnCovered:
		if y, ok := at(wt.Covered, x); ok {
			return y
		}
	case fnLimit:
		if y, ok := at(wt.Covered, x); ok {
			if z := leastX(wt.LowLimit, y); z < never {
				return leastX(wt.LowEarly, z)
			}
		}
	}
	return never
}

// inverse is the greatest x with f(x) <= y of an arc.
func (st *state) inverse(a *arc, j int32, y int64) int64 {
	wt := st.m.jobs[j].water
	switch a.fn {
	case fnLowLate:
		return greatestX(wt.LowLate, y)
	case fnCovered:
		return greatestX(wt.Covered, y)
	case fnLimit:
		if lim, ok := limitOf(wt, y); ok {
			return greatestX(wt.Covered, lim)
		}
		return always
	default:
		return y - a.c
	}
}

// touch times a visit again whose bound rose: its tour is queued; a told interval
// is moved at once.
func (st *state) touch(w int32) bool {
	if !st.m.visits[w].told {
		st.enqueue(st.tourOf[w])
		return true
	}
	if st.budget--; st.budget < 0 {
		return false
	}
	s, d := st.toldNext(w, max(st.ls[w], st.le[w]-st.m.visits[w].secs))
	if s >= never {
		return false
	}
	st.set(undoS, w, s)
	st.set(undoE, w, s+d)
	return st.fire(w)
}

// toldNext is the least begin of a told interval at or after x, and its width.
func (st *state) toldNext(w int32, x int64) (s, width int64) {
	v := &st.m.visits[w]
	jb := &st.m.jobs[v.job]
	if jb.hasSent && !st.moved[v.job] {
		if x <= jb.toldKeep.lo {
			return jb.toldKeep.lo, jb.toldKeep.hi - jb.toldKeep.lo
		}
		return never, 0
	}
	return v.free.next(x), v.secs
}

func (st *state) freeOf(v int32) starts {
	vs := &st.m.visits[v]
	if o := st.off[vs.job]; o&(offAvailability|offPin|offLow) != 0 {
		return st.m.relaxed(v, vs.secs, o)
	}
	return vs.free
}

func (st *state) freeLunchOf(v int32, class int) starts {
	vs := &st.m.visits[v]
	if o := st.off[vs.job]; o&(offAvailability|offPin|offLow) != 0 {
		return st.m.relaxed(v, vs.secs+st.m.lunch[class], o)
	}
	return vs.freeLunch[class]
}

// relaxed are the allowed starts of a visit let off some rules; rare, so not kept.
func (m *model) relaxed(v int32, secs int64, off uint8) starts {
	j := m.visits[v].job
	return m.allowed(int(j), int(v-m.jobs[j].first), secs, off)
}
