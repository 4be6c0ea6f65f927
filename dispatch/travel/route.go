package travel

import (
	"slices"

	"ebbline/dispatch/travel/hierarchy"
)

// Route is one drive.
type Route struct {
	// Line runs from the place to its road, along roads, and from the road to the
	// other place.
	Line []LatLon
	// Edges are the pieces of road driven, in order, the first and last in part.
	Edges []int
	// The drive as the Table has it, rounded up.
	Seconds, Metres int64
}

// Path is the line of the drive between two points, as Route has it; nil where
// no drive is known.
func (r *Roads) Path(from, to Point) []LatLon {
	route, _ := r.Route(from, to)
	return route.Line
}

// Route finds the drive between two points; false where none is known.
func (r *Roads) Route(from, to Point) (Route, bool) {
	if !from.OnRoad() || !to.OnRoad() {
		return Route{}, false
	}
	leaving, reaching := r.leaving([]Point{from}), r.reaching([]Point{to})
	arcs, first, last, weight, ok := r.hierarchy.Path(leaving, reaching, 0, 0)
	direct := hierarchy.None
	if from.edge == to.edge {
		direct = r.direct(from, to)
	}
	b := routeBuilder{roads: r}
	switch {
	case direct <= weight && direct < hierarchy.None:
		weight = direct
		b.add(from.At)
		if from.At != to.At {
			b.add(from.Road)
			b.edge(from.edge - 1)
			b.between(from, to)
			b.add(to.Road)
			b.add(to.At)
		}
	case ok:
		b.whole(from, to, arcs, first, last)
	default:
		return Route{}, false
	}
	b.route.Seconds, b.route.Metres = (weight.Milliseconds()+999)/1000, (weight.Centimetres()+99)/100
	return b.route, true
}

type routeBuilder struct {
	roads *Roads
	route Route
}

func (b *routeBuilder) add(p LatLon) {
	if n := len(b.route.Line); n == 0 || b.route.Line[n-1] != p {
		b.route.Line = append(b.route.Line, p)
	}
}

func (b *routeBuilder) edge(e uint32) { b.route.Edges = append(b.route.Edges, int(e)) }

// whole is the drive that leaves its first edge by its end.
func (b *routeBuilder) whole(from, to Point, arcs []uint32, first, last uint32) {
	r := b.roads
	out, in := noNode, noNode
	for _, d := range r.directions(from) {
		if r.entry[d] == first && (out == noNode || r.rest(d, from) < r.rest(out, from)) {
			out = d
		}
	}
	for _, d := range r.directions(to) {
		tails := r.tail[r.arc[d]:r.arc[d+1]]
		if slices.Contains(tails, last) && (in == noNode || r.begun(d, to) < r.begun(in, to)) {
			in = d
		}
	}
	b.add(from.At)
	b.add(from.Road)
	b.edge(out / 2)
	before := r.split(from)
	line := r.line(out / 2)
	if out&1 == 0 {
		b.run(line[before:], false)
	} else {
		b.run(line[:before], true)
	}
	for _, a := range arcs {
		after, _ := slices.BinarySearch(r.arc, a+1)
		d := uint32(after - 1)
		b.edge(d / 2)
		b.run(r.line(d/2), d&1 == 1)
	}
	b.edge(in / 2)
	before = r.split(to)
	line = r.line(in / 2)
	if in&1 == 0 {
		b.run(line[:before], false)
	} else {
		b.run(line[before:], true)
	}
	b.add(to.Road)
	b.add(to.At)
}

// between is the line between two points of one edge, without them.
func (b *routeBuilder) between(from, to Point) {
	i, j := b.roads.split(from), b.roads.split(to)
	line := b.roads.line(from.edge - 1)
	if from.along <= to.along {
		b.run(line[i:max(i, j)], false)
	} else {
		b.run(line[j:max(i, j)], true)
	}
}

func (b *routeBuilder) run(line []LatLon, back bool) {
	for i := range line {
		if back {
			i = len(line) - 1 - i
		}
		b.add(line[i])
	}
}

// split is how many of an edge's points lie before a point on it.
func (r *Roads) split(p Point) int {
	line := r.line(p.edge - 1)
	whole := 0.0
	for i := 1; i < len(line); i++ {
		whole += GreatCircle(line[i-1], line[i])
	}
	at, before := whole*float64(p.along)/alongWhole, 0.0
	for i := 1; i < len(line); i++ {
		before += GreatCircle(line[i-1], line[i])
		if before >= at {
			return i
		}
	}
	return len(line) - 1
}
