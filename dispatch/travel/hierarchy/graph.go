// Package hierarchy answers shortest paths on a directed graph many at a time: a
// contraction hierarchy (Geisberger, Sanders, Schultes & Delling 2008), and on it
// restricted sweeps for whole matrices (Delling, Goldberg & Werneck 2011).
//
// A weight is one number that holds two: the first counts, the second rides
// along in the low half and decides between equal firsts. Since adding numbers
// adds both halves and comparing them compares first, then second, the least
// weight between two nodes is unique, whichever way it is found.
package hierarchy

// Weight holds what is made least in its high 32 bits, here milliseconds, and
// what rides along in its low 32, here centimetres. Neither may pass 2^31 along
// a path: 24 days, 21,000 km.
type Weight uint64

// None is the weight between nodes that no path joins. Adding two weights up to
// None does not overflow.
const None Weight = 1 << 62

// Join makes a weight of its two parts.
func Join(ms, cm uint32) Weight { return Weight(ms)<<32 | Weight(cm) }

// Milliseconds is the high part.
func (w Weight) Milliseconds() int64 { return int64(w >> 32) }

// Centimetres is the low part.
func (w Weight) Centimetres() int64 { return int64(w & (1<<32 - 1)) }

// Arc is a one-way connection of nodes.
type Arc struct {
	Tail, Head uint32
	Weight     Weight
}

// NoArc stands where an arc has no second part.
const NoArc = ^uint32(0)

// Hierarchy is a graph whose nodes are numbered by rank, the least important
// first, with shortcuts: each least path climbs along Up and comes down along
// Down, with one highest node.
type Hierarchy struct {
	Nodes     int
	Shortcuts int
	Up        Half // arcs to higher nodes, at their tail
	Down      Half // arcs from higher nodes, at their head
}

// Half is one of the two directions as flat arrays: the arcs at node v are
// Start[v] to Start[v+1].
type Half struct {
	Start  []uint32
	Other  []uint32 // the arc's higher end
	Weight []Weight
	// What the arc is made of. Second is NoArc for an arc of the graph, and First
	// then its number there. Otherwise both are arcs of the hierarchy, in order of
	// travel, numbered through Up and then through Down.
	First, Second []uint32
}

// parts is what an arc of the hierarchy is made of.
func (h *Hierarchy) parts(arc uint32) (first, second uint32) {
	if up := uint32(len(h.Up.Other)); arc >= up {
		return h.Down.First[arc-up], h.Down.Second[arc-up]
	}
	return h.Up.First[arc], h.Up.Second[arc]
}

// unpack appends the graph's arcs that an arc of the hierarchy stands for, in
// order of travel.
func (h *Hierarchy) unpack(arc uint32, arcs []uint32) []uint32 {
	stack := []uint32{arc}
	for len(stack) > 0 {
		top := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		first, second := h.parts(top)
		if second == NoArc {
			arcs = append(arcs, first)
			continue
		}
		stack = append(stack, second, first)
	}
	return arcs
}
