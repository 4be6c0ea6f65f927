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

// leg is the least time and cost of a drive that leaves at x, in a period, or later.
func (p *pricer) leg(from, to, period int, x int64) (arrive, work, cost int64) {
	r := p.m.road
	arrive, work = r.leg(period, x, r.seconds[from][to])
	return arrive, work, r.metres[from][to]*p.t.km + work*p.cheap
}

// legKey names a table of the drives of a period by what they cost.
type legKey struct {
	period    int
	km, cheap int64
}

// legsOf is that table: seconds, as long as the period holds, and cost of each drive.
func (p *pricer) legsOf(period int) (table []int64, until int64) {
	r := p.m.road
	until = never
	if period+1 < len(r.periods) {
		until = r.periods[period+1].From
	}
	key := legKey{period, p.t.km, p.cheap}
	if list, ok := p.legs[key]; ok {
		return list, until
	}
	n := len(r.seconds)
	speed, best := r.speeds(period)
	table = make([]int64, 2*n*n)
	for i := range n {
		for k := range n {
			left := r.seconds[i][k] * 1000
			table[2*(i*n+k)] = (left + speed - 1) / speed
			table[2*(i*n+k)+1] = r.metres[i][k]*p.t.km + left/best*p.cheap
		}
	}
	if p.legs == nil || len(p.legs) >= legsMost {
		p.legs = map[legKey][]int64{}
	}
	p.legs[key] = table
	return table, until
}

// legsMost is how many such tables are kept.
const legsMost = 64

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

// row is the place in the table of rests of a visit that ends in a step; spare: with a
// pump to spare on the truck, as many as one likes.
func (p *pricer) row(step, own int, spare bool) int {
	i := 2 * (step*len(p.visits) + own)
	if spare {
		i++
	}
	return i
}

// complete fills the table of rests, last step first; false if ctx ends meanwhile.
func (p *pricer) complete() bool {
	t, n := p.t, len(p.m.road.seconds)
	p.steps = int((t.o-t.a)/grid) + 1
	size := 2 * p.steps * len(p.visits)
	if cap(p.rest) < size {
		p.rest, p.other, p.then, p.when = make([]int64, size), make([]int64, size), make([]int32, size), make([]int32, size)
	}
	p.rest, p.other, p.then, p.when = p.rest[:size], p.other[:size], p.then[:size], p.when[:size]
	for k := p.steps - 1; k >= 0; k-- {
		if p.ctx.Err() != nil {
			return false
		}
		x := t.a + int64(k)*grid
		period := p.m.road.period(x)
		legs, until := p.legsOf(period)
		for u := range p.visits {
			from := &p.visits[u]
			if x+grid <= from.lo+from.seconds || x > from.hi+from.seconds {
				continue // it never ends in this step
			}
			bare := p.row(k, u, false)
			best := int64(never)
			if ret, work, cost := p.leg(int(from.place), t.to, period, x); ret <= t.o {
				best = cost + t.extra(ret, from.seconds+work)
			}
			for i := bare; i <= bare+1; i++ {
				p.rest[i], p.other[i], p.then[i], p.when[i] = best, never, -1, 0
			}
			row := legs[2*int(from.place)*n : 2*(int(from.place)+1)*n]
			for v := range p.stops {
				to := &p.stops[v]
				if to.hi < x || to.visit == from.visit || to.seconds < grid {
					continue
				}
				arrive, cost := x+row[2*to.place], row[2*to.place+1]
				if arrive > until {
					arrive, _, _ = p.leg(int(from.place), to.place, period, x)
				}
				cost += to.seconds*t.straight() - to.price
				if len(to.kept) > 0 {
					to.starting(arrive, func(start, penalty int64) { p.put(bare, from.visit, v, start, cost+penalty) })
				} else if start, ok := to.first(arrive); ok {
					p.put(bare, from.visit, v, start, cost)
				}
			}
		}
	}
	return true
}

// put betters the two entries of a visit by what stop v costs next.
func (p *pricer) put(bare int, from int32, v int, start, cost int64) {
	to := &p.stops[v]
	step := int((start + to.seconds - p.t.a) / grid)
	if step >= p.steps {
		return
	}
	p.better(bare+1, v, step, cost+p.after(p.row(step, int(to.own), true), from), to.visit)
	if to.truck == drops || to.truck == borrows {
		cost += p.pump
	}
	p.better(bare, v, step, cost+p.after(p.row(step, int(to.own), to.truck > drops), from), to.visit)
}

