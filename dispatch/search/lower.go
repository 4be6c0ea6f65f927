package search

// cut is a position of a tour from which on stops may come earlier.
type cut struct {
	tour, pos int32
	bound     bool // the bound of the stop there fell, not only its arrival
}

// lower brings times down again after jobs were taken out, where the removal can have
// held them up: the stops behind a gap, and over rules that were tight whatever waits
// for them. A stop that its bounds alone hold where it is stays. What stays is a least
// time still (but for circles of rules that hold each other up, which the full
// [state.rebuild] undoes now and then), so raising the others from nothing finds the
// least times of all. It reports false if that did not settle.
func (st *state) lower() bool {
	st.allow(1000)
	st.unhold()
	ok := st.sink()
	if !ok {
		st.drain()
		st.wipe()
		st.relunch = st.relunch[:0]
	} else {
		st.chooseLunches()
		st.reprice()
	}
	st.commit()
	return ok
}

// chooseLunches chooses lunch anew for tours that lost a stop.
func (st *state) chooseLunches() {
	for _, t := range st.relunch {
		mark, was, dep := len(st.trail), st.lunch[t], st.dep[t]
		st.allow(roundCap)
		ok := st.chooseLunch(t)
		if ok && st.lunch[t] == was && dep == always {
			continue
		}
		st.cuts = append(st.cuts, cut{t, 0, false})
		if !ok || !st.sink() {
			st.cuts = st.cuts[:0]
			st.drain()
			st.rollback(mark)
		}
	}
	st.relunch = st.relunch[:0]
}

// sink lets fall what the cuts held up and raises it again as far as rules ask.
func (st *state) sink() bool {
	for n := 0; n < len(st.cuts); n++ {
		st.fall(st.cuts[n])
	}
	for _, c := range st.cuts {
		st.enqueue(c.tour)
	}
	st.cuts = st.cuts[:0]
	for _, v := range st.fallen {
		st.set(undoS, v, always)
		st.set(undoE, v, always)
	}
	ok := true
	for _, j := range st.reopened {
		ok = ok && st.reopen(j)
	}
	for _, v := range st.fallen {
		if t := st.tourOf[v]; t >= 0 {
			st.enqueue(t)
		}
		st.isFallen[v] = false
	}
	for _, j := range st.reopened {
		st.isReopened[j] = false
	}
	st.fallen, st.reopened = st.fallen[:0], st.reopened[:0]
	return st.propagate() && ok
}

// fall notes the stops of a tour that may come earlier from a position on.
func (st *state) fall(c cut) {
	tr, stops := &st.m.tours[c.tour], st.stops[c.tour]
	nb := int32(len(tr.prefix))
	if tr.returned {
		return
	}
	if st.dep[c.tour] > always { // a tour kept short enough to need no lunch
		st.set(undoDep, c.tour, always)
		c.pos, c.bound = nb, false
	}
	for i := max(nb, c.pos); i < int32(len(stops)); i++ {
		v := stops[i]
		if st.isFallen[v] {
			continue
		}
		if !(c.bound && i == c.pos) && st.held(v, c.tour, i) && !st.holds(v) {
			return
		}
		st.letFall(v)
	}
}

// held reports whether the bounds of stop v alone explain its start.
func (st *state) held(v, t, i int32) bool {
	if st.lunch[t].kind == lunchInside && int32(st.lunch[t].pos) == i {
		return false
	}
	b := max(st.ls[v], st.le[v]-st.m.visits[v].secs)
	return b > always && st.freeOf(v).next(b) == st.s[v]
}

// holds reports whether a rule from v to a visit of its job is tight.
func (st *state) holds(v int32) bool {
	for i := range st.m.visits[v].out {
		if st.tight(v, &st.m.visits[v].out[i]) {
			return true
		}
	}
	return false
}

func (st *state) tight(v int32, a *arc) bool {
	if !st.placed[a.to] || st.m.visits[a.to].fixed {
		return false
	}
	x := st.s[v]
	if a.fromEnd {
		x = st.e[v]
	}
	if a.toEnd {
		return st.value(a, st.m.visits[v].job, x) == st.le[a.to]
	}
	return st.value(a, st.m.visits[v].job, x) == st.ls[a.to]
}

// letFall notes that v may come earlier, and what it held up.
func (st *state) letFall(v int32) {
	m := st.m
	st.isFallen[v] = true
	st.fallen = append(st.fallen, v)
	for i := range m.visits[v].out {
		a := &m.visits[v].out[i]
		if !st.tight(v, a) {
			continue
		}
		if j := m.visits[v].job; !st.isReopened[j] {
			st.isReopened[j] = true
			st.reopened = append(st.reopened, j)
		}
		w := a.to
		switch {
		case st.isFallen[w]:
		case m.visits[w].told:
			st.letFall(w)
		default:
			t := st.tourOf[w]
			for k, u := range st.stops[t] {
				if u == w && (st.held(w, t, int32(k)) || st.lunch[t].kind == lunchInside && int(st.lunch[t].pos) == k) {
					st.cuts = append(st.cuts, cut{t, int32(k), true})
				}
			}
		}
	}
}

// reopen finds a job's bounds again from the visits that stay.
func (st *state) reopen(j int32) bool {
	m, jb := st.m, &st.m.jobs[j]
	for v := jb.first; v < jb.first+jb.n; v++ {
		if !m.visits[v].fixed {
			st.put(undoLS, v, always)
			st.put(undoLE, v, always)
		}
	}
	if jb.told >= 0 {
		st.put(undoLS, jb.told, always)
		st.put(undoLE, jb.told, always)
	}
	if !st.floors(j) {
		return false
	}
	for v := jb.first; v < jb.first+jb.n; v++ {
		if (st.placed[v] || m.visits[v].fixed) && !st.isFallen[v] && !st.fire(v) {
			return false
		}
	}
	if w := jb.told; w >= 0 && st.placed[w] {
		if st.isFallen[w] {
			return st.touch(w)
		}
		return st.fire(w)
	}
	return true
}
