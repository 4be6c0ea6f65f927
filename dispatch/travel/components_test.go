package travel

import (
	"testing"

	"pgregory.net/rapid"

	"ebbline/dispatch/travel/hierarchy"
)

// Two nodes are in one part exactly if each reaches the other.
func TestComponents(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		nodes := rapid.IntRange(1, 12).Draw(t, "nodes")
		reach := make([][]bool, nodes)
		for v := range reach {
			reach[v] = make([]bool, nodes)
			reach[v][v] = true
		}
		var arcs []hierarchy.Arc
		for range rapid.IntRange(0, 20).Draw(t, "arcs") {
			a, b := rapid.IntRange(0, nodes-1).Draw(t, "a"), rapid.IntRange(0, nodes-1).Draw(t, "b")
			arcs = append(arcs, hierarchy.Arc{Tail: uint32(a), Head: uint32(b)})
			reach[a][b] = true
		}
		for k := range nodes {
			for i := range nodes {
				for j := range nodes {
					reach[i][j] = reach[i][j] || reach[i][k] && reach[k][j]
				}
			}
		}
		part, sizes := components(nodes, arcs)
		count := make([]int, len(sizes))
		for v := range nodes {
			count[part[v]]++
			for u := range nodes {
				if got, want := part[v] == part[u], reach[v][u] && reach[u][v]; got != want {
					t.Fatalf("%d and %d in one part: %v, want %v", v, u, got, want)
				}
			}
		}
		for p := range sizes {
			if sizes[p] != count[p] {
				t.Fatalf("part %d has %d nodes, want %d", p, sizes[p], count[p])
			}
		}
	})
}