func (p *pricer) better(i, v, step int, cost int64, visit int32) {
	again := p.then[i] >= 0 && p.stops[p.then[i]].visit == visit
	switch {
	case cost < p.rest[i]:
		if !again {
			p.other[i] = p.rest[i]
		}
		p.rest[i], p.then[i], p.when[i] = cost, int32(v), int32(step)
	case !again:
		p.other[i] = min(p.other[i], cost)
	}
}

// after is the least cost from entry i of the table on, not straight back to a visit.
func (p *pricer) after(i int, visit int32) int64 {
	if then := p.then[i]; then >= 0 && p.stops[then].visit == visit {
		return p.other[i]
	}
	return p.rest[i]
}

// search grows routes, most promising first, until one is home or the patience ends; and
// somewhat on from there, for more good routes.
func (p *pricer) search() int64 {
	p.labels, p.heap = p.labels[:0], p.heap[:0]
	for len(p.at) < len(p.m.road.seconds) {
		p.at = append(p.at, nil)
	}
	for i := range p.at {
		p.at[i] = p.at[i][:0]
	}
	p.grow(-1, p.t.from, label{stop: home, parent: -1, time: p.t.a, latest: p.t.o})
	value, known := int64(0), false
	for n, last := 0, pops; len(p.heap) > 0; n++ {
		i := p.pop()
		p.popped++
		l := p.labels[i]
		if l.bound >= 0 {
			break
		}
		if n >= last {
			if !known {
				value = l.bound
				p.keep(i, value, true)
			}
			break
		}
		if l.stop == home {
			if !known {
				value, known, last = l.bound, true, min(pops, n+n/2+20)
			}
			if p.keep(l.parent, l.bound, false); len(p.found) >= foundMost {
				break
			}
			continue
		}
		if n%64 == 63 && p.ctx.Err() != nil {
			return 0
		}
		if s := &p.stops[l.stop]; p.fresh(i, s.place) {
			p.end(i, s, l)
			p.grow(i, s.place, l)
		}
	}
	return value
}

// foundMost is how many routes of a tour are kept at once.
const foundMost = 20

// keep notes a route for the master.
func (p *pricer) keep(i int32, value int64, open bool) {
	nodes := p.path(i, open)
	load := p.load(nodes)
	r := route{nodes: slices.Clone(nodes), starts: slices.Clone(p.times), load: load}
	cost := value - load*p.pump
	for _, n := range nodes {
		cost += p.prices[n]
	}
	r.cost = float64(cost) / perCent
	p.found = append(p.found, r)
}

// end takes a route home.
func (p *pricer) end(i int32, s *stop, l label) {
	t := p.t
	ret, work, cost := p.leg(s.place, t.to, p.m.road.period(l.time), l.time)
	work += l.work
	if k := t.lunch; k != nil && work > k.DueAfter {
		ret = max(ret, t.a+work+k.Seconds)
		if k.Paid {
			cost += k.Seconds * t.straight()
		}
	}
	if ret > t.o {
		return
	}
	total := l.cost + cost + t.extra(ret, work) + p.waiting(l.idle)
	p.push(label{stop: home, parent: i, cost: total, bound: total})
}

// grow adds each further stop to a route.
func (p *pricer) grow(i int32, place int, l label) {
	t, period, before, n := p.t, p.m.road.period(l.time), int32(-1), len(p.m.road.seconds)
	legs, until := p.legsOf(period)
	row := legs[2*place*n : 2*(place+1)*n]
	if l.stop >= 0 {
		before = p.stops[l.stop].visit
	}
	for v := range p.stops {
		to := &p.stops[v]
		if to.hi < l.time || to.bit >= 0 && l.made[to.bit>>6]&(1<<(to.bit&63)) != 0 {
			continue
		}
		arrive := l.time + row[2*to.place]
		if arrive > until {
			arrive, _, _ = p.leg(place, to.place, period, l.time)
		}
		if arrive > to.hi {
			continue
		}
		arrive, work, cost := p.leg(place, to.place, period, l.time)
		x := label{stop: int32(v), parent: i, work: l.work + work + to.seconds, made: l.made}
		for k := range x.made {
			x.made[k] &= to.near[k]
		}
		if to.bit >= 0 {
			x.made[to.bit>>6] |= 1 << (to.bit & 63)
		}
		cost += l.cost + to.seconds*t.straight() - to.price
		x.spare, x.load = l.spare, l.load
		if (to.truck == drops || to.truck == borrows) && x.spare == 0 {
			x.spare, x.load, cost = 1, x.load+1, cost+p.pump
		}
		switch to.truck {
		case drops:
			x.spare--
		case collects:
			x.spare++
		}
		latest := p.m.road.arrive(min(l.latest, t.o), p.m.road.seconds[place][to.place])
		to.starting(arrive, func(start, penalty int64) {
			x.time, x.cost = start+to.seconds, cost+penalty
			x.idle, x.latest = l.idle, max(start, min(latest, to.hi))+to.seconds
			if latest < start {
				x.idle += start - latest
			}
			step := int((x.time - t.a) / grid)
			if step >= p.steps {
				return
			}
			rest := p.after(p.row(step, int(to.own), x.spare > 0), before)
			if rest >= never {
				return
			}
			x.bound = x.cost + rest - p.quick + p.waiting(x.idle)
			if x.bound < 0 {
				p.push(x)
			}
		})
	}
}

