package search

import (
	"sort"

	"ebbline/dispatch/week"
)

// start is where a run begins: at a plan, or at what was handed out.
func (m *model) start(p *week.Plan, loosely bool) (*state, error) {
	switch {
	case p != nil && loosely:
		return loadLoose(m, p), nil
	case p != nil:
		return load(m, p)
	}
	st := newState(m)
	st.asHandedOut()
	return st, nil
}

// asHandedOut puts in the jobs that were handed out, in the order of their told starts,
// each behind the stops that came before it in its tour's list. What no longer fits
// stays out and is left to construction.
func (st *state) asHandedOut() {
	m := st.m
	if m.w.HandedOut == nil {
		return
	}
	type at struct {
		tour  int32
		rank  int
		start int64
	}
	told := map[int32]at{}
	vis := index(m.real, func(i int) string { return m.visitID(int32(i)) })
	for t := range m.tours {
		for k, h := range m.tours[t].told {
			if v, ok := vis[h.Visit]; ok && !m.visits[v].fixed {
				told[int32(v)] = at{int32(t), k, h.Start}
			}
		}
	}
	first := map[int32]int64{}
	var order []int32
	for j := range m.jobs {
		for v := m.jobs[j].first; v < m.jobs[j].first+m.jobs[j].n; v++ {
			if a, ok := told[v]; ok && !st.in[j] {
				if _, seen := first[int32(j)]; !seen {
					first[int32(j)] = a.start
					order = append(order, int32(j))
				}
			}
		}
	}
	sort.SliceStable(order, func(a, b int) bool { return first[order[a]] < first[order[b]] })
	for _, j := range order {
		var spots []spot
		jb := &m.jobs[j]
		good := true
		for v := jb.first; v < jb.first+jb.n; v++ {
			a, ok := told[v]
			switch {
			case m.visits[v].fixed:
			case ok && allows(&m.visits[v], a.tour):
				pos := len(m.tours[a.tour].prefix)
				for pos < len(st.stops[a.tour]) {
					if b, ok := told[st.stops[a.tour][pos]]; !ok || b.rank > a.rank {
						break
					}
					pos++
				}
				spots = append(spots, spot{v, a.tour, int32(pos)})
			case m.visits[v].owedFloor:
				spots = append(spots, spot{v, -1, 0})
			default:
				good = false
			}
		}
		if !good {
			continue
		}
		if _, ok := st.place(j, spots); !ok {
			st.moved[j] = true
			if _, ok := st.place(j, spots); !ok {
				st.moved[j] = false
			}
		}
		st.trail = st.trail[:0]
	}
	st.rebuild()
}

// allows reports whether a tour may make a visit.
func allows(v *visit, t int32) bool {
	for _, x := range v.tours {
		if x == t {
			return true
		}
	}
	return false
}
