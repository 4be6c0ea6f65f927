package kernel

import "math"

// crosser joins two members by exchanging routes that serve nearly the same
// stops (selective route exchange: Nagata, Bräysy and Dullaert, Computers & OR
// 37, 2010).
type crosser struct {
	p        *Problem
	dice     *dice
	a, b     window
	children [2]child
	alone    []segment
	late     int64 // prices, as for routes
	over     int64
}

// child are routes in the making.
type child struct {
	routes [][]int32
	whole  []int8  // per route: 1 or 2 as it stood in the first or second parent, 0 changed
	loose  []int32 // stops that no route has
}

func newCrosser(p *Problem, d *dice) *crosser {
	n := p.Places()
	x := &crosser{p: p, dice: d, a: window{in: make([]bool, n)}, b: window{in: make([]bool, n)}}
	for i := range n {
		x.alone = append(x.alone, segment{dur: p.Service[i], early: p.Early[i], late: p.Late[i]})
	}
	x.alone[0].dur = 0
	return x
}

// cross gives the routes of a child, and which of them came over whole from the
// first (1) or the second (2). They stay the crosser's: the next child overwrites
// them.
//
// As many routes side by side are chosen in both parents, where fewest stops
// differ. Two children take them from the second parent and the rest from the first:
// one leaves out of them what the rest serves already, one takes it out of the rest.
// What then is loose is put where it costs least. The cheaper child is given.
func (x *crosser) cross(a, b *member, late, over int64) ([][]int32, []int8) {
	x.late, x.over = late, over
	na, nb := len(a.routes), len(b.routes)
	size := 1
	if most := min(na, nb) - 1; most > 1 {
		size += x.dice.below(most)
	}
	from := x.dice.below(na)
	x.a.set(a.routes, from, size)
	x.b.set(b.routes, from%nb, size)
	x.match()
	var cost [2]int64
	for i := range x.children {
		c := &x.children[i]
		c.clear()
		for k := range size {
			c.add(x.b.at(k), 2, func(s int32) bool { return i == 1 || x.a.in[s] })
		}
		for k := size; k < na; k++ {
			c.add(x.a.at(k), 1, func(s int32) bool { return i == 0 || !x.b.in[s] })
		}
		for k := range size {
			for _, s := range x.a.at(k) {
				if !x.b.in[s] {
					c.loose = append(c.loose, s)
				}
			}
		}
		x.dice.shuffle(c.loose)
		for _, s := range c.loose {
			x.insert(c, s)
		}
		cost[i] = x.cost(c.routes)
	}
	pick := &x.children[0]
	if cost[1] < cost[0] {
		pick = &x.children[1]
	}
	return pick.routes, pick.whole
}

// match shifts one window or the other by a route while that leaves fewer stops that
// are in the first and not in the second.
func (x *crosser) match() {
	for {
		best, pick, way := 0, (*window)(nil), 0
		for _, by := range [2]int{-1, 1} {
			if x.a.size < len(x.a.routes) {
				gained, lost := x.a.step(by)
				if d := x.b.count(lost) - len(lost) + len(gained) - x.b.count(gained); d < best {
					best, pick, way = d, &x.a, by
				}
			}
		}
		for _, by := range [2]int{-1, 1} {
			if x.b.size < len(x.b.routes) {
				gained, lost := x.b.step(by)
				if d := x.a.count(lost) - x.a.count(gained); d < best {
					best, pick, way = d, &x.b, by
				}
			}
		}
		if pick == nil {
			return
		}
		pick.move(way)
	}
}

// insert puts a stop where it adds least distance among the places that its
// window allows.
func (x *crosser) insert(c *child, s int32) {
	p, n := x.p, x.p.Places()
	best, bestRoute, bestAt := int32(math.MaxInt32), 0, 0
	for k, line := range c.routes {
		from := int32(0)
		for i := 0; i <= len(line); i++ {
			to := int32(0)
			if i < len(line) {
				to = line[i]
			}
			if p.Early[from]+p.Service[from]+p.Time[int(from)*n+int(s)] <= p.Late[s] && p.Early[s]+p.Service[s]+p.Time[int(s)*n+int(to)] <= p.Late[to] {
				if cost := p.Dist[int(from)*n+int(s)] + p.Dist[int(s)*n+int(to)] - p.Dist[int(from)*n+int(to)]; cost < best {
					best, bestRoute, bestAt = cost, k, i
				}
			}
			from = to
		}
	}
	line := append(c.routes[bestRoute], 0)
	copy(line[bestAt+1:], line[bestAt:])
	line[bestAt] = s
	c.routes[bestRoute] = line
	c.whole[bestRoute] = 0
}

// cost is distance plus the price of warp and load of routes.
func (x *crosser) cost(list [][]int32) int64 {
	p, n := x.p, x.p.Places()
	total := int64(0)
	for _, line := range list {
		if len(line) == 0 {
			continue
		}
		seg, last, load := x.alone[0], int32(0), int32(0)
		for _, s := range line {
			seg = join(seg, p.Time[int(last)*n+int(s)], x.alone[s])
			total += int64(p.Dist[int(last)*n+int(s)])
			load += p.Demand[s]
			last = s
		}
		total += int64(p.Dist[int(last)*n])
		total += int64(warpOf(seg, p.Time[int(last)*n], x.alone[0]))*x.late + int64(max(load-p.Capacity, 0))*x.over
	}
	return total
}

func (c *child) clear() { c.routes, c.whole, c.loose = c.routes[:0], c.whole[:0], c.loose[:0] }

// add copies a parent's route, of its stops only those to keep.
func (c *child) add(stops []int32, from int8, keep func(int32) bool) {
	c.routes = resized(c.routes, len(c.routes)+1)
	last := &c.routes[len(c.routes)-1]
	*last = (*last)[:0]
	for _, s := range stops {
		if keep(s) {
			*last = append(*last, s)
		}
	}
	if len(*last) < len(stops) {
		from = 0
	}
	c.whole = append(c.whole, from)
}
