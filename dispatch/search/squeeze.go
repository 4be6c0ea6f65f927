package search

// squeezeMost is how many jobs make room for one at most.
const squeezeMost = 6

// squeeze makes room for a job that is left out: it gives each of its visits, in their
// order, the tour with the most room for it among some, soon after the visit before, and
// takes out what is worth least there until the visit fits.
func (r *ruiner) squeeze(st *state, in *inserter, j int32) {
	m, jb := r.m, &r.m.jobs[j]
	c, ok := in.root(st, j)
	if !ok {
		return
	}
	for v := jb.first; v < jb.first+jb.n && len(r.picked) < squeezeMost; v++ {
		vs := &m.visits[v]
		if vs.fixed {
			continue
		}
		lo, hi := in.bounds(st, j, v, &c)
		t := r.roomiest(st, v, lo, hi)
		if t < 0 {
			return
		}
		r.clear(st, t, vs.secs-r.spare(st, t))
		i := v - jb.first
		s := st.freeOf(v).next(max(lo, m.tours[t].depart0))
		c.es[i], c.ee[i], c.late[i] = s, s+vs.secs, never
		c.set |= 1 << uint(i)
	}
}

// roomiest draws some tours that may make a visit between lo and hi and returns the one
// that lacks the least time for it, days that pass counted as well; -1: none.
func (r *ruiner) roomiest(st *state, v int32, lo, hi int64) int32 {
	m, vs := r.m, &r.m.visits[v]
	best, least := int32(-1), never
	for range 12 {
		if len(vs.tours) == 0 {
			break
		}
		t := vs.tours[r.rng.IntN(len(vs.tours))]
		tr := &m.tours[t]
		s := vs.free.next(max(lo, tr.depart0))
		if s > hi || s+vs.secs > tr.o {
			continue
		}
		lack := max(0, vs.secs-r.spare(st, t)) + r.rng.Int64N(1800)
		if lo > always {
			lack += max(0, s-lo) / 12
		}
		if lack < least {
			best, least = t, lack
		}
	}
	return best
}

// spare is how long a tour's crew could still work, about half of its overtime included.
func (r *ruiner) spare(st *state, t int32) int64 {
	tr := &r.m.tours[t]
	room := (tr.b+tr.o)/2 - tr.a
	if len(st.stops[t]) == 0 {
		return room
	}
	for _, v := range st.stops[t] {
		if r.is[r.m.visits[v].job] {
			room += r.m.visits[v].secs
		}
	}
	return room - (st.back[t] - st.leave[t])
}

// clear takes jobs out of a tour until so many seconds are free, what is worth least for
// its time there first.
func (r *ruiner) clear(st *state, t int32, secs int64) {
	for secs > 0 && len(r.picked) < squeezeMost {
		worst, least := int32(-1), never
		for _, v := range st.stops[t] {
			j := r.m.visits[v].job
			if r.is[j] || !r.m.movable(j) || r.m.jobs[j].must {
				continue
			}
			if worth := r.m.jobs[j].worth * (8 + r.rng.Int64N(8)); worth < least {
				worst, least = v, worth
			}
		}
		if worst < 0 {
			return
		}
		r.take(st, r.m.visits[worst].job)
		secs -= r.m.visits[worst].secs
	}
}
