package search

import "slices"

// lift makes st the base with a visit taken off its tour, all else timed anew. Its times
// are the least; [state.put1] then tries spots for the visit. free lets go of what is held
// back on its tour, give gives up what its job was promised.
func (a *Warm) lift(st *state, v int32, e *edit, free, give bool) bool {
	st.copyWith(a.base, e.m)
	j, t := e.m.visits[v].job, st.tourOf[v]
	jb := &e.m.jobs[j]
	if e.m != a.m || give && !st.moved[j] {
		st.dropJob(j) // its rules are others
	}
	st.moved[j] = st.moved[j] || give
	st.pumpNights(j, -1)
	if t >= 0 {
		k := slices.Index(st.stops[t], v)
		st.letFall(v)
		if free {
			st.hold[v] = always
			st.letGoOf(t)
		}
		st.room[t] -= e.m.visits[v].room
		st.takeOff(v)
		for c := range st.cuts { // what was noted of stops behind moves up with them
			if x := &st.cuts[c]; x.tour == t && int(x.pos) > k {
				x.pos--
			}
		}
		st.cuts = append(st.cuts, cut{t, int32(k), true})
		if st.pumps(v) {
			st.reload(t)
		}
	}
	st.owed[v] = false
	if jb.told >= 0 {
		st.placed[jb.told] = st.placed[jb.firstLow]
	}
	if !st.isReopened[j] {
		st.isReopened[j] = true
		st.reopened = append(st.reopened, j)
	}
	st.pumpNights(j, 1)
	st.soilJob(j)
	st.allow(1000)
	ok := st.sink()
	if !ok {
		st.drain()
		st.wipe()
		st.relunch, st.cuts = st.relunch[:0], st.cuts[:0]
		return false
	}
	st.chooseLunches()
	st.reprice()
	st.trail = st.trail[:0]
	return true
}

// dropJob lets all visits of a job fall: its rules are not those that its times were found
// by.
func (st *state) dropJob(j int32) {
	jb := &st.m.jobs[j]
	if !st.isReopened[j] {
		st.isReopened[j] = true
		st.reopened = append(st.reopened, j)
	}
	for u := jb.first; u < jb.first+jb.n; u++ {
		st.fallAt(u)
	}
	if jb.told >= 0 && st.placed[jb.told] && !st.isFallen[jb.told] {
		st.letFall(jb.told)
	}
}

// fallAt lets a visit fall, and what lies behind it on its tour.
func (st *state) fallAt(u int32) {
	t := st.tourOf[u]
	if t < 0 || st.m.visits[u].fixed {
		return
	}
	st.cuts = append(st.cuts, cut{t, int32(slices.Index(st.stops[t], u)), true})
	j := st.m.visits[u].job
	if !st.isReopened[j] {
		st.isReopened[j] = true
		st.reopened = append(st.reopened, j)
	}
}

// letGoOf no longer holds back the stops of a tour and what hangs on them, and lets fall
// what was.
func (st *state) letGoOf(t int32) {
	free := func(u int32) {
		if st.hold[u] == always {
			return
		}
		st.hold[u] = always
		if st.m.visits[u].told {
			if !st.isFallen[u] {
				st.letFall(u)
			}
			j := st.m.visits[u].job
			if !st.isReopened[j] {
				st.isReopened[j] = true
				st.reopened = append(st.reopened, j)
			}
			return
		}
		st.fallAt(u)
	}
	for _, v := range st.stops[t] {
		jb := &st.m.jobs[st.m.visits[v].job]
		for u := jb.first; u < jb.first+jb.n; u++ {
			free(u)
		}
		if jb.told >= 0 {
			free(jb.told)
		}
	}
}

// putIn puts a lifted visit into lists and books (tour -1: owed), nothing timed.
func (st *state) putIn(v, t int32, pos int) {
	m, j := st.m, st.m.visits[v].job
	st.pumpNights(j, -1)
	if t < 0 {
		st.owed[v] = true
	} else {
		st.stops[t] = slices.Insert(st.stops[t], pos, v)
		st.tourOf[v], st.placed[v] = t, true
		st.room[t] += m.visits[v].room
		st.count++
	}
	if w := m.jobs[j].told; w >= 0 {
		st.placed[w] = st.placed[m.jobs[j].firstLow]
	}
	st.pumpNights(j, 1)
	if t >= 0 && st.pumps(v) {
		st.reload(t)
	}
}

