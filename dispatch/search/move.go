package search

// spot is where one visit goes: before stop pos of a tour, or owed (tour -1).
type spot struct {
	visit, tour int32
	pos         int32
}

// place puts a job's visits at the given spots (positions as the tours stand now;
// of two in one gap the first comes first), times everything and prices it. If a
// rule can't be kept everything is as before and false is returned. On success
// [state.unplace] undoes it, given the returned mark.
func (st *state) place(j int32, spots []spot) (mark int, ok bool) {
	m, jb := st.m, &st.m.jobs[j]
	mark = len(st.trail)
	st.pumpNights(j, -1)
	for i := len(spots) - 1; i >= 0; i-- {
		sp := spots[i]
		if sp.tour < 0 {
			st.owed[sp.visit] = true
			continue
		}
		pos := sp.pos
		for k := 0; k < i; k++ { // earlier ones are not in yet: positions stand
			if spots[k].tour == sp.tour && spots[k].pos > pos {
				pos = spots[k].pos
			}
		}
		l := append(st.stops[sp.tour], 0)
		copy(l[pos+1:], l[pos:])
		l[pos] = sp.visit
		st.stops[sp.tour] = l
		st.shiftLunch(sp.tour, int(pos), 1)
		st.tourOf[sp.visit] = sp.tour
		st.placed[sp.visit] = true
		st.room[sp.tour] += m.visits[sp.visit].room
		st.count++
	}
	if jb.told >= 0 {
		st.placed[jb.told] = st.placed[jb.firstLow]
	}
	st.setIn(j, true)
	good := st.homesAgree(j) && st.roomKept(spots)
	st.pumpNights(j, 1)
	if jb.needPump || jb.pumpHome >= 0 {
		for _, sp := range spots {
			if v := &m.visits[sp.visit]; sp.tour >= 0 && (v.drop || v.collect || v.arrival) {
				good = st.reload(sp.tour) && good
			}
		}
		good = good && st.stocked()
	}
	st.allow(roundCap)
	if good && st.open(j) && st.lunches(spots) && st.propagate() {
		st.reprice()
		if st.agrees(j, spots) {
			return mark, true
		}
	}
	st.drain()
	st.rollback(mark)
	st.takeOut(j, spots)
	st.wipe()
	return mark, false
}

// roomKept reports whether the trucks that get a stop have room for what it takes.
func (st *state) roomKept(spots []spot) bool {
	if !st.m.rooms {
		return true
	}
	for _, sp := range spots {
		if sp.tour >= 0 && st.m.tours[sp.tour].room > 0 && st.room[sp.tour] > st.m.tours[sp.tour].room {
			return false
		}
	}
	return true
}

// agrees tests what only shows when all is timed: no crew on two tours at once, and
// a begun job's owed visits against the low limit.
func (st *state) agrees(j int32, spots []spot) bool {
	for _, sp := range spots {
		if sp.tour < 0 {
			if st.m.jobs[j].water != nil && st.off[j]&offLow == 0 && st.owesLow(j) && !st.lowKept(j) {
				return false
			}
			continue
		}
		for _, t := range st.m.tours[sp.tour].rivals {
			if len(st.stops[t]) > 0 && st.leave[t] < st.back[sp.tour] && st.leave[sp.tour] < st.back[t] {
				return false
			}
		}
	}
	return true
}

// drain empties the queue after a failure.
func (st *state) drain() {
	for _, t := range st.queue {
		st.queued[t] = false
	}
	st.queue = st.queue[:0]
}

// unplace undoes a successful place.
func (st *state) unplace(j int32, spots []spot, mark int) {
	st.rollback(mark)
	st.takeOut(j, spots)
}

// takeOut removes the visits of the spots from the lists and books.
func (st *state) takeOut(j int32, spots []spot) {
	m, jb := st.m, &st.m.jobs[j]
	st.pumpNights(j, -1)
	for _, sp := range spots {
		st.owed[sp.visit] = false
		if sp.tour < 0 {
			continue
		}
		l := st.stops[sp.tour]
		for k, v := range l {
			if v == sp.visit {
				copy(l[k:], l[k+1:])
				st.stops[sp.tour] = l[:len(l)-1]
				break
			}
		}
		st.placed[sp.visit] = false
		st.tourOf[sp.visit] = -1
		st.room[sp.tour] -= m.visits[sp.visit].room
		st.count--
	}
	if jb.told >= 0 {
		st.placed[jb.told] = false
	}
	st.setIn(j, false)
	for _, sp := range spots {
		if sp.tour >= 0 {
			if v := &m.visits[sp.visit]; v.drop || v.collect || v.arrival {
				st.reload(sp.tour)
			}
		}
	}
	st.pumpNights(j, 1)
}

// open gives a newly placed job its first bounds and lets them act.
func (st *state) open(j int32) bool {
	m, jb := st.m, &st.m.jobs[j]
	for v := jb.first; v < jb.first+jb.n; v++ {
		if !m.visits[v].fixed {
			st.clear(v)
		}
	}
	if jb.told >= 0 {
		st.clear(jb.told)
	}
	if !st.floors(j) {
		return false
	}
	if jb.told >= 0 && st.placed[jb.told] && !st.touch(jb.told) {
		return false
	}
	for v := jb.first; v < jb.first+jb.n; v++ {
		if m.visits[v].fixed && !st.fire(v) {
			return false
		}
	}
	st.soilJob(j)
	return true
}

func (st *state) clear(v int32) {
	st.set(undoLS, v, always)
	st.set(undoLE, v, always)
	st.set(undoS, v, always)
	st.set(undoE, v, always)
	if t := st.tourOf[v]; t >= 0 {
		st.enqueue(t)
	}
}

