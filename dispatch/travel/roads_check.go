package travel

import (
	"fmt"

	"ebbline/dispatch/travel/hierarchy"
)

// check finds what would lead outside of a list later on. A file whose checksums
// are right fails here only if another program wrote it.
func (r *Roads) check() error {
	edges, nodes, arcs := len(r.way), r.hierarchy.Nodes, len(r.tail)
	c := &checker{}
	c.same("ways", len(r.class), len(r.flags), len(r.name), len(r.ref))
	c.same("edges", edges, len(r.along), len(r.against))
	c.same("directed edges", 2*edges, len(r.entry))
	c.same("arcs", arcs, len(r.head))
	c.below("ways.name", r.name, len(r.names))
	c.below("ways.ref", r.ref, len(r.names))
	c.below("edges.way", r.way, len(r.class))
	c.rising("edges.point", r.point, edges, len(r.points), 2)
	c.rising("edges.arc", r.arc, 2*edges, arcs, 0)
	c.rising("grid.start", r.gridAt, len(r.gridKey), len(r.gridOf), 0)
	c.below("arcs.tail", r.tail, nodes)
	c.below("arcs.head", r.head, nodes)
	c.below("grid.edge", r.gridOf, edges)
	for _, p := range r.points {
		c.must(inWorld(p), "points has one outside of the world")
	}
	for _, class := range r.class {
		c.must(class < byte(Classes), "ways.class has a class that isn't known")
	}
	for d, v := range r.entry {
		c.must(v == noNode || int(v) < nodes, "edges.entry names no node")
		if v != noNode && d < 2*len(r.along) && d/2 < len(r.against) {
			w := r.weight(uint32(d))
			c.must(w > 0 && w < hierarchy.None, "an edge that may be used has no weight")
		}
	}
	c.halves(&r.hierarchy, arcs)
	return c.err
}

type checker struct{ err error }

func (c *checker) must(ok bool, why string) {
	if !ok && c.err == nil {
		c.err = fmt.Errorf("%w: %s", ErrDamaged, why)
	}
}

func (c *checker) same(what string, lengths ...int) {
	for _, n := range lengths {
		c.must(n == lengths[0], "the lists of "+what+" differ in length")
	}
}

func (c *checker) below(what string, list []uint32, most int) {
	for _, v := range list {
		c.must(uint64(v) < uint64(most), what+" points outside")
	}
}

// rising checks where lists begin, and that each has a least length.
func (c *checker) rising(what string, list []uint32, count, end, least int) {
	if len(list) != count+1 {
		c.must(false, what+" has another length")
		return
	}
	for i := range count {
		c.must(uint64(list[i])+uint64(least) <= uint64(list[i+1]), what+" falls")
	}
	c.must(list[0] == 0 && int(list[count]) == end, what+" does not end where its list does")
}

// halves checks that arcs lead up and that what they are made of lies lower, so
// that taking them apart ends.
func (c *checker) halves(h *hierarchy.Hierarchy, arcs int) {
	for name, half := range map[string]*hierarchy.Half{"up": &h.Up, "down": &h.Down} {
		c.rising(name+".start", half.Start, h.Nodes, len(half.Other), 0)
		c.same(name, len(half.Other), len(half.Weight), len(half.First), len(half.Second))
	}
	if c.err != nil {
		return
	}
	var lower []uint32 // ends of all arcs
	for _, half := range []*hierarchy.Half{&h.Up, &h.Down} {
		for v := range uint32(h.Nodes) {
			for range half.Start[v+1] - half.Start[v] {
				lower = append(lower, v)
			}
		}
	}
	ups := len(h.Up.Other)
	for i, v := range lower {
		half, a := &h.Up, i
		if i >= ups {
			half, a = &h.Down, i-ups
		}
		c.must(half.Other[a] > v && int(half.Other[a]) < h.Nodes, "an arc of the hierarchy does not lead up")
		c.must(half.Weight[a] < hierarchy.None, "an arc of the hierarchy has too great a weight")
		first, second := half.First[a], half.Second[a]
		if second == hierarchy.NoArc {
			c.must(int(first) < arcs, "an arc of the hierarchy is made of none")
			continue
		}
		ok := int(first) < len(lower) && int(second) < len(lower)
		c.must(ok && lower[first] < v && lower[second] < v, "an arc of the hierarchy is made of arcs above it")
	}
}
