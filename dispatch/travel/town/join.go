package town

import (
	"math"
	"slices"
)

// network is the joined streets: nodes by number, found again by their place.
type network struct {
	at   []point
	near map[point][]int // nodes by square of tolCM
}

// Places closer than this are one.
const tolCM = 200

func (n *network) node(p point) int {
	sq := point{floorDiv(p.x, tolCM), floorDiv(p.y, tolCM)}
	for dx := int64(-1); dx <= 1; dx++ {
		for dy := int64(-1); dy <= 1; dy++ {
			for _, i := range n.near[point{sq.x + dx, sq.y + dy}] {
				if distance(n.at[i], p) <= tolCM {
					return i
				}
			}
		}
	}
	n.at = append(n.at, p)
	n.near[sq] = append(n.near[sq], len(n.at)-1)
	return len(n.at) - 1
}

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

func distance(a, b point) float64 { return math.Hypot(float64(a.x-b.x), float64(a.y-b.y)) }

// segment is one straight piece of a street.
type segment struct {
	street, index int
	a, b          point
}

// split is a place where a segment is parted, t of the way along it.
type split struct {
	t  float64
	at point
}

// join finds where streets meet, cuts what sticks out, parts the streets at
// water and gives every place a node.
func (b *builder) join() {
	b.net = network{near: map[point][]int{}}
	var segments []segment
	for i, s := range b.streets {
		for k := 0; k+1 < len(s.line); k++ {
			segments = append(segments, segment{i, k, s.line[k], s.line[k+1]})
		}
	}
	splits := b.crossings(segments)
	at := 0
	for _, s := range b.streets {
		var line []point
		var met []bool // the place lies on another street
		for k := 0; k+1 < len(s.line); k++ {
			list := splits[at]
			at++
			slices.SortStableFunc(list, func(x, y split) int {
				switch {
				case x.t < y.t:
					return -1
				case x.t > y.t:
					return 1
				}
				return 0
			})
			line, met = append(line, s.line[k]), append(met, false)
			for _, x := range list {
				if distance(line[len(line)-1], x.at) <= tolCM {
					met[len(met)-1] = true
					continue
				}
				line, met = append(line, x.at), append(met, true)
			}
		}
		line, met = append(line, s.line[len(s.line)-1]), append(met, false)
		if n := len(line); n > 2 && distance(line[n-1], line[n-2]) <= tolCM {
			line, met = append(line[:n-2], line[n-1]), append(met[:n-2], true)
		}
		first, last := 0, len(line)-1
		if i := slices.Index(met, true); s.trimHead && i >= 0 {
			first = i
		}
		if i := lastIndex(met); s.trimTail && i > first {
			last = i
		}
		b.part(s, line[first:last+1])
	}
}

func lastIndex(list []bool) int {
	for i := len(list) - 1; i >= 0; i-- {
		if list[i] {
			return i
		}
	}
	return -1
}

// part gives a line its nodes, in pieces: over water only where a bridge is.
func (b *builder) part(s *street, line []point) {
	var piece []int
	wet := false
	end := func() {
		if len(piece) > 1 {
			s.pieces, s.wet = append(s.pieces, piece), append(s.wet, wet)
		}
		piece = nil
	}
	for i := 0; i+1 < len(line); i++ {
		isWet := !s.island && b.wetBetween(line[i], line[i+1])
		if isWet && !s.bridged {
			end()
			continue
		}
		if isWet != wet {
			end()
		}
		wet = isWet
		from, to := b.net.node(line[i]), b.net.node(line[i+1])
		if len(piece) == 0 {
			piece = append(piece, from)
		}
		if to != piece[len(piece)-1] {
			piece = append(piece, to)
		}
	}
	end()
}

// crossings answers, for every segment, where others meet it.
func (b *builder) crossings(segments []segment) [][]split {
	out := make([][]split, len(segments))
	squares := map[point][]int{}
	const side = 20_000
	var order []point
	for i, g := range segments {
		if b.streets[g.street].over {
			continue
		}
		for x := floorDiv(min(g.a.x, g.b.x)-tolCM, side); x <= floorDiv(max(g.a.x, g.b.x)+tolCM, side); x++ {
			for y := floorDiv(min(g.a.y, g.b.y)-tolCM, side); y <= floorDiv(max(g.a.y, g.b.y)+tolCM, side); y++ {
				sq := point{x, y}
				if squares[sq] == nil {
					order = append(order, sq)
				}
				squares[sq] = append(squares[sq], i)
			}
		}
	}
	seen := map[[2]int]bool{}
	for _, sq := range order {
		list := squares[sq]
		for n, i := range list {
			for _, k := range list[n+1:] {
				if segments[i].street == segments[k].street || seen[[2]int{i, k}] {
					continue
				}
				seen[[2]int{i, k}] = true
				meet(segments[i], segments[k], &out[i], &out[k])
			}
		}
	}
	return out
}

