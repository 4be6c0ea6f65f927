package search

import "ebbline/dispatch/week"

// What keeps a stop from starting earlier, in words that fit behind "not earlier:".
const (
	bindPin     = "pinned to this start"
	bindNow     = "it is only now"
	bindShift   = "the shift begins"
	bindDrive   = "the drive from the stop before"
	bindLunch   = "lunch"
	bindDue     = "sooner out, lunch would be due"
	bindCrew    = "the crew's other tour"
	bindAllowed = "its allowed hours"
	bindNotBef  = "its job may not begin sooner"
	bindClosed  = "a closure"
	bindPromise = "the promised window"
	bindLow     = "water surely low"
	bindCovered = "lights under water again"
	bindLimit   = "the pool would be low too long"
	bindHours   = "water hours"
	bindChain   = "the visit before it"
	bindGap     = "the wait after an earlier visit"
	bindReach   = "a later visit must follow soon enough"
	bindOwed    = "a later visit is owed after these days"
	bindDrain   = "drained sooner, the pool would only be low for longer"
	bindLate    = "leaving sooner would only mean waiting"
)

// binds says which rule keeps stop i of a tour from starting a second earlier, with all
// else as planned. Rules of the visit itself come before those of its job, and these
// before the tour's.
func (st *state) binds(t int32, i int, pt *week.PlanTour) string {
	v := st.stops[t][i]
	if b := st.bindsItself(v); b != "" {
		return b
	}
	if b := st.bindsJob(v); b != "" {
		return b
	}
	if b := st.bindsTour(t, i, pt); b != "" {
		return b
	}
	if st.m.jobs[st.m.visits[v].job].drain == v {
		return bindDrain
	}
	return bindLate
}

// bindsItself looks at the rules that no other visit takes part in.
func (st *state) bindsItself(v int32) string {
	m, vs := st.m, &st.m.visits[v]
	s, d := st.ss[v], st.se[v]-st.ss[v]
	x := &m.w.Jobs[vs.job]
	y := &x.Visits[v-m.jobs[vs.job].first]
	off := st.off[vs.job]
	if p := y.Pin; p != nil && p.Start != nil && off&offPin == 0 && *p.Start == s {
		return bindPin
	}
	for _, k := range vs.promises {
		if m.w.Promises[k].From == s {
			return bindPromise
		}
	}
	if off&offAvailability == 0 {
		if x.NotBefore != nil && *x.NotBefore == s {
			return bindNotBef
		}
		for _, a := range y.Allowed {
			if a.From == s {
				return bindAllowed
			}
		}
		for k := range m.w.Closures {
			if c := &m.w.Closures[k]; c.To == s && m.shuts(c, vs.place) {
				return closureName(c)
			}
		}
	}
	if s == m.w.T0 {
		return bindNow
	}
	free := vs.free
	if d != vs.secs {
		free = vs.freeLunch[m.classOf(d-vs.secs)]
	}
	if off&(offAvailability|offPin|offLow) != 0 {
		free = m.relaxed(v, d, off)
	}
	switch { // only the water's own facts are left
	case free.has(s-1) || !free.has(s) || s == 0:
		return ""
	case y.Water == week.NeedLow && !vs.arrival:
		return bindLow
	case y.Water == week.NeedCovered:
		return bindCovered
	}
	return bindHours
}

func closureName(c *week.Closure) string {
	if c.Label != "" {
		return bindClosed + ": " + c.Label
	}
	return bindClosed
}

// bindsJob looks at the rules between the visits of a job.
func (st *state) bindsJob(v int32) string {
	m, jb := st.m, &st.m.jobs[st.m.visits[v].job]
	j := m.visits[v].job
	tight := func(u int32) string {
		if !st.placed[u] {
			return ""
		}
		for k := range m.visits[u].out {
			a := &m.visits[u].out[k]
			if a.to != v {
				continue
			}
			x, y := st.ss[u], st.ss[v]
			if a.fromEnd {
				x = st.se[u]
			}
			if a.toEnd {
				y = st.se[v]
			}
			if st.value(a, j, x) == y {
				return arcName(a)
			}
		}
		return ""
	}
	if jb.told >= 0 {
		if b := tight(jb.told); b != "" {
			return b
		}
	}
	chain := ""
	for u := jb.first; u < jb.first+jb.n; u++ {
		b := tight(u)
		if b != "" && b != bindChain {
			return b
		}
		if b != "" {
			chain = b
		}
	}
	if b := st.bindsOwed(v); b != "" {
		return b
	}
	return chain
}

func arcName(a *arc) string {
	switch {
	case a.fn == fnLowLate:
		return bindLow
	case a.fn == fnCovered:
		return bindCovered
	case a.fn == fnLimit:
		return bindLimit
	case a.c > 0:
		return bindGap
	case a.c < 0:
		return bindReach
	}
	return bindChain
}

// bindsOwed looks for an owed visit that must follow v soon enough.
func (st *state) bindsOwed(v int32) string {
	m, jb := st.m, &st.m.jobs[st.m.visits[v].job]
	for o := jb.first; o < jb.first+jb.n; o++ {
		if l := st.owedLatest(m.visits[v].job, o); st.owed[o] && l != nil && *l == m.w.NextWorkday.End {
			for k := range m.visits[o].out {
				if m.visits[o].out[k].to == v {
					return bindOwed
				}
			}
		}
	}
	return ""
}

// bindsTour looks at what lies before the stop on its tour.
func (st *state) bindsTour(t int32, i int, pt *week.PlanTour) string {
	tr, lp := &st.m.tours[t], st.lunch[t]
	s := &pt.Stops[i]
	switch {
	case lp.kind == lunchInside && int(lp.pos) == i && pt.Lunch.Start == tr.lunch.From && s.End == pt.Lunch.Start+tr.lunch.Seconds:
		return bindLunch
	case lp.kind == lunchAfter && int(lp.pos) == i && pt.Lunch.Start+tr.lunch.Seconds == s.Start:
		return bindLunch
	case s.Arrive != s.Start:
		return ""
	case lp.kind == lunchBefore && int(lp.pos) == i:
		return bindLunch
	case i > len(tr.prefix):
		return bindDrive
	case tr.begun != nil:
		return bindNow
	}
	for _, r := range tr.rivals {
		if len(st.stops[r]) > 0 && st.back[r] == pt.Depart {
			return bindCrew
		}
	}
	switch {
	case pt.Depart > tr.depart0 && tr.lunch != nil && pt.Lunch == nil && pt.Return-pt.Depart == tr.lunch.DueAfter:
		return bindDue
	case pt.Depart > tr.depart0:
		return ""
	case pt.Depart == tr.a:
		return bindShift
	}
	return bindNow
}
