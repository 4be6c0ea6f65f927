package search

import "ebbline/dispatch/week"

// granting tries facts on a plan's week. What is granted to crews and pumps makes a week
// of its own, laid out once; what is granted to one job only lays that job out anew.
type granting struct {
	w  *week.Week
	p  *week.Plan
	in *inserter
	// weeks with nothing more, more hours, more pumps, both; nil: not needed yet
	states [4]*state
	failed [4]bool
}

// with is the plan's state in the week with more hours or pumps; nil if the plan does
// not fit into it.
func (g *granting) with(hours, pumps bool) *state {
	k := 0
	if hours {
		k = 1
	}
	if pumps {
		k += 2
	}
	if g.states[k] != nil || g.failed[k] {
		return g.states[k]
	}
	x := *g.w
	if hours {
		moreHours(&x)
	}
	if pumps {
		morePumps(&x, &week.Job{})
	}
	m := (*model)(nil)
	if k == 0 {
		m = compile(&x)
	} else {
		m = compileWith(&x, &g.states[0].m.travel, g.states[0].m.jobs)
	}
	st, err := load(m, g.p)
	g.states[k], g.failed[k] = st, err != nil
	if err != nil {
		g.states[k] = nil
	}
	return g.states[k]
}

// try fits job j with a set of facts granted; false if it does not fit, or if one of
// them does not bind it anyway.
func (g *granting) try(j int, set []Fact) (Fit, bool) {
	x, changed := granted(g.w, j, set)
	if !changed {
		return Fit{}, false
	}
	hours, pumps := false, false
	for _, f := range set {
		hours, pumps = hours || f == FactHours, pumps || f == FactPumps
	}
	st := g.with(hours, pumps)
	if st == nil {
		return Fit{}, false
	}
	was := st.m
	st.m = was.withJob(j, &x.Jobs[j], x.Closures)
	f, ok := g.in.fit(st, int32(j))
	st.m = was
	return f, ok
}

// withJob is the model with one job, and the closures that hold for it, changed in ways
// that leave its visits and the tours as they are.
func (m *model) withJob(j int, given *week.Job, closures []week.Closure) *model {
	c, w := *m, *m.w
	w.Jobs = append([]week.Job(nil), w.Jobs...)
	w.Jobs[j], w.Closures = *given, closures
	c.w = &w
	c.jobs, c.visits = append([]job(nil), m.jobs...), append([]visit(nil), m.visits...)
	jb := &c.jobs[j]
	jb.water, jb.hard, jb.room, jb.far = given.Water, 0, 0, 0
	if jb.told >= 0 {
		c.visits[jb.told].out = nil
		if given.Water.Customer != nil {
			c.visits[jb.told].secs = given.Water.Customer.Width
		}
	}
	for v := jb.first; v < jb.first+jb.n; v++ {
		c.visits[v].out = nil
	}
	c.lists = map[tourNeed][]int32{}
	c.compileSets(j)
	c.compileArcs(j)
	c.compileTourLists(j)
	return &c
}
