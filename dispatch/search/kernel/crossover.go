package kernel

import "math"

// crosser joins two members by exchanging routes that serve nearly the same
// stops (selective route exchange: Nagata, Bräysy and Dullaert, Computers & OR
// 37, 2010).
type crosser struct {
	p     *Problem
	dice  *dice
	inA   []bool
	inB   []bool
	home  []int32 // of a stop: its route in A, in B
	homeB []int32
	child [2][][]int32
	whole [2][]int8 // per route of a child: 1 or 2 as it stood in A or B, 0 changed
	loose [2][]int32
	alone []segment
	late  int64 // prices, as for routes
	over  int64
}

func newCrosser(p *Problem, d *dice) *crosser {
	n := p.Places()
	x := &crosser{p: p, dice: d, inA: make([]bool, n), inB: make([]bool, n), home: make([]int32, n), homeB: make([]int32, n)}
	for i := range n {
		x.alone = append(x.alone, segment{dur: p.Service[i], early: p.Early[i], late: p.Late[i]})
	}
	return x
}

// cross gives the routes of a child, and which of them came over whole from the
// first (1) or the second (2). They stay the crosser's: the next child overwrites
// them.
func (x *crosser) cross(a, b *member, late, over int64) ([][]int32, []int8) {
	x.late, x.over = late, over
	na, nb := len(a.routes), len(b.routes)
	if na == 0 || nb == 0 {
		return a.routes, nil
	}
	for k, stops := range a.routes {
		for _, s := range stops {
			x.home[s] = int32(k)
		}
	}
	for k, stops := range b.routes {
		for _, s := range stops {
			x.homeB[s] = int32(k)
		}
	}
	size := 1
	if most := min(na-1, nb-1); most > 1 {
		size = 1 + x.dice.below(most)
	}
	fromA := x.dice.below(na)
	fromB := fromA % nb
	clear(x.inA)
	clear(x.inB)
	for i := range size {
		x.set(x.inA, a.routes[(fromA+i)%na], true)
		x.set(x.inB, b.routes[(fromB+i)%nb], true)
	}
	fromA, fromB = x.match(a, b, fromA, fromB, size)
	return x.build(a, b, fromA, fromB, size)
}

func (x *crosser) set(in []bool, stops []int32, yes bool) {
	for _, s := range stops {
		in[s] = yes
	}
}

// match shifts the two windows of routes while fewer stops differ.
func (x *crosser) match(a, b *member, fromA, fromB, size int) (int, int) {
	na, nb := len(a.routes), len(b.routes)
	count := func(stops []int32, in []bool, yes bool) (c int) {
		for _, s := range stops {
			if in[s] == yes {
				c++
			}
		}
		return c
	}
	for {
		best, pick := 0, -1
		var add, drop []int32
		for way := range 4 {
			var more, less []int32
			var other []bool
			gain := 0
			switch way {
			case 0: // A to the left
				if size >= na {
					continue
				}
				more, less, other = a.routes[(fromA-1+na)%na], a.routes[(fromA+size-1)%na], x.inB
			case 1: // A to the right
				if size >= na {
					continue
				}
				more, less, other = a.routes[(fromA+size)%na], a.routes[fromA], x.inB
			case 2:
				if size >= nb {
					continue
				}
				more, less, other = b.routes[(fromB-1+nb)%nb], b.routes[(fromB+size-1)%nb], x.inA
			case 3:
				if size >= nb {
					continue
				}
				more, less, other = b.routes[(fromB+size)%nb], b.routes[fromB], x.inA
			}
			if way < 2 { // stops of A that are not in B: fewer is better
				gain = count(more, other, false) - count(less, other, false)
			} else { // stops of B that are in A: more is better
				gain = count(less, other, true) - count(more, other, true)
			}
			if gain < best {
				best, pick, add, drop = gain, way, more, less
			}
		}
		if pick < 0 {
			return fromA, fromB
		}
		in := x.inA
		if pick >= 2 {
			in = x.inB
		}
		x.set(in, drop, false)
		x.set(in, add, true)
		switch pick {
		case 0:
			fromA = (fromA - 1 + na) % na
		case 1:
			fromA = (fromA + 1) % na
		case 2:
			fromB = (fromB - 1 + nb) % nb
		case 3:
			fromB = (fromB + 1) % nb
		}
	}
}

// build makes both children and gives the cheaper one. Both take the window's
// routes from B; the first leaves out of them what A's other routes serve, the
// second takes it out of A's other routes.
func (x *crosser) build(a, b *member, fromA, fromB, size int) ([][]int32, []int8) {
	na, nb := len(a.routes), len(b.routes)
	var cost [2]int64
	for c := range 2 {
		x.child[c], x.loose[c], x.whole[c] = x.child[c][:0], x.loose[c][:0], x.whole[c][:0]
		put := func(stops []int32, from int8, keep func(int32) bool) {
			i := len(x.child[c])
			if i < cap(x.child[c]) {
				x.child[c] = x.child[c][:i+1]
			} else {
				x.child[c] = append(x.child[c], nil)
			}
			line := x.child[c][i][:0]
			for _, s := range stops {
				if keep(s) {
					line = append(line, s)
				}
			}
			x.child[c][i] = line
			if len(line) < len(stops) {
				from = 0
			}
			x.whole[c] = append(x.whole[c], from)
		}
		for i := range size {
			stops := b.routes[(fromB+i)%nb]
			if c == 0 {
				put(stops, 2, func(s int32) bool { return x.inA[s] })
			} else {
				put(stops, 2, func(int32) bool { return true })
			}
		}
		for i := size; i < na; i++ {
			stops := a.routes[(fromA+i)%na]
			if c == 0 {
				put(stops, 1, func(int32) bool { return true })
			} else {
				put(stops, 1, func(s int32) bool { return !x.inB[s] })
			}
		}
		for i := range size {
			if i >= na {
				break
			}
			for _, s := range a.routes[(fromA+i)%na] {
				if !x.inB[s] {
					x.loose[c] = append(x.loose[c], s)
				}
			}
		}
		x.dice.shuffle(x.loose[c])
		for _, s := range x.loose[c] {
			x.insert(c, s)
		}
		cost[c] = x.length(x.child[c])
	}
	if cost[0] <= cost[1] {
		return x.child[0], x.whole[0]
	}
	return x.child[1], x.whole[1]
}

// insert puts a stop where it adds least distance among the places that its
// window allows.
func (x *crosser) insert(c int, s int32) {
	p, n := x.p, x.p.Places()
	best, bestRoute, bestAt := int32(math.MaxInt32), 0, 0
	for k, line := range x.child[c] {
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
	line := append(x.child[c][bestRoute], 0)
	copy(line[bestAt+1:], line[bestAt:])
	line[bestAt] = s
	x.child[c][bestRoute] = line
	x.whole[c][bestRoute] = 0
}

// length is distance plus the price of warp and load of routes.
func (x *crosser) length(list [][]int32) int64 {
	p, n := x.p, x.p.Places()
	total := int64(0)
	for _, line := range list {
		if len(line) == 0 {
			continue
		}
		seg, last, load := x.alone[0], int32(0), int32(0)
		seg.dur = 0
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
