package travel

import (
	"context"

	"ebbline/dispatch/travel/hierarchy"
)

// graph is the network with its turn restrictions: a node is a vertex together
// with a state of the bans, and an arc is a directed edge driven from such a
// node. Kept are the largest part in which every node reaches every other, and
// what can be reached from there: one-way roads out of the extract, and copies of
// crossings from which restrictions leave no way on, where one may still stop.
type graph struct {
	net    *net
	nodeOf []uint32 // kept node -> node before; its length is the number of nodes
	arcs   []hierarchy.Arc
	edgeOf []uint32 // by arc: its directed edge
	// By directed edge: the node where one who begins on it arrives, or noNode where
	// the edge can't be used both to come and to leave.
	entry     []uint32
	hierarchy *hierarchy.Hierarchy
}

const noNode = ^uint32(0)

// expand joins the network and the bans.
func (n *net) expand(b *bans) *graph {
	g := &graph{net: n}
	states := uint32(len(b.last))
	node := func(d, state uint32) uint32 {
		if state == 0 {
			return n.head(d)
		}
		return uint32(n.vertices) + state - 1
	}
	add := func(tail, v, state uint32) {
		for _, d := range n.leaving(v) {
			if next, ok := b.step(state, d); ok {
				g.arcs = append(g.arcs, hierarchy.Arc{Tail: tail, Head: node(d, next), Weight: n.weight(d)})
				g.edgeOf = append(g.edgeOf, d)
			}
		}
	}
	for v := range uint32(n.vertices) {
		add(v, v, 0)
	}
	for state := uint32(1); state < states; state++ {
		if !b.whole[state] {
			add(uint32(n.vertices)+state-1, n.head(b.last[state]), state)
		}
	}
	g.entry = make([]uint32, 2*len(n.edges))
	for d := range g.entry {
		g.entry[d] = noNode
		if n.weight(uint32(d)) > 0 {
			if state, ok := b.step(0, uint32(d)); ok {
				g.entry[d] = node(uint32(d), state)
			}
		}
	}
	g.keepLargest(n.vertices + int(states) - 1)
	return g
}

// keepLargest drops what the largest strongly connected part does not reach, and
// lets places be on edges of that part only.
func (g *graph) keepLargest(nodes int) {
	part, sizes := components(nodes, g.arcs)
	best := 0
	for p := range sizes {
		if sizes[p] > sizes[best] {
			best = p
		}
	}
	if len(sizes) == 0 || sizes[best] < 2 {
		g.arcs, g.edgeOf = nil, nil
		return
	}
	reached := make([]bool, nodes)
	for v := range nodes {
		reached[v] = part[v] == uint32(best)
	}
	for more := true; more; { // few rounds: what lies outside is short
		more = false
		for _, a := range g.arcs {
			if reached[a.Tail] && !reached[a.Head] {
				reached[a.Head], more = true, true
			}
		}
	}
	kept := make([]uint32, nodes)
	for v := range nodes {
		if reached[v] {
			kept[v] = uint32(len(g.nodeOf))
			g.nodeOf = append(g.nodeOf, uint32(v))
		}
	}
	used := make([]bool, len(g.entry))
	at := 0
	for i, a := range g.arcs {
		if reached[a.Tail] {
			g.arcs[at] = hierarchy.Arc{Tail: kept[a.Tail], Head: kept[a.Head], Weight: a.Weight}
			g.edgeOf[at] = g.edgeOf[i]
			used[g.edgeOf[i]] = true
			at++
		}
	}
	g.arcs, g.edgeOf = g.arcs[:at], g.edgeOf[:at]
	for d, v := range g.entry {
		switch {
		case v == noNode:
		case !used[d] || part[v] != uint32(best):
			g.entry[d] = noNode
		default:
			g.entry[d] = kept[v]
		}
	}
}

// contract makes the hierarchy, and numbers nodes by rank.
func (g *graph) contract(ctx context.Context, progress func(string, int64, int64)) error {
	nodes := len(g.nodeOf)
	h, rank, err := hierarchy.Build(ctx, nodes, g.arcs, func(done int) { progress("hierarchy", int64(done), int64(nodes)) })
	if err != nil {
		return err
	}
	g.hierarchy = h
	for i := range g.arcs {
		g.arcs[i].Tail, g.arcs[i].Head = rank[g.arcs[i].Tail], rank[g.arcs[i].Head]
	}
	for d, v := range g.entry {
		if v != noNode {
			g.entry[d] = rank[v]
		}
	}
	return nil
}
