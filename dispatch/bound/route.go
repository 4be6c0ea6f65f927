package bound

import (
	"context"
	"slices"
)

// grid is the width in seconds of the steps of time in the completion table.
const grid = int64(900)

// pricer finds the route of a tour that earns most by given prices. Its slices are
// kept between calls.
type pricer struct {
	ctx    context.Context
	m      *model
	t      *tour
	prices []int64
	stops  []stop
	visits []worth
	found  []route
	legs   map[legKey][]int64
	quick  int64 // what visits shorter than a step of the grid can earn at most, all together
	cheap  int64 // least pay for a second
	pump   int64 // what one that leaves with the truck costs
	steps  int
	popped int
	// rest is the least cost from the end of a visit in a step of the grid until home,
	// repeats allowed; by step, then visit. then and when say what comes next.
	rest []int64
	then []int32
	when []int32
	// other is the least with another next visit than then says.
	other  []int64
	labels []label
	heap   []int32
	order  []int64
	bits   []int32   // by visit
	marked []int     // places of the visits with a bit
	at     [][]int32 // labels by place
	nodes  []int32
	times  []int64
}

// stop is a node that may be worth a visit.
type stop struct {
	node    int32
	place   int
	seconds int64
	price   int64
	starts  []span
	lo, hi  int64
	kept    []span // promises
	broken  int64  // what breaking one costs
	gain    int64
	near    [4]uint64 // visits that a route which makes this one still remembers
	bit     int32     // of its visit in a set; -1: none
	truck   int8
	visit   int32
	own     int32 // number of its visit among those worth a stop
}

// worth is a visit that may be worth a stop, in any part of the day.
type worth struct {
	visit, place int32
	seconds      int64
	lo, hi       int64 // of its starts
}

// label is a part of a route: where it stands, since when at the least, how long its
// driving and work take at the least, and what it costs at the least. Who departs late
// waits less: latest is when it would stand there without any wait but idle. (A plan that
// stands there later has paid for every second of that.)
type label struct {
	stop, parent int32
	time, work   int64
	spare, load  int64 // pumps on the truck, and those of them that left with it
	latest, idle int64 // its end if it had begun as late as it can; what it waits at the least
	cost, bound  int64 // without waiting; with it, and with the rest
	made         [4]uint64
}

// home is the stop of a label that is there again, and of the first.
const home = -2

// pops is how many labels of a tour are looked at before the search gives up on the
// exact answer and takes what it knows to be a bound.
const pops = 20_000

// price finds the cheapest route of tour t less the prices of its nodes, 0 for none. It
// returns a value that no route is below, and keeps routes near it in found. A pump that
// leaves with the truck costs pump. What it returns is of no use once ctx has ended.
func (p *pricer) price(ctx context.Context, t *tour, prices []int64, pump int64) int64 {
	p.ctx, p.t, p.cheap, p.pump, p.found = ctx, t, min(t.pay, t.over), pump, p.found[:0]
	p.choose(prices)
	if len(p.stops) == 0 {
		return 0
	}
	p.remember()
	if !p.complete() {
		return 0
	}
	return p.search()
}

// choose keeps the nodes that can be worth a visit. Where no detour is shorter, a stop
// that earns nothing never is. (One that earns less than the pay for its own work may be:
// it may fill a wait that is paid anyway.)
func (p *pricer) choose(prices []int64) {
	m := p.m
	p.stops, p.quick, p.prices = p.stops[:0], 0, prices
	for _, n := range p.t.nodes {
		x := &m.nodes[n]
		v := &m.visits[x.visit]
		gain := prices[n]
		if x.truck == collects {
			gain += p.pump // it may spare one
		}
		if m.road.short && gain <= 0 {
			continue
		}
		s := stop{node: n, visit: x.visit, truck: x.truck, place: v.place, seconds: v.seconds, price: prices[n], starts: x.starts, lo: x.win.lo, hi: x.win.hi, kept: x.promises,
			broken: m.w.Rates.PromiseCents * perCent, gain: gain}
		if v.seconds < grid {
			p.quick += max(0, prices[n])
		}
		p.stops = append(p.stops, s)
	}
	p.sortStops()
}

// sortStops puts those that earn most first: their visits have a bit in the set of what
// a route has made.
func (p *pricer) sortStops() {
	slices.SortStableFunc(p.stops, func(a, b stop) int {
		switch {
		case a.gain > b.gain:
			return -1
		case a.gain < b.gain:
			return 1
		}
		return 0
	})
	if len(p.bits) < len(p.m.visits) {
		p.bits = make([]int32, len(p.m.visits))
	}
	for i := range p.stops {
		p.bits[p.stops[i].visit] = -1
	}
	p.marked, p.visits = p.marked[:0], p.visits[:0]
	for i := range p.stops {
		s := &p.stops[i]
		if p.bits[s.visit] < 0 {
			p.bits[s.visit] = int32(len(p.visits))
			p.visits = append(p.visits, worth{visit: s.visit, place: int32(s.place), seconds: s.seconds, lo: never, hi: always})
			if len(p.marked) < bitsMost {
				p.marked = append(p.marked, s.place)
			}
		}
		s.own, s.bit = p.bits[s.visit], p.bits[s.visit]
		if s.bit >= bitsMost {
			s.bit = -1
		}
		x := &p.visits[s.own]
		x.lo, x.hi = min(x.lo, s.lo), max(x.hi, s.hi)
	}
}

// bitsMost is how many visits a set of what a route has made can tell apart.
const bitsMost = 256

// remember gives each stop the set of visits near it: a route that has come here forgets
// the others and could make them again (the ng relaxation of Baldacci, Mingozzi and
// Roberti 2011).
func (p *pricer) remember() {
	for v := range p.stops {
		s := &p.stops[v]
		p.order = p.order[:0]
		for u, place := range p.marked {
			p.order = append(p.order, p.m.road.seconds[place][s.place]<<16|int64(u))
		}
		slices.Sort(p.order)
		for _, x := range p.order[:min(len(p.order), memory)] {
			u := int(x & 0xffff)
			s.near[u>>6] |= 1 << (u & 63)
		}
	}
}

// memory is how many stops a route remembers.
const memory = 16

// straight is what a second of work costs before overtime is known.
func (t *tour) straight() int64 { return min(t.pay, t.over) }

// extra is what so many seconds past the shift cost beside straight time.
func (t *tour) extra(ret, work int64) int64 {
	late := min(ret-t.b, work)
	if l := t.lunch; l != nil && l.To+l.Seconds > t.b {
		late -= l.Seconds
	}
	return max(0, late) * max(0, t.over-t.pay)
}

// first is the earliest start of a stop at x or later that its day leaves.
func (s *stop) first(x int64) (int64, bool) {
	y := next(s.starts, max(x, s.lo))
	return y, y <= s.hi
}

// penalty is what the promises cost that a start breaks.
func (s *stop) penalty(start int64) int64 {
	sum := int64(0)
	for _, k := range s.kept {
		if start < k.lo || start > k.hi {
			sum += s.broken
		}
	}
	return sum
}

// starting calls do for each start at x or later that is worth a thought: the first,
// and the first of each promise.
func (s *stop) starting(x int64, do func(start, penalty int64)) {
	y, ok := s.first(x)
	if !ok {
		return
	}
	do(y, s.penalty(y))
	for _, k := range s.kept {
		if y >= k.lo {
			continue
		}
		if z, ok := s.first(k.lo); ok && z <= k.hi {
			do(z, s.penalty(z))
		}
	}
}