// takeIn undoes putIn.
func (st *state) takeIn(v, t int32) {
	m, j := st.m, st.m.visits[v].job
	st.pumpNights(j, -1)
	st.owed[v] = false
	if t >= 0 {
		k := slices.Index(st.stops[t], v)
		st.stops[t] = slices.Delete(st.stops[t], k, k+1)
		st.tourOf[v], st.placed[v] = -1, false
		st.room[t] -= m.visits[v].room
		st.count--
	}
	if w := m.jobs[j].told; w >= 0 {
		st.placed[w] = st.placed[m.jobs[j].firstLow]
	}
	st.pumpNights(j, 1)
	if t >= 0 && st.pumps(v) {
		st.reload(t)
	}
}

// time1 puts a lifted visit into its spot and finds the least times; cap bounds the
// updates, 0: as usual. Lunch is taken where that is best; nil, or as lunch says. If it does
// not fit all is as before.
func (st *state) time1(v, t int32, pos, cap int, lunch *lunchAt) (mark int, ok bool) {
	j := st.m.visits[v].job
	mark = len(st.trail)
	ok = t < 0 || st.ease(t)
	st.putIn(v, t, pos)
	if t >= 0 {
		st.shiftLunch(t, pos, 1)
	}
	if st.allow(roundCap); cap > 0 {
		st.budget = cap
	}
	if ok && st.carried(j, t) && st.open(j) && (t < 0 || st.lunchAs(t, lunch)) && st.propagate() {
		return mark, true
	}
	st.drain()
	st.wipe()
	st.lift1(v, t, mark)
	return mark, false
}

// ease lets a tour that leaves so late that no lunch is due leave early again, so that its
// stops' times are the least whatever becomes of lunch.
func (st *state) ease(t int32) bool {
	if st.dep[t] == always {
		return true
	}
	st.allow(roundCap)
	st.setLunch(t, lunchAt{kind: lunchTaken}) // as if: lunch asks for nothing
	st.set(undoDep, t, always)
	st.cuts = append(st.cuts[:0], cut{t, int32(len(st.m.tours[t].prefix)), false})
	ok := st.sink()
	st.setLunch(t, lunchAt{})
	return ok
}

// lunchAs has a tour's lunch where it is told, or where it is best.
func (st *state) lunchAs(t int32, lunch *lunchAt) bool {
	if lunch == nil {
		return st.lunchOpen(t)
	}
	st.setLunch(t, *lunch)
	return true
}

// put1 puts a lifted visit into its spot (tour -1: owed) and times and prices everything.
// On success [state.lift1] takes it out again, given the mark. If it does not fit all is as
// before.
func (st *state) put1(v, t int32, pos int, lunch *lunchAt) (mark int, ok bool) {
	if mark, ok = st.time1(v, t, pos, 0, lunch); !ok {
		return mark, false
	}
	if st.reprice(); st.apart1(st.m.visits[v].job, t) {
		return mark, true
	}
	st.lift1(v, t, mark)
	return mark, false
}

// lift1 undoes put1 and time1.
func (st *state) lift1(v, t int32, mark int) {
	st.rollback(mark)
	st.takeIn(v, t)
	st.drain()
	st.wipe()
}

// pumps reports whether a visit drops, collects or uses a pump.
func (st *state) pumps(v int32) bool {
	x := &st.m.visits[v]
	return x.drop || x.collect || x.arrival
}

// carried reports whether the pumps and the material of a job are carried, its new stop on
// tour t.
func (st *state) carried(j, t int32) bool {
	m, jb := st.m, &st.m.jobs[j]
	if t >= 0 && m.tours[t].room > 0 && st.room[t] > m.tours[t].room {
		return false
	}
	if !jb.needPump && jb.pumpHome < 0 {
		return true
	}
	for v := jb.first; v < jb.first+jb.n; v++ {
		if x := st.tourOf[v]; x >= 0 && st.short[x] {
			return false
		}
	}
	return st.homesAgree(j) && st.stocked()
}

// apart1 tests what shows only when all is timed.
func (st *state) apart1(j, t int32) bool {
	if t >= 0 {
		for _, r := range st.m.tours[t].rivals {
			if len(st.stops[r]) > 0 && st.leave[r] < st.back[t] && st.leave[t] < st.back[r] {
				return false
			}
		}
	}
	return st.m.jobs[j].water == nil || st.off[j]&offLow != 0 || !st.owesLow(j) || st.lowKept(j)
}
