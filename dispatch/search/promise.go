package search

import "ebbline/dispatch/week"

// pastPromise is by how many seconds a start of v at s lies past the windows promised
// for it: the sum over all of them, and the largest.
func (m *model) pastPromise(v int32, s int64) (sum, most int64) {
	for _, p := range m.visits[v].promises {
		if by := s - m.w.Promises[p].To; by > 0 {
			sum += by
			most = max(most, by)
		}
	}
	return sum, most
}

// laterCost estimates what it costs in lateness that v starts at s instead of was;
// always for was: that it comes at all. The plan's largest lateness counts as it stands.
func (st *state) laterCost(v int32, was, s int64) int64 {
	m := st.m
	sum, most := m.pastPromise(v, s)
	if sum == 0 {
		return 0
	}
	before, _ := m.pastPromise(v, was)
	return (sum-before)*m.lateRate + max(0, most-st.worst)*m.worstRate
}

// lateness is the largest lateness of a job's visits, in seconds.
func (st *state) lateness(j int32) int64 {
	jb, worst := &st.m.jobs[j], int64(0)
	for v := jb.first; v < jb.first+jb.n; v++ {
		if st.placed[v] {
			_, most := st.m.pastPromise(v, st.ss[v])
			worst = max(worst, most)
		}
	}
	return worst
}

// setTardy notes a job's largest lateness; [state.setWorst] then finds the plan's.
func (st *state) setTardy(j int32, x int64) {
	was := st.tardy[j]
	if x == was {
		return
	}
	st.set(undoTardy, j, x)
	st.peak = max(st.peak, x)
	st.fell = st.fell || was == st.worst
}

// setWorst brings the plan's largest lateness and its price up to date. All jobs are
// looked at only where the worst-served one is served better.
func (st *state) setWorst() {
	x := max(st.worst, st.peak)
	if st.fell {
		x = 0
		for _, by := range st.tardy {
			x = max(x, by)
		}
	}
	st.peak, st.fell = 0, false
	if x != st.worst {
		st.total += (x - st.worst) * st.m.worstRate
		st.set(undoWorst, 0, x)
	}
}

// compilePromises says how lateness is paid for and which jobs can gain by giving up a
// promised window or a told interval.
func (m *model) compilePromises() {
	r := &m.w.Rates
	m.lateRate, m.worstRate = r.PromiseLateCents*(week.MoneyUnit/3600), r.PromiseWorstCents*(week.MoneyUnit/3600)
	for j := range m.jobs {
		jb := &m.jobs[j]
		jb.gives = jb.hasSent
		for v := jb.first; v < jb.first+jb.n; v++ {
			for _, p := range m.visits[v].promises {
				f := m.visits[v].free
				jb.gives = jb.gives || jb.must || len(f) == 0 || f[0].lo < m.w.Promises[p].From
			}
		}
	}
}
