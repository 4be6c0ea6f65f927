package travel

import (
	"context"

	"ebbline/dispatch/travel/hierarchy"
)

// graph is the network with its turn restrictions: a node is a vertex together
// with a state of the bans, and an arc is a directed edge driven from such a
// node. Only the largest part in which every node reaches every other is kept.
type graph struct {
	net    *net
	nodeOf []uint32 // kept node -> node before; its length is the number of nodes
	arcs   []hierarchy.Arc
	edgeOf []uint32 // by arc: its directed edge
	// Arcs that lead out of the part, after which restrictions leave no way on: one
	// may still stop on their edge.
	lastTail, lastEdge []uint32
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

// keepLargest drops the nodes outside of the largest strongly connected part.
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
	kept := make([]uint32, nodes)
	for v := range nodes {
		kept[v] = noNode
		if part[v] == uint32(best) {
			kept[v] = uint32(len(g.nodeOf))
			g.nodeOf = append(g.nodeOf, uint32(v))
		}
	}
	used := make([]bool, len(g.entry))
	at := 0
	for i, a := range g.arcs {
		d := g.edgeOf[i]
		if kept[a.Tail] == noNode {
			continue
		}
		used[d] = true
		if kept[a.Head] == noNode {
			g.lastTail, g.lastEdge = append(g.lastTail, kept[a.Tail]), append(g.lastEdge, d)
			continue
		}
		g.arcs[at] = hierarchy.Arc{Tail: kept[a.Tail], Head: kept[a.Head], Weight: a.Weight}
		g.edgeOf[at] = d
		at++
	}
	g.arcs, g.edgeOf = g.arcs[:at], g.edgeOf[:at]
	for d, v := range g.entry {
		if v != noNode {
			g.entry[d] = kept[v]
		}
		if !used[d] {
			g.entry[d] = noNode
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
	for i, v := range g.lastTail {
		g.lastTail[i] = rank[v]
	}
	for d, v := range g.entry {
		if v != noNode {
			g.entry[d] = rank[v]
		}
	}
	return nil
}
