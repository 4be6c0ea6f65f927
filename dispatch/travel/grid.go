package travel

import "slices"

// Cells are squares of 2^16 ten-millionths of a degree: 730 m from south to north.
const cellBits = 16

// cellOf numbers cells: row (from the south) in the high half of the number,
// column (from the west) in the low half.
func cellOf(row, column int32) uint32 {
	return uint32(row+1<<14)<<16 | uint32(column+1<<15)&0xffff
}

// grid lists which edges touch each cell. A piece may be put in a neighbour cell
// too; that costs a look.
func (n *net) grid() (keys, start, edges []uint32) {
	var pairs []uint64
	for e := range n.edges {
		line := n.points[n.edges[e].first : n.edges[e].last+1]
		for i := 1; i < len(line); i++ {
			pairs = addCells(pairs, line[i-1], line[i], uint64(e))
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

// addCells adds the cells of a straight piece, halved while it spans many, so
// that a long one across the grid does not fill its whole box.
func addCells(pairs []uint64, a, b LatLon, e uint64) []uint64 {
	south, north := min(a.Lat, b.Lat)>>cellBits, max(a.Lat, b.Lat)>>cellBits
	west, east := min(a.Lon, b.Lon)>>cellBits, max(a.Lon, b.Lon)>>cellBits
	if north-south > 1 || east-west > 1 {
		middle := LatLon{int32((int64(a.Lat) + int64(b.Lat)) / 2), int32((int64(a.Lon) + int64(b.Lon)) / 2)}
		return addCells(addCells(pairs, a, middle, e), middle, b, e)
	}
	for row := south; row <= north; row++ {
		for column := west; column <= east; column++ {
			pair := uint64(cellOf(row, column))<<32 | e
			if len(pairs) == 0 || pairs[len(pairs)-1] != pair {
				pairs = append(pairs, pair)
			}
		}
	}
	return pairs
}
