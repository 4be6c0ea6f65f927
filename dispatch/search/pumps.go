package search

// reload finds a tour's morning load again and books it with its home. It reports
// false if berths or stock do not allow it; the books are kept either way.
func (st *state) reload(t int32) bool {
	ok := st.loadUp(t)
	st.short[t] = !ok
	return ok
}

// pumpsKept reports whether every tour that changed and every home has the pumps it needs;
// taking out a job that brings a pump may leave another one short.
func (st *state) pumpsKept() bool {
	for _, t := range st.changed.tours {
		if st.short[t] {
			return false
		}
	}
	return st.stocked()
}

func (st *state) loadUp(t int32) bool {
	m, tr := st.m, &st.m.tours[t]
	on, least, most := int32(0), int32(0), int32(0)
	any := false
	for i, v := range st.stops[t] {
		vs := &m.visits[v]
		begun := i < len(tr.prefix)
		if vs.collect {
			on++
		}
		if vs.arrival && !begun {
			least = min(least, on-1)
			any = true
		}
		if !begun {
			most = max(most, on)
		}
		if vs.drop {
			if on--; !begun {
				least = min(least, on)
			}
		}
		any = any || (vs.drop || vs.collect) && !begun
	}
	load := -least
	if tr.begun != nil {
		load = st.load[t]
		return load+least >= 0 && (!any || int(load+most) <= tr.berths)
	}
	if tr.home >= 0 {
		st.fresh[int(tr.home)*m.days+int(tr.day)] += load - st.load[t]
		st.loads[int(tr.home)*m.days+int(tr.day)] += load - st.load[t]
	}
	st.load[t] = load
	return !any || int(load+most) <= tr.berths
}

// pumpNights books (by = 1) or takes back (by = -1) the days at whose start a job's
// pump stands on site.
func (st *state) pumpNights(j int32, by int32) {
	m, jb := st.m, &st.m.jobs[j]
	if !jb.needPump && jb.pumpHome < 0 {
		return
	}
	home, from := jb.pumpHome, 0
	to := m.days - 1
	for i := jb.first; i < jb.first+jb.n; i++ {
		t := st.tourOf[i]
		if t < 0 {
			continue
		}
		if m.visits[i].drop {
			home, from = m.tours[t].home, int(m.tours[t].day)+1
		}
		if m.visits[i].collect {
			to = int(m.tours[t].day)
		}
	}
	if home < 0 {
		return
	}
	for d := from; d <= to; d++ {
		st.out[int(home)*m.days+d] += by
	}
}

// stocked reports whether every home has the pumps that are loaded and out.
func (st *state) stocked() bool {
	for h := range st.m.homes {
		for d, n := range st.m.homes[h].pumps {
			if i := h*st.m.days + d; st.fresh[i] > 0 && int(st.loads[i]+st.out[i]) > n {
				return false
			}
		}
	}
	return true
}

// homesAgree reports whether a job's pump is collected by a tour of its home.
func (st *state) homesAgree(j int32) bool {
	m, jb := st.m, &st.m.jobs[j]
	if !jb.needPump && jb.pumpHome < 0 {
		return true
	}
	home, dropped, collected := jb.pumpHome, jb.pumpHome >= 0, false
	owed := false
	for i := jb.first; i < jb.first+jb.n; i++ {
		owed = owed || st.owed[i]
		t := st.tourOf[i]
		if t < 0 {
			continue
		}
		if m.visits[i].drop {
			home, dropped = m.tours[t].home, true
		}
		if m.visits[i].collect {
			collected = true
			if home >= 0 && m.tours[t].home != home {
				return false
			}
		}
	}
	return !dropped || collected || jb.begun || owed
}
