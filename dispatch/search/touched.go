package search

// touched is a set of tours and jobs, kept as lists with flags.
type touched struct {
	tours, jobs   []int32
	isTour, isJob []bool
}

func newTouched(m *model) touched {
	return touched{isTour: make([]bool, len(m.tours)), isJob: make([]bool, len(m.jobs))}
}

func (x *touched) tour(t int32) {
	if !x.isTour[t] {
		x.isTour[t] = true
		x.tours = append(x.tours, t)
	}
}

func (x *touched) job(j int32) {
	if !x.isJob[j] {
		x.isJob[j] = true
		x.jobs = append(x.jobs, j)
	}
}

func (x *touched) add(o *touched) {
	for _, t := range o.tours {
		x.tour(t)
	}
	for _, j := range o.jobs {
		x.job(j)
	}
}

func (x *touched) clear() {
	for _, t := range x.tours {
		x.isTour[t] = false
	}
	for _, j := range x.jobs {
		x.isJob[j] = false
	}
	x.tours, x.jobs = x.tours[:0], x.jobs[:0]
}

// commit keeps what the trail logged and notes which tours and jobs it changed.
func (st *state) commit() {
	for i := range st.trail {
		switch u := &st.trail[i]; u.what {
		case undoDep, undoRet, undoLeave, undoBack, undoTour, undoLunch:
			st.changed.tour(u.at)
		case undoJob, undoTardy:
			st.changed.job(u.at)
		case undoWorst:
		default:
			st.changed.job(st.m.visits[u.at].job)
		}
	}
	st.trail = st.trail[:0]
}

// take makes the given tours and jobs equal to those of o. Together with the pump
// books and sums this makes st equal to o if nothing else differs.
func (st *state) take(o *state, x *touched) {
	for _, t := range x.tours {
		st.stops[t] = append(st.stops[t][:0], o.stops[t]...)
		st.lunch[t], st.load[t], st.short[t] = o.lunch[t], o.load[t], o.short[t]
		st.dep[t], st.ret[t], st.leave[t], st.back[t] = o.dep[t], o.ret[t], o.leave[t], o.back[t]
		st.tourCost[t], st.room[t] = o.tourCost[t], o.room[t]
	}
	for _, j := range x.jobs {
		jb := &st.m.jobs[j]
		st.setIn(j, o.in[j])
		st.moved[j], st.off[j], st.jobCost[j], st.tardy[j] = o.moved[j], o.off[j], o.jobCost[j], o.tardy[j]
		for v := jb.first; v < jb.first+jb.n; v++ {
			st.takeVisit(o, v)
		}
		if jb.told >= 0 {
			st.takeVisit(o, jb.told)
		}
	}
	copy(st.loads, o.loads)
	copy(st.fresh, o.fresh)
	copy(st.out, o.out)
	st.total, st.count, st.worst = o.total, o.count, o.worst
	st.trail, st.relunch, st.cuts = st.trail[:0], st.relunch[:0], st.cuts[:0]
}

func (st *state) takeVisit(o *state, v int32) {
	st.tourOf[v], st.placed[v], st.owed[v] = o.tourOf[v], o.placed[v], o.owed[v]
	st.ls[v], st.le[v], st.s[v], st.e[v] = o.ls[v], o.le[v], o.s[v], o.e[v]
	st.ss[v], st.se[v], st.hold[v] = o.ss[v], o.se[v], o.hold[v]
}

// setIn says whether a job is placed and keeps the list of those that are not.
func (st *state) setIn(j int32, in bool) {
	if st.in[j] == in {
		return
	}
	st.in[j] = in
	if !in {
		st.absentAt[j] = int32(len(st.absent))
		st.absent = append(st.absent, j)
		return
	}
	k, last := st.absentAt[j], st.absent[len(st.absent)-1]
	st.absent[k], st.absentAt[last] = last, k
	st.absent = st.absent[:len(st.absent)-1]
}
