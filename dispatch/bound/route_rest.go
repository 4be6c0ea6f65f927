package bound

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
