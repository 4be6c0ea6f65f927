package search

import (
	"fmt"

	"ebbline/dispatch/week"
)

// Plan writes down the plan of the last question's answer, timed from nothing in the week
// that the change makes. The cost is what the answer said, to the cent; anything else is a
// fault of ours and an error.
func (a *Warm) Plan(t *Tried, w *week.Week) (*week.Plan, error) {
	if t.at == nil {
		return nil, fmt.Errorf("change: does not fit, so there is no plan of it")
	}
	tr := a.m.travel
	if len(w.Places) != len(a.w.Places) {
		tr = newTravel(w)
	}
	m := compileWith(w, &tr, make([]job, len(w.Jobs)))
	st, err := carryOver(t.at, m)
	if err != nil {
		return nil, err
	}
	p := st.plan()
	st.limits(p)
	if p.Cost != t.Cost {
		return nil, fmt.Errorf("change: its plan costs %d cents, and trying it said %d", p.Cost.Total, t.Cost.Total)
	}
	return p, nil
}

// carryOver makes the state in another model that has the orders, lunch places, starts held
// back and promises given up of st, timed from nothing. Jobs and tours that the model lacks
// are left away.
func carryOver(st *state, m *model) (*state, error) {
	o := newState(m)
	old := st.m
	jobs := index(len(m.w.Jobs), func(i int) string { return m.w.Jobs[i].ID })
	for t := range old.tours {
		k, ok := m.tourNo[old.w.Tours[t].ID]
		if !ok {
			continue
		}
		for _, v := range st.stops[t][len(old.tours[t].prefix):] {
			u, ok := m.visitNo[old.visitID(v)]
			if !ok {
				continue
			}
			o.stops[k] = append(o.stops[k], int32(u))
			o.tourOf[u], o.placed[u] = int32(k), true
		}
		o.lunch[k] = st.lunch[t]
	}
	for j := range old.jobs {
		k, ok := jobs[old.w.Jobs[j].ID]
		if !ok {
			continue
		}
		from, to := &old.jobs[j], &m.jobs[k]
		o.setIn(int32(k), st.in[j])
		o.moved[k], o.off[k] = st.moved[j], st.off[j]
		for i := range from.n {
			o.owed[to.first+i], o.hold[to.first+i] = st.owed[from.first+i], st.hold[from.first+i]
		}
		if from.told >= 0 && to.told >= 0 {
			o.placed[to.told], o.hold[to.told] = st.placed[from.told], st.hold[from.told]
		}
	}
	o.recount()
	if !o.rebuild() {
		return nil, fmt.Errorf("change: its orders leave no times that keep every rule when timed from nothing")
	}
	return o, nil
}
