package bound

import (
	"slices"
)

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