// meet notes where two segments cross, or one ends on the other.
func meet(g, h segment, atG, atH *[]split) {
	touched := false
	for _, end := range []struct {
		p     point
		t     float64
		own   *[]split
		other segment
		there *[]split
	}{{g.a, 0, atG, h, atH}, {g.b, 1, atG, h, atH}, {h.a, 0, atH, g, atG}, {h.b, 1, atH, g, atG}} {
		t, d := project(end.p, end.other.a, end.other.b)
		if d <= tolCM {
			touched = true
			*end.own = append(*end.own, split{end.t, end.p})
			*end.there = append(*end.there, split{t, end.p})
		}
	}
	if touched {
		return
	}
	rx, ry := float64(g.b.x-g.a.x), float64(g.b.y-g.a.y)
	sx, sy := float64(h.b.x-h.a.x), float64(h.b.y-h.a.y)
	den := rx*sy - ry*sx
	if den == 0 {
		return
	}
	qx, qy := float64(h.a.x-g.a.x), float64(h.a.y-g.a.y)
	t, u := (qx*sy-qy*sx)/den, (qx*ry-qy*rx)/den
	if t > 0 && t < 1 && u > 0 && u < 1 {
		at := point{g.a.x + whole(t*rx), g.a.y + whole(t*ry)}
		*atG, *atH = append(*atG, split{t, at}), append(*atH, split{u, at})
	}
}

// project answers how far along a segment a place lies, and how far from it in
// centimetres.
func project(p, a, b point) (t, cm float64) {
	dx, dy := float64(b.x-a.x), float64(b.y-a.y)
	long := dx*dx + dy*dy
	if long == 0 {
		return 0, distance(p, a)
	}
	t = min(max((float64(p.x-a.x)*dx+float64(p.y-a.y)*dy)/long, 0), 1)
	return t, math.Hypot(float64(p.x-a.x)-t*dx, float64(p.y-a.y)-t*dy)
}

// dropStrays takes out what hangs on nothing, as a street cut off by the river;
// the island stays.
func (b *builder) dropStrays() {
	root := make([]int, len(b.net.at))
	for i := range root {
		root[i] = i
	}
	find := func(i int) int {
		for root[i] != i {
			root[i] = root[root[i]]
			i = root[i]
		}
		return i
	}
	for _, s := range b.streets {
		for _, piece := range s.pieces {
			for _, n := range piece[1:] {
				root[find(n)] = find(piece[0])
			}
		}
	}
	size := map[int]int{}
	best := 0
	for i := range root {
		if r := find(i); true {
			size[r]++
			if size[r] > size[best] {
				best = r
			}
		}
	}
	for _, s := range b.streets {
		if s.island {
			continue
		}
		var pieces [][]int
		var wet []bool
		for i, piece := range s.pieces {
			if find(piece[0]) == best {
				pieces, wet = append(pieces, piece), append(wet, s.wet[i])
			}
		}
		s.pieces, s.wet = pieces, wet
	}
}

// trimOneWays lets a one-way street begin and end where it meets another:
// nobody comes back from a dead end that leads one way.
func (b *builder) trimOneWays() {
	streets := make([]int, len(b.net.at)) // how many pass over a node
	for _, s := range b.streets {
		for _, piece := range s.pieces {
			for _, n := range piece {
				streets[n]++
			}
		}
	}
	for _, s := range b.streets {
		if s.over || !slices.ContainsFunc(s.tags, func(t tag) bool { return t.key == "oneway" }) {
			continue
		}
		var pieces [][]int
		var wet []bool
		for i, piece := range s.pieces {
			for len(piece) > 1 && streets[piece[0]] < 2 {
				piece = piece[1:]
			}
			for len(piece) > 1 && streets[piece[len(piece)-1]] < 2 {
				piece = piece[:len(piece)-1]
			}
			if len(piece) > 1 {
				pieces, wet = append(pieces, piece), append(wet, s.wet[i])
			}
		}
		s.pieces, s.wet = pieces, wet
	}
}
