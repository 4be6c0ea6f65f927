package travel

import (
	"context"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"ebbline/dispatch/travel/hierarchy"
)

// On random networks with random banned paths over two to four edges, weights
// between all edges equal those of a search that remembers the edges driven
// last, and looks for banned paths in them one by one.
func TestBansEqualSearchWithMemory(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, paths := drawNet(t)
		b := newBans(n)
		for _, p := range paths {
			b.forbid(p)
		}
		b.link()
		g := n.expand(b)
		if len(g.nodeOf) == 0 {
			return
		}
		if err := g.contract(context.Background(), func(string, int64, int64) {}); err != nil {
			t.Fatal(err)
		}
		// From the beginning of one directed edge to the end of another.
		var able []uint32
		from, to := &hierarchy.Seeds{}, &hierarchy.Seeds{}
		for d, v := range g.entry {
			if v == noNode {
				continue
			}
			able = append(able, uint32(d))
			from.Add(v, n.weight(uint32(d)))
			from.End()
			for i, a := range g.arcs {
				if g.edgeOf[i] == uint32(d) {
					to.Add(a.Tail, n.weight(uint32(d)))
				}
			}
			to.End()
		}
		table, err := g.hierarchy.Many(context.Background(), from, to)
		if err != nil {
			t.Fatal(err)
		}
		for i, first := range able {
			want := searchWithMemory(n, paths, first)
			for j, last := range able {
				w := want[last]
				if first == last {
					continue // the search stands on it already
				}
				if got := table[i*len(able)+j]; got != w {
					t.Fatalf("edge %d to %d: %d, want %d; banned %v", first, last, got, w, paths)
				}
			}
		}
	})
}

// drawNet makes a network and banned paths that can be driven.
func drawNet(t *rapid.T) (*net, []turnPath) {
	n := &net{vertices: rapid.IntRange(2, 6).Draw(t, "vertices")}
	for range rapid.IntRange(2, 10).Draw(t, "edges") {
		e := edge{from: uint32(rapid.IntRange(0, n.vertices-1).Draw(t, "from")), to: uint32(rapid.IntRange(0, n.vertices-1).Draw(t, "to"))}
		e.along = hierarchy.Weight(rapid.IntRange(1, 9).Draw(t, "along"))
		if rapid.IntRange(0, 3).Draw(t, "both") > 0 {
			e.against = e.along
		}
		n.edges = append(n.edges, e)
	}
	n.listLeaving()
	var paths []turnPath
	for range rapid.IntRange(0, 6).Draw(t, "bans") {
		path := turnPath{rapid.SampledFrom(n.out).Draw(t, "first")}
		for range rapid.IntRange(1, 3).Draw(t, "more") {
			if next := n.leaving(n.head(path[len(path)-1])); len(next) > 0 {
				path = append(path, rapid.SampledFrom(next).Draw(t, "next"))
			}
		}
		if len(path) > 1 {
			paths = append(paths, path)
		}
	}
	return n, paths
}

// searchWithMemory answers the least weight of driving from the beginning of an
// edge to the end of each other. Its states are the last three edges driven.
func searchWithMemory(n *net, paths []turnPath, first uint32) map[uint32]hierarchy.Weight {
	type memory [3]uint32
	const nothing = noNode
	begin := memory{nothing, nothing, first}
	best := map[memory]hierarchy.Weight{begin: n.weight(first)}
	edges := map[uint32]hierarchy.Weight{}
	for d := range uint32(2 * len(n.edges)) {
		edges[d] = hierarchy.None
	}
	for queue := []memory{begin}; len(queue) > 0; queue = queue[1:] { // until nothing gets better
		at := queue[0]
		w := best[at]
		edges[at[2]] = min(edges[at[2]], w)
		for _, d := range n.leaving(n.head(at[2])) {
			driven := []uint32{at[0], at[1], at[2], d}
			banned := slices.ContainsFunc(paths, func(p turnPath) bool { return slices.Equal(p, driven[4-len(p):]) })
			next := memory{at[1], at[2], d}
			if have, ok := best[next]; !banned && (!ok || w+n.weight(d) < have) {
				best[next] = w + n.weight(d)
				queue = append(queue, next)
			}
		}
	}
	return edges
}
