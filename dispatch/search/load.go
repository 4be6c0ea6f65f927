package search

import (
	"fmt"

	"ebbline/dispatch/week"
)

// load makes the state that a plan describes: its orders, lunches, told intervals and
// owed visits. Times are found anew. An error says what of it does
// not fit.
func load(m *model, p *week.Plan) (*state, error) {
	w := m.w
	st := newState(m)
	vis := index(m.real, func(i int) string { return m.visitID(int32(i)) })
	tours := index(len(w.Tours), func(i int) string { return w.Tours[i].ID })
	jobs := index(len(w.Jobs), func(i int) string { return w.Jobs[i].ID })
	for i := range p.Tours {
		pt := &p.Tours[i]
		k, ok := tours[pt.Tour]
		if !ok {
			return nil, fmt.Errorf("plan.tours[%d].tour: %q is not a tour of the week", i, pt.Tour)
		}
		t := int32(k)
		for n := len(m.tours[t].prefix); n < len(pt.Stops); n++ {
			v, ok := vis[pt.Stops[n].Visit]
			if !ok || st.placed[v] {
				return nil, fmt.Errorf("plan.tours[%d].stops[%d].visit: %q is not a visit of the week that is still to be made once", i, n, pt.Stops[n].Visit)
			}
			st.stops[t] = append(st.stops[t], int32(v))
			st.tourOf[v], st.placed[v] = t, true
			st.room[t] += m.visits[v].room
			st.setIn(m.visits[v].job, true)
		}
		if pt.Lunch != nil && st.lunch[t].kind != lunchTaken && m.tours[t].lunch != nil {
			st.lunch[t] = lunchOf(pt, len(m.tours[t].prefix))
		}
	}
	for i := range p.Owed {
		if v, ok := vis[p.Owed[i].Visit]; ok {
			st.owed[v] = true
			st.setIn(m.visits[v].job, true)
		}
	}
	told := map[string]week.Told{}
	for _, t := range p.Told {
		told[t.Job] = t
	}
	for j := range m.jobs {
		jb := &m.jobs[j]
		if jb.told >= 0 && st.in[j] {
			st.placed[jb.told] = st.placed[jb.firstLow]
			t := told[w.Jobs[j].ID]
			st.moved[j] = jb.hasSent && (t.Earliest != jb.toldKeep.lo || t.Latest != jb.toldKeep.hi)
		}
	}
	for _, b := range p.RuleBreaks {
		j, ok := jobs[b.Job]
		if v, known := vis[b.Visit]; !ok && known {
			j, ok = int(m.visits[v].job), true
		}
		if ok {
			st.off[j] |= offOf(b.Rule)
		}
	}
	st.breakPromises(p, vis)
	for i := range st.out {
		st.out[i] = 0
	}
	for j := range m.jobs {
		st.pumpNights(int32(j), 1)
	}
	for t := range m.tours {
		st.reload(int32(t))
	}
	if !st.rebuild() {
		return nil, fmt.Errorf("plan: its orders leave no times that keep every rule")
	}
	st.holdBack(p, vis, told)
	return st, nil
}

// holdBack has stops start no earlier than a plan says where its rules alone would start
// them sooner, see [state.slide].
func (st *state) holdBack(p *week.Plan, vis map[string]int, told map[string]week.Told) {
	held := false
	hold := func(v int32, x int64) {
		if !st.m.visits[v].fixed && st.placed[v] && st.ss[v] < x {
			st.hold[v], held = x, true
		}
	}
	for i := range p.Tours {
		for _, s := range p.Tours[i].Stops {
			hold(int32(vis[s.Visit]), s.Start)
		}
	}
	for j := range st.m.jobs {
		if w := st.m.jobs[j].told; w >= 0 {
			hold(w, told[st.m.w.Jobs[j].ID].Earliest)
		}
	}
	if held && !st.rebuild() { // the plan's times keep every rule, so this can't be
		for v := range st.hold {
			st.hold[v] = always
		}
		st.rebuild()
	}
}

// breakPromises notes which jobs' promised windows a plan gives up.
func (st *state) breakPromises(p *week.Plan, vis map[string]int) {
	for i := range p.Tours {
		for _, s := range p.Tours[i].Stops {
			v, ok := vis[s.Visit]
			if !ok {
				continue
			}
			for _, k := range st.m.visits[v].promises {
				if s.Start < st.m.w.Promises[k].From {
					st.moved[st.m.visits[v].job] = true
				}
			}
		}
	}
}

func offOf(rule string) uint8 {
	switch rule {
	case week.BreakLowLimit:
		return offLow
	case week.BreakCommission:
		return offCommission
	case week.BreakPin:
		return offPin
	}
	return offAvailability
}

// lunchOf finds the place of a planned lunch among a tour's stops.
func lunchOf(pt *week.PlanTour, nb int) lunchAt {
	l := pt.Lunch
	for n := nb; n < len(pt.Stops); n++ {
		s := &pt.Stops[n]
		switch {
		case s.Visit == l.Inside:
			return lunchAt{lunchInside, int16(n)}
		case l.Start < s.Leave || l.Start == s.Leave && s.Arrive > s.Leave:
			return lunchAt{lunchBefore, int16(n)}
		case l.Start < s.Start:
			return lunchAt{lunchAfter, int16(n)}
		}
	}
	return lunchAt{lunchBefore, int16(len(pt.Stops))}
}
