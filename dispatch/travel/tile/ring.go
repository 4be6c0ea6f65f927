package tile

// lakeFeatures makes areas of water that several ways enclose. Outlines that
// the extract has only in part are left out: closing them would flood land.
func (c *Collector) lakeFeatures(place func([]int64) []pt) []feature {
	var out []feature
	for _, lake := range c.lakes {
		outer, inner := c.rings(lake.outer), c.rings(lake.inner)
		var areas []feature
		for _, nodes := range outer {
			if line := place(nodes); len(line) > 3 {
				areas = append(areas, feature{class: lake.class, flags: lake.flags, name: lake.name, lines: [][]pt{line[:len(line)-1]}})
			}
		}
		for _, nodes := range inner {
			line := place(nodes)
			if len(line) < 4 {
				continue
			}
			for i := range areas {
				if inside(line[0], areas[i].lines[0]) {
					areas[i].lines = append(areas[i].lines, line[:len(line)-1])
					break
				}
			}
		}
		out = append(out, areas...)
	}
	return out
}

// rings joins ways to closed rings of nodes; first and last are the same.
func (c *Collector) rings(ways []int64) [][]int64 {
	var open [][]int64
	for _, id := range ways {
		if nodes := c.parts[id]; len(nodes) > 1 {
			open = append(open, append([]int64(nil), nodes...))
		}
	}
	var out [][]int64
	for len(open) > 0 {
		ring := open[0]
		open = open[1:]
		for ring[0] != ring[len(ring)-1] {
			end, found := ring[len(ring)-1], false
			for i, next := range open {
				if next[len(next)-1] == end {
					reverse(next)
				}
				if next[0] == end {
					ring = append(ring, next[1:]...)
					open = append(open[:i], open[i+1:]...)
					found = true
					break
				}
			}
			if !found {
				break
			}
		}
		if len(ring) > 3 && ring[0] == ring[len(ring)-1] {
			out = append(out, ring)
		}
	}
	return out
}

// inside says whether a place lies in a ring, by how often a ray crosses it.
func inside(p pt, ring []pt) bool {
	in := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.y > p.y) != (b.y > p.y) {
			// Which side of the edge: exact in whole numbers.
			side := int64(b.x-a.x)*int64(p.y-a.y) - int64(p.x-a.x)*int64(b.y-a.y)
			if (side > 0) == (b.y > a.y) {
				in = !in
			}
		}
	}
	return in
}
