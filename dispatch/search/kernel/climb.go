package kernel

// climber is a local search over routes.
type climber struct {
	*routes
	dice   *dice
	near   [][]int32
	tested []int64 // per stop: the change at which it was last tried
	pairs  []int64 // per pair of routes: likewise, for swaps without place
	order  []int32
	kinds  []int32
	best   []bestSpots // stop × route
	focus  focus
	stop   func() bool
}

func newClimber(p *Problem, near [][]int32, d *dice, stop func() bool) *climber {
	c := &climber{routes: newRoutes(p), dice: d, near: near, stop: stop, tested: make([]int64, p.Places())}
	for i := 1; i < c.n; i++ {
		c.order = append(c.order, int32(i))
	}
	for k := range c.list {
		c.kinds = append(c.kinds, int32(k))
	}
	c.pairs = make([]int64, len(c.list)*len(c.list))
	c.best = make([]bestSpots, c.n*len(c.list))
	return c
}

// climb improves until no move does, or it is time to stop; deep also tries swaps
// without place.
func (c *climber) climb(deep bool) {
	c.dice.shuffle(c.order)
	for first := true; ; first = false {
		for c.pass(first) && !c.stop() {
		}
		if !deep || c.stop() || !c.swapAll() {
			return
		}
	}
}

// pass tries every stop with its neighbours; it says whether anything improved.
func (c *climber) pass(first bool) bool {
	better := false
	for _, u := range c.order {
		since := c.tested[u]
		c.tested[u] = c.clock
		c.look(u)
		for _, v := range c.near[u] {
			a, b := c.in[u], c.in[v]
			ra, rb := &c.list[a], &c.list[b]
			if max(ra.changed, rb.changed) <= since || ra.whole != 0 && ra.whole == rb.whole {
				continue
			}
			if c.try(v) {
				better = true
				c.look(u)
			}
		}
		if !first && c.list[c.in[u]].changed > since {
			better = c.tryEmpty(u) || better
		}
	}
	return better
}

// tryEmpty opens a route with u or with the tail from u on.
func (c *climber) tryEmpty(u int32) bool {
	for k := int32(0); ; k++ {
		if int(k) == len(c.list) {
			return false
		}
		if c.list[k].first == 0 {
			if c.relocate(u, 0, k, 1, false) || c.relocate(u, 0, k, 2, false) {
				return true
			}
			return c.prev[u] != 0 && c.split(u, k)
		}
	}
}

// split puts the tail from v on into the empty route b, if that lowers the cost.
func (c *climber) split(v, b int32) bool {
	a, q := c.in[v], c.prev[v]
	ra := &c.list[a]
	delta := int64(c.d(0, v)) + int64(c.d(q, 0)) - int64(c.d(q, v))
	if delta >= ra.price {
		return false
	}
	delta += c.penalty(warpOf(c.before[q], c.t(q, 0), c.alone[0]), c.load[q]) +
		c.penalty(warpOf(c.alone[0], c.t(0, v), c.behind[v]), ra.load-c.load[q]) - ra.price
	if delta >= 0 {
		return false
	}
	c.crossTails(0, v, b, a)
	return true
}
