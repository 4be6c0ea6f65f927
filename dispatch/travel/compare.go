package travel

import (
	"context"
	"math/rand/v2"

	"ebbline/dispatch/travel/hierarchy"
)

// Scatter answers points on roads drawn by a seed: edges by chance, and places up
// to 30 m beside them. They stand for customers wherever a file's quickness or
// truth is measured.
func (r *Roads) Scatter(count int, seed uint64) []Point {
	var able []uint32
	for e := range uint32(len(r.way)) {
		if r.stoppable(e) {
			able = append(able, e)
		}
	}
	if len(able) == 0 {
		return nil
	}
	random := rand.New(rand.NewPCG(seed, 1))
	points := make([]Point, 0, count)
	for range count * 10 { // beside a crossing another edge may be nearer; any is fine
		line := r.line(able[random.IntN(len(able))])
		at := line[random.IntN(len(line))]
		p, _, ok := r.Snap(at.Lat+random.Int32N(5400)-2700, at.Lon+random.Int32N(5400)-2700)
		if ok {
			points = append(points, p)
		}
		if len(points) == count {
			break
		}
	}
	return points
}

// Compare answers how many drives between points, of how many, differ from what
// Dijkstra's algorithm finds on the roads without a hierarchy, in time or length.
func (r *Roads) Compare(ctx context.Context, from, to []Point) (cells, mismatches int, err error) {
	table, err := r.weights(ctx, from, to)
	if err != nil {
		return 0, 0, err
	}
	plain := hierarchy.NewPlain(r.hierarchy.Nodes, r.plainArcs())
	leaving, reaching := r.leaving(from), r.reaching(to)
	row := make([]hierarchy.Weight, len(to))
	for i := range from {
		if err := ctx.Err(); err != nil {
			return cells, mismatches, err
		}
		plain.From(leaving, i, reaching, row)
		r.onOneEdge(from[i:i+1], to, row)
		for j, want := range row {
			cells++
			if table[i*len(to)+j] != want {
				mismatches++
			}
		}
	}
	return cells, mismatches, nil
}

// plainArcs are the roads' arcs.
func (r *Roads) plainArcs() []hierarchy.Arc {
	arcs := make([]hierarchy.Arc, 0, len(r.tail))
	for d := range uint32(len(r.entry)) {
		for a := r.arc[d]; a < r.arc[d+1]; a++ {
			arcs = append(arcs, hierarchy.Arc{Tail: r.tail[a], Head: r.head[a], Weight: r.weight(d)})
		}
	}
	return arcs
}
