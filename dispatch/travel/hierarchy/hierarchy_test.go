package hierarchy

import (
	"context"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// seedsOf makes places that touch up to three nodes each.
func seedsOf(t *rapid.T, rank []uint32, name string) (plain, ranked *Seeds) {
	plain, ranked = &Seeds{}, &Seeds{}
	for range rapid.IntRange(1, 19).Draw(t, name) {
		for range rapid.IntRange(1, 3).Draw(t, "seeds") {
			v := rapid.IntRange(0, len(rank)-1).Draw(t, "node")
			w := Weight(rapid.IntRange(0, 5).Draw(t, "weight"))
			plain.Add(uint32(v), w)
			ranked.Add(rank[v], w)
		}
		plain.End()
		ranked.End()
	}
	return plain, ranked
}

// On random graphs, with many equal weights, parallel arcs, loops, dead ends and
// parts that can't be reached, each cell equals Dijkstra's, and so does the sum
// over each unpacked path, whose arcs join up.
func TestManyEqualsDijkstra(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		nodes := rapid.IntRange(1, 40).Draw(t, "nodes")
		most := rapid.SampledFrom([]int{1, 3, 1000}).Draw(t, "most")
		arcs := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Arc {
			return Arc{
				uint32(rapid.IntRange(0, nodes-1).Draw(t, "tail")), uint32(rapid.IntRange(0, nodes-1).Draw(t, "head")),
				Join(uint32(rapid.IntRange(0, most).Draw(t, "ms")), uint32(rapid.IntRange(0, 2).Draw(t, "cm"))),
			}
		}), 0, 120).Draw(t, "arcs")
		h, rank, err := Build(context.Background(), nodes, arcs, nil)
		if err != nil {
			t.Fatal(err)
		}
		from, fromRanked := seedsOf(t, rank, "sources")
		to, toRanked := seedsOf(t, rank, "targets")
		table, err := h.Many(context.Background(), fromRanked, toRanked)
		if err != nil {
			t.Fatal(err)
		}
		g, row := NewPlain(nodes, arcs), make([]Weight, to.Len())
		for i := range from.Len() {
			g.From(from, i, to, row)
			for j, want := range row {
				if got := table[i*to.Len()+j]; got != want {
					t.Fatalf("%d to %d: %d, want %d", i, j, got, want)
				}
				checkPath(t, h, rank, arcs, fromRanked, toRanked, i, j, want)
			}
		}
	})
}

func checkPath(t *rapid.T, h *Hierarchy, rank []uint32, arcs []Arc, from, to *Seeds, i, j int, want Weight) {
	path, first, last, weight, ok := h.Path(from, to, i, j)
	if ok != (want < None) || weight != want {
		t.Fatalf("path %d to %d: %d, %v, want %d", i, j, weight, ok, want)
	}
	if !ok {
		return
	}
	at, sum := first, Weight(0)
	for _, k := range path {
		if rank[arcs[k].Tail] != at {
			t.Fatalf("path %d to %d breaks at arc %d", i, j, k)
		}
		at, sum = rank[arcs[k].Head], sum+arcs[k].Weight
	}
	if at != last {
		t.Fatalf("path %d to %d ends at %d, want %d", i, j, at, last)
	}
	least := func(s *Seeds, place int, v uint32) Weight {
		w := None
		for k := s.Start[place]; k < s.Start[place+1]; k++ {
			if s.Node[k] == v {
				w = min(w, s.Weight[k])
			}
		}
		return w
	}
	if sum += least(from, i, first) + least(to, j, last); sum != want {
		t.Fatalf("path %d to %d sums to %d, want %d", i, j, sum, want)
	}
}

// A grid of streets, where most least ways are not the only ones.
func TestGrid(t *testing.T) {
	const side = 40
	r := rand.New(rand.NewPCG(1, 2))
	var arcs []Arc
	for y := range uint32(side) {
		for x := range uint32(side) {
			v := y*side + x
			if x+1 < side {
				w := Join(1000+100*r.Uint32N(3), 1000)
				arcs = append(arcs, Arc{v, v + 1, w}, Arc{v + 1, v, w})
			}
			if y+1 < side {
				w := Join(1000+100*r.Uint32N(3), 1000)
				arcs = append(arcs, Arc{v, v + side, w}, Arc{v + side, v, w})
			}
		}
	}
	h, rank, err := Build(context.Background(), side*side, arcs, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d nodes, %d arcs, %d shortcuts", h.Nodes, len(arcs), h.Shortcuts)
	plain, ranked := &Seeds{}, &Seeds{}
	for v := range uint32(side * side) {
		plain.Add(v, 0)
		plain.End()
		ranked.Add(rank[v], 0)
		ranked.End()
	}
	table, err := h.Many(context.Background(), ranked, ranked)
	if err != nil {
		t.Fatal(err)
	}
	g, row := NewPlain(side*side, arcs), make([]Weight, side*side)
	for i := range plain.Len() {
		g.From(plain, i, plain, row)
		for j, want := range row {
			if got := table[i*len(row)+j]; got != want {
				t.Fatalf("%d to %d: %d, want %d", i, j, got, want)
			}
		}
	}
}

func TestStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, _, err := Build(ctx, 2, []Arc{{0, 1, 1}}, nil); err == nil {
		t.Error("built after its context ended")
	}
}
