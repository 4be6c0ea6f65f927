package travel

import "slices"

// Cells are squares of 2^16 ten-millionths of a degree: 730 m from south to north.
const cellBits = 16

// cellOf numbers cells: row (from the south) in the high half of the number,
// column (from the west) in the low half.
func cellOf(row, column int32) uint32 {
	return uint32(row+1<<14)<<16 | uint32(column+1<<15)&0xffff
}

// grid lists which edges touch each cell's box around their pieces.
func (n *net) grid() (keys, start, edges []uint32) {
	var pairs []uint64
	for e := range n.edges {
		begin := len(pairs)
		line := n.points[n.edges[e].first : n.edges[e].last+1]
		for i := 1; i < len(line); i++ {
			a, b := line[i-1], line[i]
			for row := min(a.Lat, b.Lat) >> cellBits; row <= max(a.Lat, b.Lat)>>cellBits; row++ {
				for column := min(a.Lon, b.Lon) >> cellBits; column <= max(a.Lon, b.Lon)>>cellBits; column++ {
					pair := uint64(cellOf(row, column))<<32 | uint64(e)
					if !slices.Contains(pairs[begin:][max(0, len(pairs)-begin-4):], pair) {
						pairs = append(pairs, pair)
					}
				}
			}
		}
	}
	slices.Sort(pairs)
	for _, pair := range slices.Compact(pairs) {
		if key := uint32(pair >> 32); len(keys) == 0 || keys[len(keys)-1] != key {
			keys, start = append(keys, key), append(start, uint32(len(edges)))
		}
		edges = append(edges, uint32(pair))
	}
	return keys, append(start, uint32(len(edges))), edges
}
