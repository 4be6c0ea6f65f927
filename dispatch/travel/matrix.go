package travel

import (
	"context"

	"ebbline/dispatch/travel/hierarchy"
)

// NoRoad stands in a Table where no drive is known, because one of the two places
// is not reached by a road.
const NoRoad = -1

// Table holds drives from places to places: the one from i to j is at
// i*Columns+j, in whole seconds and whole metres, both rounded up. Both are of
// the same drive, the quickest one, and of several equally quick to the
// millisecond the shortest.
type Table struct {
	Rows, Columns   int
	Seconds, Metres []int64
}

// Matrix is the table of drives between all points. From a point to itself, and
// to another at the very same place, it is 0. Errs only when the context ends.
func (r *Roads) Matrix(ctx context.Context, points []Point) (Table, error) {
	return r.Table(ctx, points, points)
}

// Row is the drives from one point to others; Column those from others to it.
// With both a cached matrix grows by a place.
func (r *Roads) Row(ctx context.Context, from Point, to []Point) (Table, error) {
	return r.Table(ctx, []Point{from}, to)
}

// Column is the drives to one point, a table of one column.
func (r *Roads) Column(ctx context.Context, from []Point, to Point) (Table, error) {
	return r.Table(ctx, from, []Point{to})
}

// Table is the drives from some points to others.
func (r *Roads) Table(ctx context.Context, from, to []Point) (Table, error) {
	weights, err := r.weights(ctx, from, to)
	if err != nil {
		return Table{}, err
	}
	t := Table{Rows: len(from), Columns: len(to), Seconds: make([]int64, len(weights)), Metres: make([]int64, len(weights))}
	for i, w := range weights {
		if w >= hierarchy.None {
			t.Seconds[i], t.Metres[i] = NoRoad, NoRoad
			continue
		}
		t.Seconds[i], t.Metres[i] = (w.Milliseconds()+999)/1000, (w.Centimetres()+99)/100
	}
	return t, nil
}

// weights is the table in full precision.
func (r *Roads) weights(ctx context.Context, from, to []Point) ([]hierarchy.Weight, error) {
	table, err := r.hierarchy.Many(ctx, r.leaving(from), r.reaching(to))
	if err != nil {
		return nil, err
	}
	r.onOneEdge(from, to, table)
	return table, nil
}

// leaving are the nodes that points are left by.
func (r *Roads) leaving(points []Point) *hierarchy.Seeds {
	s := &hierarchy.Seeds{}
	for _, p := range points {
		for _, d := range r.directions(p) {
			s.Add(r.entry[d], r.rest(d, p)+p.stub())
		}
		s.End()
	}
	return s
}

// reaching are the nodes that points are reached from.
func (r *Roads) reaching(points []Point) *hierarchy.Seeds {
	s := &hierarchy.Seeds{}
	for _, p := range points {
		for _, d := range r.directions(p) {
			for a := r.arc[d]; a < r.arc[d+1]; a++ {
				s.Add(r.tail[a], r.begun(d, p)+p.stub())
			}
		}
		s.End()
	}
	return s
}

// directions are the directed edges that a point may be reached and left by.
func (r *Roads) directions(p Point) (list []uint32) {
	if p.edge == 0 || int(p.edge) > len(r.way) { // or a point of another file
		return nil
	}
	for _, d := range []uint32{2 * (p.edge - 1), 2*(p.edge-1) + 1} {
		if r.entry[d] != noNode {
			list = append(list, d)
		}
	}
	return list
}

// begun is the weight of a directed edge up to a point on it, rest what is left.
func (r *Roads) begun(d uint32, p Point) hierarchy.Weight {
	if d&1 == 0 {
		return part(r.along[d/2], p.along)
	}
	return r.against[d/2] - part(r.against[d/2], p.along)
}

func (r *Roads) rest(d uint32, p Point) hierarchy.Weight { return r.weight(d) - r.begun(d, p) }

// onOneEdge puts in the drives that stay on one edge, which never come to its
// ends, and the zeros from a place to itself.
func (r *Roads) onOneEdge(from, to []Point, table []hierarchy.Weight) {
	next := make([]int32, len(to)) // targets on the same edge, as chains of places plus one
	first := make(map[uint32]int32, len(to))
	for j, p := range to {
		next[j] = first[p.edge]
		first[p.edge] = int32(j + 1)
	}
	for i, p := range from {
		if !p.OnRoad() {
			continue
		}
		for j := first[p.edge]; j > 0; j = next[j-1] {
			cell := &table[i*len(to)+int(j-1)]
			*cell = min(*cell, r.direct(p, to[j-1]))
		}
	}
}

// direct is the weight of the drive along the edge that both points lie on.
func (r *Roads) direct(p, q Point) hierarchy.Weight {
	if p.At == q.At {
		return 0
	}
	best := hierarchy.None
	for _, d := range r.directions(p) {
		if p.along == q.along || (d&1 == 0) == (p.along < q.along) {
			best = min(best, r.begun(d, q)-r.begun(d, p)+p.stub()+q.stub())
		}
	}
	return best
}
