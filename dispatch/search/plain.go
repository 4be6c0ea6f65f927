package search

import (
	"context"
	"math"

	"ebbline/dispatch/search/kernel"
	"ebbline/dispatch/week"
)

// plainMost is the most jobs of a plain week; the kernel keeps all drives between them.
const plainMost = 1500

// plain searches a week that is nothing but drives between hours: one visit a job, each
// with one span of starts, and one day of tours that differ in nothing and are paid by
// distance. That is the classic problem, and the kernel's. It reports false if the week is
// another one, or if there is no such plan with every job in it. The kernel can't leave a
// job out, so a week whose first plan does is not given to it: it might look for a full
// plan until the time is over.
func (r *run) plain(ctx context.Context, first *state) bool {
	if len(first.absent) > 0 {
		return false
	}
	p, ok := r.m.classic()
	if !ok {
		return false
	}
	a, err := kernel.Solve(p, kernel.Options{Seed: uint64(r.o.Seed), Strands: r.o.Strands, Rounds: r.o.Rounds, Cores: r.cores(), Whole: true,
		Stop: func() bool { return ctx.Err() != nil },
		Report: func(rounds, children int, metres int64) {
			if r.report != nil {
				r.report(Progress{Round: rounds, Rounds: r.o.Rounds, Iterations: int64(children), Placed: len(r.m.jobs),
					CostCents: (metres*r.m.tours[0].km + week.MoneyUnit/2) / week.MoneyUnit})
			}
		}})
	if err != nil || a.Routes == nil {
		return false
	}
	st := newState(r.m)
	for t, route := range a.Routes {
		for _, c := range route {
			v := c - 1
			st.stops[t] = append(st.stops[t], v)
			st.tourOf[v], st.placed[v] = int32(t), true
			st.room[t] += r.m.visits[v].room
			st.setIn(r.m.visits[v].job, true)
		}
	}
	if st.rebuild() && st.total < first.total {
		r.best = st
	}
	r.done, r.iters = a.Rounds, int64(a.Children)
	return true
}

// classic writes the week as the kernel's problem: place 0 is where all tours begin and
// end, and visit v is its client v+1. ok is false if the week is more than that.
func (m *model) classic() (p *kernel.Problem, ok bool) {
	n := len(m.jobs)
	if !m.unpaid || n == 0 || n > plainMost || len(m.tours) == 0 || len(m.travel.periods) > 0 || m.lateRate+m.worstRate > 0 || m.w.HandedOut != nil || len(m.visits) != n {
		return nil, false
	}
	d := &m.tours[0]
	room := int64(0)
	for t := range m.tours {
		x := &m.tours[t]
		if x.class != d.class || x.room != d.room || x.begun != nil || x.start != x.end || x.a != d.a || x.o != d.o || x.limit != x.o || x.depart0 != d.depart0 {
			return nil, false
		}
	}
	for v := range m.visits {
		x := &m.visits[v]
		if m.jobs[x.job].must || x.fixed || m.jobs[x.job].water != nil || len(x.free) != 1 || len(x.tours) != len(m.tours) || len(x.promises) > 0 || x.drop || x.collect || x.frozenTour >= 0 || len(x.out) > 0 {
			return nil, false
		}
		if m.conversionPrice(x.job, x.free[0].lo+x.secs) != m.conversionPrice(x.job, x.free[0].hi+x.secs) {
			return nil, false // its time costs too
		}
		if (m.travel.dist(d.start, x.place)+m.travel.dist(x.place, d.start))*d.km > m.leftOutPrice(x.job) {
			return nil, false // leaving it out may pay
		}
		room += x.room
	}
	p = &kernel.Problem{Vehicles: len(m.tours), Capacity: math.MaxInt32}
	if d.room > 0 {
		p.Capacity = clip(d.room)
	} else if room > 0 {
		p.Capacity = clip(room)
	}
	places := []int32{d.start}
	add := func(early, late, service, room int64) {
		p.Early, p.Late = append(p.Early, clip(early)), append(p.Late, clip(late))
		p.Service, p.Demand = append(p.Service, clip(service)), append(p.Demand, clip(room))
	}
	add(max(d.depart0, d.a), d.o, 0, 0)
	for v := range m.visits {
		x := &m.visits[v]
		places = append(places, x.place)
		add(max(0, x.free[0].lo), x.free[0].hi, x.secs, x.room)
	}
	for _, a := range places {
		for _, b := range places {
			p.Dist, p.Time = append(p.Dist, clip(m.travel.dist(a, b))), append(p.Time, clip(m.travel.usual(a, b)))
		}
	}
	p.X, p.Y = m.spread(places)
	return p, true
}

func clip(x int64) int32 { return int32(max(math.MinInt32, min(math.MaxInt32, x))) }

// spread guesses where places lie from the drives between them: along the way to the one
// that is farthest from the first, and to that side of it on which the one lies that is
// farthest from both.
func (m *model) spread(places []int32) (x, y []float64) {
	from := func(a, b int32) float64 { return float64(m.travel.dist(a, b)) }
	far, aside := 0, 0
	for i := range places {
		if from(places[0], places[i]) > from(places[0], places[far]) {
			far = i
		}
	}
	for i := range places {
		if from(places[0], places[i])+from(places[far], places[i]) > from(places[0], places[aside])+from(places[far], places[aside]) {
			aside = i
		}
	}
	at := func(i int) (float64, float64) {
		whole, a, b := from(places[0], places[far]), from(places[0], places[i]), from(places[far], places[i])
		if whole == 0 {
			return 0, 0
		}
		along := (a*a + whole*whole - b*b) / (2 * whole)
		return along, math.Sqrt(max(0, a*a-along*along))
	}
	ax, ay := at(aside)
	for i := range places {
		px, py := at(i)
		here := from(places[aside], places[i])
		if math.Abs(math.Hypot(px-ax, py-ay)-here) > math.Abs(math.Hypot(px-ax, -py-ay)-here) {
			py = -py
		}
		x, y = append(x, px), append(y, py)
	}
	return x, y
}