// fresh reports whether no route that was grown on from the same place is at least as
// good, and notes it then. (Most labels are never grown on: only those are compared.)
func (p *pricer) fresh(i int32, place int) bool {
	x := &p.labels[i]
	for _, k := range p.at[place] {
		if p.covers(&p.labels[k], x) {
			return false
		}
	}
	p.at[place] = append(p.at[place], i)
	return true
}

// waiting is what so many seconds of waiting cost; unpaid lunch may lie in them.
func (p *pricer) waiting(idle int64) int64 {
	if l := p.t.lunch; l != nil && !l.Paid {
		idle -= l.Seconds
	}
	return max(0, idle) * p.cheap
}

// covers reports whether whatever follows label x could follow y at no more cost.
func (p *pricer) covers(y, x *label) bool {
	if y.time > x.time || y.work > x.work || y.cost > x.cost || !inside(&y.made, &x.made) {
		return false
	}
	more := max(0, y.idle-x.idle+max(0, x.latest-y.latest))*p.cheap + max(0, x.spare-y.spare)*p.pump
	return y.cost+more <= x.cost
}

func inside(a, b *[4]uint64) bool {
	return a[0]&^b[0]|a[1]&^b[1]|a[2]&^b[2]|a[3]&^b[3] == 0
}

// path lists the nodes of a route in their order, and when they start; open: on from
// there as the table of rests would.
func (p *pricer) path(i int32, open bool) []int32 {
	l := p.labels[i]
	p.nodes, p.times = p.nodes[:0], p.times[:0]
	for ; i >= 0; i = p.labels[i].parent {
		s := &p.stops[p.labels[i].stop]
		p.nodes, p.times = append(p.nodes, s.node), append(p.times, p.labels[i].time-s.seconds)
	}
	slices.Reverse(p.nodes)
	slices.Reverse(p.times)
	if !open {
		return p.nodes
	}
	spare := l.spare > 0
	for k := p.row(int((l.time-p.t.a)/grid), int(p.stops[l.stop].own), spare); p.then[k] >= 0; {
		v := int(p.then[k])
		s := &p.stops[v]
		p.nodes, p.times = append(p.nodes, s.node), append(p.times, p.t.a+int64(p.when[k])*grid-s.seconds)
		spare = spare || s.truck > drops
		k = p.row(int(p.when[k]), int(s.own), spare)
	}
	return p.nodes
}

// load is how many pumps a route's truck leaves with.
func (p *pricer) load(nodes []int32) int64 {
	spare, load := 0, int64(0)
	for _, n := range nodes {
		k := p.m.nodes[n].truck
		if (k == drops || k == borrows) && spare == 0 {
			spare, load = 1, load+1
		}
		switch k {
		case drops:
			spare--
		case collects:
			spare++
		}
	}
	return load
}

// push and pop keep a heap of labels, the least bound on top.
func (p *pricer) push(l label) {
	p.labels = append(p.labels, l)
	i := len(p.heap)
	p.heap = append(p.heap, int32(len(p.labels)-1))
	for i > 0 && p.labels[p.heap[i]].bound < p.labels[p.heap[(i-1)/2]].bound {
		p.heap[i], p.heap[(i-1)/2] = p.heap[(i-1)/2], p.heap[i]
		i = (i - 1) / 2
	}
}

func (p *pricer) pop() int32 {
	top, n := p.heap[0], len(p.heap)-1
	p.heap[0] = p.heap[n]
	p.heap = p.heap[:n]
	for i := 0; ; {
		c := 2*i + 1
		if c >= n {
			return top
		}
		if c+1 < n && p.labels[p.heap[c+1]].bound < p.labels[p.heap[c]].bound {
			c++
		}
		if p.labels[p.heap[c]].bound >= p.labels[p.heap[i]].bound {
			return top
		}
		p.heap[i], p.heap[c] = p.heap[c], p.heap[i]
		i = c
	}
}
