// Package tile draws what a map shows of an extract: roads, water and places,
// as vector tiles of the open standard that version 2.1 of the Mapbox Vector
// Tile Specification describes
// (https://github.com/mapbox/vector-tile-spec/tree/master/2.1).
//
// While an extract is read a Collector takes what is wanted of it, and writes
// one section of the road file; Open reads that section, and Tile draws from it:
//
//	c := tile.NewCollector(tile.AttributionOf(source))
//	// travel.Features{Want: tile.Wants, Each: c.Add}
//	file.Add(tile.SectionName, c.Section())
//
//	m, err := tile.Open(section)
//	packed, err := m.Tile(12, 731, 1661)
//
// Lines and areas are kept once for each level of closeness (level.go), joined,
// thinned out and simplified for it, in whole units of its closest tiles; a tile
// is then cut out of them. Equal sections draw equal bytes.
//
// Layers and what their features carry:
//
//	roads    class, name, ref, oneway, link, private; lines
//	water    kind (lake, river, canal ...), name, dry; areas
//	streams  class, name, dry; lines
//	places   kind (city, town, village ...), name, rank; points
package tile