// floors raises the bounds that a promise kept or a visit owed puts on a job. It
// reports false if facts do not let a visit be owed.
func (st *state) floors(j int32) bool {
	m, jb := st.m, &st.m.jobs[j]
	if w := jb.told; w >= 0 && st.hold[w] > st.ls[w] {
		st.set(undoLS, w, st.hold[w])
	}
	for v := jb.first; v < jb.first+jb.n; v++ {
		if st.placed[v] && !m.visits[v].fixed && !st.moved[j] {
			for _, p := range m.visits[v].promises {
				st.set(undoLS, v, max(st.ls[v], m.w.Promises[p].From))
			}
		}
		if st.hold[v] > st.ls[v] {
			st.set(undoLS, v, st.hold[v])
		}
		if !st.owed[v] || st.off[j]&offCommission != 0 {
			continue
		}
		for i := range m.visits[v].out { // what keeps an owed visit's latest start late enough
			a := &m.visits[v].out[i]
			if a.fn != fnAdd || a.fromEnd || a.c > 0 || !st.placed[a.to] {
				continue
			}
			y := m.w.NextWorkday.End + a.c
			if u := &m.visits[a.to]; u.fixed {
				if a.toEnd && y > u.begun1 || !a.toEnd && y > u.begun0 {
					return false
				}
				continue
			}
			if a.toEnd {
				st.set(undoLE, a.to, max(st.le[a.to], y))
			} else {
				st.set(undoLS, a.to, max(st.ls[a.to], y))
			}
		}
	}
	return true
}

// lunches chooses lunch anew for every tour that a move touched.
func (st *state) lunches(spots []spot) bool {
	for i, sp := range spots {
		if sp.tour < 0 {
			continue
		}
		seen := false
		for _, o := range spots[:i] {
			seen = seen || o.tour == sp.tour
		}
		if !seen && !st.chooseLunch(sp.tour) {
			return false
		}
	}
	return true
}

// shiftLunch keeps lunch at its stop when a stop before it comes or goes.
func (st *state) shiftLunch(t int32, pos, by int) {
	l := st.lunch[t]
	if l.kind == lunchNone || l.kind == lunchTaken || int(l.pos) < pos {
		return
	}
	l.pos += int16(by)
	st.setLunch(t, l)
}

// remove takes a placed job out. Times stay as they are, which keeps every rule;
// [state.rebuild] brings them down again.
func (st *state) remove(j int32) {
	m, jb := st.m, &st.m.jobs[j]
	if !st.in[j] {
		return
	}
	st.pumpNights(j, -1)
	for v := jb.first; v < jb.first+jb.n; v++ {
		st.owed[v] = false
		t := st.tourOf[v]
		if t < 0 || m.visits[v].fixed {
			continue
		}
		l := st.stops[t]
		for k := range l {
			if l[k] == v {
				copy(l[k:], l[k+1:])
				st.stops[t] = l[:len(l)-1]
				st.dropLunch(t, k)
				st.changed.tour(t)
				for c := range st.cuts { // what was noted of stops behind moves up with them
					if x := &st.cuts[c]; x.tour == t && int(x.pos) > k {
						x.pos--
					}
				}
				st.cuts = append(st.cuts, cut{t, int32(k), false})
				break
			}
		}
		st.placed[v], st.tourOf[v], st.hold[v] = false, -1, always
		st.room[t] -= m.visits[v].room
		st.count--
		if x := &m.visits[v]; x.drop || x.collect || x.arrival {
			st.reload(t)
		}
	}
	if jb.told >= 0 {
		st.placed[jb.told], st.hold[jb.told] = false, always
	}
	st.setIn(j, false)
	st.moved[j], st.off[j] = false, 0
	st.changed.job(j)
	st.soilJob(j)
	st.pumpNights(j, 1)
}

// dropLunch keeps lunch at a place that exists when stop k has left the list, and
// notes that the tour's lunch is worth choosing anew.
func (st *state) dropLunch(t int32, k int) {
	l := st.lunch[t]
	if l.kind == lunchNone || l.kind == lunchTaken {
		return
	}
	if int(l.pos) > k {
		l.pos--
	} else if int(l.pos) == k && l.kind != lunchBefore {
		l.kind = lunchBefore
	}
	if len(st.stops[t]) == 0 {
		l = lunchAt{}
	}
	st.lunch[t] = l
	st.relunch = append(st.relunch, t)
}

// rebuild finds the least times of everything from nothing, and the whole cost.
// Lunch is chosen anew for tours that lost a stop.
func (st *state) rebuild() bool {
	m := st.m
	st.trail = st.trail[:0]
	st.cuts = st.cuts[:0]
	st.wipe()
	st.drain()
	st.count = 0
	for v := range m.visits {
		if m.visits[v].fixed {
			continue
		}
		st.ls[v], st.le[v], st.s[v], st.e[v] = always, always, always, always
		if st.placed[v] {
			st.count++
		}
	}
	st.allow(1000) // taking visits out can't break a rule, only take many small steps
	for t := range m.tours {
		st.dep[t] = always
		st.soil(int32(t))
	}
	ok := true
	for j := range m.jobs {
		st.soilJob(int32(j))
		if st.in[j] || m.jobs[j].must {
			ok = ok && st.open(int32(j))
		}
	}
	for t := range m.tours {
		if len(st.stops[t]) > 0 {
			st.enqueue(int32(t))
		}
	}
	ok = ok && st.propagate()
	if !ok {
		st.drain()
		return false
	}
	st.chooseLunches()
	st.reprice()
	st.trail = st.trail[:0]
	return true
}
