package search

// jobsOf are the numbers of jobs by their ids; ids that the week does not hold are passed
// over.
func (m *model) jobsOf(ids []string) []int32 {
	if len(ids) == 0 {
		return nil
	}
	at := index(len(m.w.Jobs), func(i int) string { return m.w.Jobs[i].ID })
	var out []int32
	for _, id := range ids {
		if j, ok := at[id]; ok {
			out = append(out, int32(j))
		}
	}
	return out
}

// early lifts each of the jobs off and puts it back where it is cheapest, in their order;
// where nothing is cheaper it stays as it was.
func (st *state) early(jobs []int32) {
	if len(jobs) == 0 {
		return
	}
	in := newInserter(nil, 24, 24)
	in.perDay = 4
	old := st.clone()
	for _, j := range jobs {
		if !st.m.movable(j) {
			continue
		}
		in.stamp++
		st.remove(j)
		st.rebuild()
		if in.insert(st, j); st.rebuild() && st.total < old.total && st.whole() {
			old.copyFrom(st)
			continue
		}
		st.copyFrom(old)
	}
}

// whole reports whether every tour and home has the pumps it needs.
func (st *state) whole() bool {
	for t := range st.short {
		if st.short[t] {
			return false
		}
	}
	return st.stocked()
}
