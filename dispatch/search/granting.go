package search

import "ebbline/dispatch/week"

// granting tries facts on a plan's week. What is granted to crews and pumps makes a week
// of its own, laid out once; what is granted to one job only lays that job out anew.
type granting struct {
	w *week.Week
	p *week.Plan
	// narrow finds spots fast where there are many, wide finds cheap ones
	narrow, wide *inserter
	// weeks with nothing more, more hours, more pumps, both; nil: not needed yet
	weeks [4]*grantedWeek
	gaps  [2][]openGap // without and with more hours
	// gaveUp counts the questions whether something fits that were left open
	gaveUp int
}

// grantedWeek is a plan's state in a week with more hours or pumps.
type grantedWeek struct {
	m *model
	// held has the plan's own times; free the least ones; open lets other jobs' promises
	// go too. A job that fits into none of them does not fit. All are nil if the plan is
	// not one of the week.
	held, free, open *state
}

func newGranting(w *week.Week, p *week.Plan) *granting {
	g := &granting{w: w, p: p, narrow: newInserter(nil, 10, 5), wide: newInserter(nil, 48, 60)}
	g.narrow.all, g.wide.all, g.wide.perDay = true, true, 5
	return g
}

// with is the plan's week with more hours or pumps; nil if the plan does not fit into it.
func (g *granting) with(hours, pumps bool) *grantedWeek {
	k := 0
	if hours {
		k = 1
	}
	if pumps {
		k += 2
	}
	if g.weeks[k] != nil {
		return g.weeks[k].orNil()
	}
	x := *g.w
	if hours {
		moreHours(&x)
	}
	if pumps {
		morePumps(&x, &week.Job{})
	}
	gw := &grantedWeek{}
	if k == 0 {
		gw.m = compile(&x)
	} else if base := g.with(false, false); base != nil {
		gw.m = compileWith(&x, &base.m.travel, base.m.jobs)
	}
	g.weeks[k] = gw
	if gw.m == nil {
		return nil
	}
	held, err := load(gw.m, g.p)
	if err != nil {
		return nil
	}
	gw.held, gw.free, gw.open = held, held.clone(), nil
	gw.free.unbind(false)
	if len(x.Promises) > 0 {
		gw.open = held.clone()
		gw.open.unbind(true)
	}
	if n := k & 1; g.gaps[n] == nil {
		g.gaps[n] = g.widest(&x, gw)
	}
	return gw
}

func (gw *grantedWeek) orNil() *grantedWeek {
	if gw.held == nil {
		return nil
	}
	return gw
}

// unbind lets every stop start as soon as it can; with promises set no promise keeps it
// later either. Intervals that customers were sent stay.
func (st *state) unbind(promises bool) {
	for v := range st.hold {
		st.hold[v] = always
	}
	if promises {
		for j := range st.m.jobs {
			st.moved[j] = st.moved[j] || st.in[j] && !st.m.jobs[j].hasSent
		}
	}
	st.rebuild()
}

// widest are the gaps of the plan as wide as they can be: no lunch, no promises.
func (g *granting) widest(x *week.Week, gw *grantedWeek) []openGap {
	wide := withoutPromises(x)
	st, err := load(compileWith(wide, &gw.m.travel, gw.m.jobs), g.p)
	if err != nil {
		return nil
	}
	st.unbind(true)
	return st.openGaps()
}

// job is the granted week's model with facts granted to job j too; nil if the plan does
// not fit into it, or if one of the facts does not bind the job anyway.
func (g *granting) job(j int, set []Fact) (*grantedWeek, *model) {
	x, changed := granted(g.w, j, set)
	if !changed {
		return nil, nil
	}
	hours, pumps, pins := false, false, false
	for _, f := range set {
		hours, pumps, pins = hours || f == FactHours, pumps || f == FactPumps, pins || f == FactPins
	}
	gw := g.with(hours, pumps)
	if gw == nil {
		return nil, nil
	}
	return gw, gw.m.laidAnew(j, &x.Jobs[j], x.Closures, pins)
}

// fits reports whether job j fits with a set of facts granted, and where; the spots are
// not the cheapest.
func (g *granting) fits(j int, set []Fact) (placed, bool) {
	gw, m := g.job(j, set)
	if gw == nil {
		return placed{}, false
	}
	f := &fitter{st: gw.held, others: []*state{gw.free}, j: int32(j)}
	if gw.open != nil {
		f.others = append(f.others, gw.open)
	}
	for _, x := range set {
		if x == FactHours {
			f.gaps = g.gaps[1]
		}
	}
	if f.gaps == nil {
		f.gaps = g.gaps[0]
	}
	was := gw.m
	gw.held.m = m
	defer func() { gw.held.m, gw.held.moved[j] = was, false }()
	at := placed{m: m}
	ok := f.any(func() bool {
		spots, _, moved, ok := g.narrow.find(gw.held, int32(j))
		if ok {
			at.st, at.spots, at.moved = gw.held, spots, moved
		}
		gw.held.moved[j] = false
		return ok
	})
	if f.gaveUp {
		g.gaveUp++
	}
	if ok && at.st == nil {
		at.st, at.spots, at.moved = f.used, f.found, f.movedAt
	}
	return at, ok
}

// placed is where a job fits into a state.
type placed struct {
	m     *model
	st    *state
	spots []spot
	moved bool
}

// cheapest is the cheapest way to put in a job that fits, as far as it is looked for.
func (g *granting) cheapest(j int, set []Fact, at placed) placed {
	gw, m := g.job(j, set)
	was := gw.held.m
	gw.held.m = m
	if spots, _, moved, ok := g.wide.find(gw.held, int32(j)); ok {
		at = placed{m, gw.held, spots, moved}
	}
	gw.held.m, gw.held.moved[j] = was, false
	return at
}

// withPlaced puts a job in where it fits, looks at the state and takes it out again.
func (at placed) withPlaced(j int, look func(st *state)) {
	st := at.st
	was := st.m
	st.m, st.moved[j] = at.m, at.moved
	if mark, ok := st.place(int32(j), at.spots); ok {
		look(st)
		st.unplace(int32(j), at.spots, mark)
	}
	st.m, st.moved[j] = was, false
}

// withJob is the model with one job, and the closures that hold for it, changed in ways
// that leave its visits and the tours as they are.
func (m *model) withJob(j int, given *week.Job, closures []week.Closure) *model {
	return m.laidAnew(j, given, closures, false)
}

// laidAnew is [model.withJob]; with thawed set no order is frozen for the job.
func (m *model) laidAnew(j int, given *week.Job, closures []week.Closure, thawed bool) *model {
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
		if thawed && !c.visits[v].fixed {
			c.visits[v].frozenTour, c.visits[v].frozenRank = -1, 0
		}
	}
	c.lists = map[tourNeed][]int32{}
	c.compileSets(j)
	c.compileArcs(j)
	c.compileTourLists(j)
	return &c
}
