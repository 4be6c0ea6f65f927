package travel

import "ebbline/dispatch/travel/hierarchy"

// components finds the strongly connected parts of a graph (Tarjan 1972, without
// recursion): each node's part and each part's number of nodes.
func components(nodes int, arcs []hierarchy.Arc) (part []uint32, sizes []int) {
	start := make([]uint32, nodes+1)
	for _, a := range arcs {
		start[a.Tail+1]++
	}
	for v := range nodes {
		start[v+1] += start[v]
	}
	heads, at := make([]uint32, len(arcs)), append([]uint32(nil), start...)
	for _, a := range arcs {
		heads[at[a.Tail]] = a.Head
		at[a.Tail]++
	}
	copy(at, start) // from now on: the next arc to look at
	part = make([]uint32, nodes)
	found, low := make([]uint32, nodes), make([]uint32, nodes) // 0: not yet found
	var open, trail []uint32
	count := uint32(0)
	for root := range uint32(nodes) {
		if found[root] != 0 {
			continue
		}
		trail = append(trail, root)
		for len(trail) > 0 {
			v := trail[len(trail)-1]
			if found[v] == 0 {
				count++
				found[v], low[v] = count, count
				open = append(open, v)
			}
			if at[v] < start[v+1] {
				u := heads[at[v]]
				at[v]++
				switch {
				case found[u] == 0:
					trail = append(trail, u)
				case found[u] != noNode:
					low[v] = min(low[v], found[u])
				}
				continue
			}
			trail = trail[:len(trail)-1]
			if len(trail) > 0 {
				up := trail[len(trail)-1]
				low[up] = min(low[up], low[v])
			}
			if low[v] != found[v] {
				continue
			}
			size := 0
			for u := noNode; u != v; size++ {
				u = open[len(open)-1]
				open = open[:len(open)-1]
				part[u] = uint32(len(sizes))
				found[u] = noNode // closed
			}
			sizes = append(sizes, size)
		}
	}
	return part, sizes
}
