package search

import "sort"

// mustIn makes room for those of some jobs that may not be left out and found no spot
// beside the others: jobs that may be left out are taken out of the tours that could make
// its visits, what costs least first, ever more until it fits. It returns those jobs.
func (st *state) mustIn(in *inserter, order []int32) (out []int32) {
	for _, j := range order {
		for n := 1; st.m.jobs[j].must && !st.in[j]; n *= 2 {
			give := st.givesWay(j)
			if len(give) == 0 {
				break
			}
			for _, k := range give[:min(n, len(give))] {
				st.remove(k)
				out = append(out, k)
			}
			st.rebuild()
			in.stamp++
			in.insert(st, j)
		}
	}
	return out
}

// givesWay are the placed jobs that may be left out: those on tours that may make a visit
// of job j first, then all others, what leaving it out costs least first.
func (st *state) givesWay(j int32) []int32 {
	m := st.m
	may := make([]bool, len(m.tours))
	for v := m.jobs[j].first; v < m.jobs[j].first+m.jobs[j].n; v++ {
		for _, t := range m.visits[v].anyTours {
			may[t] = !m.visits[v].fixed || may[t]
		}
	}
	near := make([]bool, len(m.jobs))
	var list []int32
	for k := range m.jobs {
		jb := &m.jobs[k]
		if !st.in[k] || jb.must {
			continue
		}
		for v := jb.first; v < jb.first+jb.n; v++ {
			near[k] = near[k] || st.tourOf[v] >= 0 && may[st.tourOf[v]]
		}
		list = append(list, int32(k))
	}
	sort.SliceStable(list, func(a, b int) bool {
		x, y := list[a], list[b]
		if near[x] != near[y] {
			return near[x]
		}
		return m.leftOutPrice(x) < m.leftOutPrice(y)
	})
	return list
}
