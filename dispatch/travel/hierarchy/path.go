package hierarchy

import "slices"

// Path is the least way from one place to another as the graph's arcs in order
// of travel, with the seeds it begins and ends at; ok is false where there is
// none. Its weight is the one that Many answers.
func (h *Hierarchy) Path(from, to *Seeds, i, j int) (arcs []uint32, first, last uint32, weight Weight, ok bool) {
	up, down := newClimber(h.Nodes, &h.Up), newClimber(h.Nodes, &h.Down)
	up.from(from, i)
	down.from(to, j)
	weight = None
	var top uint32
	for _, v := range up.seen {
		if w := up.weight[v] + down.weight[v]; w < weight {
			weight, top = w, v
		}
	}
	if weight >= None {
		return nil, 0, 0, None, false
	}
	var climbed []uint32
	first = top
	for up.by[first] != NoArc {
		arc := up.by[first]
		climbed = append(climbed, arc)
		first = tailOf(&h.Up, arc)
	}
	slices.Reverse(climbed)
	for _, arc := range climbed {
		arcs = h.unpack(arc, arcs)
	}
	last = top
	for down.by[last] != NoArc {
		arc := down.by[last]
		arcs = h.unpack(uint32(len(h.Up.Other))+arc, arcs)
		last = tailOf(&h.Down, arc)
	}
	return arcs, first, last, weight, true
}

// tailOf is the lower end of an arc of a half.
func tailOf(half *Half, arc uint32) uint32 {
	after, _ := slices.BinarySearch(half.Start, arc+1) // the first node whose arcs begin later
	return uint32(after - 1)
}
