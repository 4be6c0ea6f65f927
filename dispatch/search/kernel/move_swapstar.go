package kernel

// spotCost is a place for a stop in a route, behind a stop (0: at its start),
// with what it costs there.
type spotCost struct {
	cost   int64
	behind int32
}

// bestSpots are the three cheapest places for a stop in a route.
type bestSpots struct {
	spots [3]spotCost
	stamp int64
}

const far = int64(1) << 50

func (b *bestSpots) add(cost int64, behind int32) {
	switch s := &b.spots; {
	case cost >= s[2].cost:
	case cost >= s[1].cost:
		s[2] = spotCost{cost, behind}
	case cost >= s[0].cost:
		s[1], s[2] = spotCost{cost, behind}, s[1]
	default:
		s[0], s[1], s[2] = spotCost{cost, behind}, s[0], s[1]
	}
}

// swapAll tries to swap two stops between routes whose sectors meet, each to the
// best place in the other's route rather than where the other stood (Vidal,
// Computers & OR 140, 2022).
func (c *climber) swapAll() bool {
	better := false
	c.dice.shuffle(c.kinds)
	for _, a := range c.kinds {
		for _, b := range c.kinds {
			if a >= b || c.list[a].first == 0 || c.list[b].first == 0 {
				continue
			}
			k := int(a)*len(c.list) + int(b)
			if max(c.list[a].changed, c.list[b].changed) <= c.pairs[k] || !overlap(&c.list[a], &c.list[b]) {
				continue
			}
			c.pairs[k] = c.clock
			better = c.swapBest(a, b) || better
		}
	}
	return better
}

// swapBest makes the best such swap, or the best move of one stop, of two routes.
func (c *climber) swapBest(a, b int32) bool {
	ra, rb := &c.list[a], &c.list[b]
	c.findSpots(a, b)
	c.findSpots(b, a)
	best, bu, bv, pu, pv := int64(0), int32(0), int32(0), int32(0), int32(0)
	for u := ra.first; u != 0; u = c.next[u] {
		gone := c.without(u, ra)
		for v := rb.first; v != 0; v = c.next[v] {
			shift := c.p.Demand[v] - c.p.Demand[u]
			delta := gone + c.without(v, rb) + c.penalty(0, ra.load+shift) - c.penalty(0, ra.load) + c.penalty(0, rb.load-shift) - c.penalty(0, rb.load)
			if delta >= best {
				continue
			}
			cu, at := c.cheapest(u, v, b)
			if delta += cu; delta >= best {
				continue
			}
			cv, bt := c.cheapest(v, u, a)
			if delta += cv; delta < best {
				best, bu, bv, pu, pv = delta, u, v, at, bt
			}
		}
	}
	if bu == 0 {
		return false
	}
	return c.swapTo(bu, bv, pu, pv, a, b)
}

// findSpots finds the cheapest places in route b for every stop of route a.
func (c *climber) findSpots(a, b int32) {
	rb := &c.list[b]
	for u := c.list[a].first; u != 0; u = c.next[u] {
		bs := &c.best[int(u)*len(c.list)+int(b)]
		if bs.stamp >= rb.changed {
			continue
		}
		bs.stamp = c.clock
		bs.spots = [3]spotCost{{cost: far}, {cost: far}, {cost: far}}
		for v := int32(0); ; {
			w := c.after(v, b)
			cost := int64(c.d(v, u)) + int64(c.d(u, w)) - int64(c.d(v, w))
			if cost < bs.spots[2].cost+int64(rb.warp)*c.late {
				seg := join(c.before[v], c.t(v, u), c.alone[u])
				cost += int64(warpOf(seg, c.t(u, w), c.behind[w])-rb.warp) * c.late
				bs.add(cost, v)
			}
			if v = w; v == 0 {
				break
			}
		}
	}
}

// without is what taking a stop out of its route changes, load aside.
func (c *climber) without(u int32, rt *route) int64 {
	p, n := c.prev[u], c.next[u]
	return int64(c.d(p, n)) - int64(c.d(p, u)) - int64(c.d(u, n)) + int64(warpOf(c.before[p], c.t(p, n), c.behind[n])-rt.warp)*c.late
}

// cheapest is the best place for u in route b once v has left it.
func (c *climber) cheapest(u, v, b int32) (int64, int32) {
	bs := &c.best[int(u)*len(c.list)+int(b)]
	q, m := c.prev[v], c.next[v]
	seg := join(c.before[q], c.t(q, u), c.alone[u])
	cost := int64(c.d(q, u)) + int64(c.d(u, m)) - int64(c.d(q, m)) +
		int64(warpOf(seg, c.t(u, m), c.behind[m])-c.list[b].warp)*c.late
	at := q
	for _, s := range bs.spots {
		if s.behind != v && s.behind != q {
			if s.cost < cost {
				return s.cost, s.behind
			}
			break
		}
	}
	return cost, at
}

// swapTo makes the swap if it really lowers the cost.
func (c *climber) swapTo(u, v, pu, pv, a, b int32) bool {
	ra, rb := &c.list[a], &c.list[b]
	old := int64(ra.dist) + int64(rb.dist) + ra.price + rb.price
	da, la, wa := c.trade(u, v, pv, a)
	db, lb, wb := c.trade(v, u, pu, b)
	if int64(da)+int64(db)+c.penalty(wa, la)+c.penalty(wb, lb) >= old {
		return false
	}
	qu, qv := c.prev[u], c.prev[v]
	if pv == u {
		pv = qu
	}
	if pu == v {
		pu = qv
	}
	c.cut(u, u, a)
	c.cut(v, v, b)
	c.paste(u, u, pu, b)
	c.paste(v, v, pv, a)
	c.renew(a, b)
	return true
}

// trade is distance, load and warp of a route once u left it and v stands behind at,
// which may be u: then v takes its place.
func (c *climber) trade(u, v, at, k int32) (dist, load, warp int32) {
	rt := &c.list[k]
	seg, last := c.alone[0], int32(0)
	add := func(s int32) {
		seg = join(seg, c.t(last, s), c.alone[s])
		dist += c.d(last, s)
		last = s
	}
	if at == 0 {
		add(v)
	}
	for s := rt.first; s != 0; s = c.next[s] {
		if s != u {
			add(s)
		}
		if s == at {
			add(v)
		}
	}
	dist += c.d(last, 0)
	return dist, rt.load - c.p.Demand[u] + c.p.Demand[v], warpOf(seg, c.t(last, 0), c.alone[0])
}
