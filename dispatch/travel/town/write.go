package town

import (
	"slices"
	"strconv"
)

// The elements of an extract. Tags keep their order.
type (
	tag  struct{ key, value string }
	node struct {
		id           int64
		latE7, lonE7 int64
		tags         []tag
	}
	way struct {
		id   int64
		refs []int64
		tags []tag
	}
	member struct {
		kind string // node, way
		ref  int64
		role string
	}
	relation struct {
		id      int64
		members []member
		tags    []tag
	}
)

// write turns the streets, houses and waters into elements, each kind by rising
// id.
func (b *builder) write() {
	t := b.town
	count := make([]int, len(b.net.at)) // ends of pieces at a node
	for _, s := range b.streets {
		for _, piece := range s.pieces {
			for i := range piece {
				count[piece[i]]++
			}
		}
	}
	for i, p := range b.net.at {
		if count[i] > 0 {
			t.nodes = append(t.nodes, node{id: int64(i + 1), latE7: p.latE7(), lonE7: p.lonE7()})
		}
	}
	next := int64(len(b.net.at) + 1)
	outlines := map[*point][]int64{}
	for _, w := range b.waters {
		for _, line := range append([][]point{w.outline}, w.islands...) {
			var refs []int64
			for _, p := range line {
				t.nodes = append(t.nodes, node{id: next, latE7: p.latE7(), lonE7: p.lonE7()})
				refs = append(refs, next)
				next++
			}
			outlines[&line[0]] = append(refs, refs[0])
		}
	}
	for _, h := range t.Houses {
		t.nodes = append(t.nodes, node{next, h.LatE7, h.LonE7, []tag{{"addr:city", Name}, {"addr:housenumber", strconv.Itoa(h.Number)},
			{"addr:postcode", h.Postcode}, {"addr:state", Region}, {"addr:street", h.Street}}})
		next++
	}
	for _, p := range places {
		t.nodes = append(t.nodes, node{next, p.at.latE7(), p.at.lonE7(), []tag{{"name", p.name}, {"place", p.kind}}})
		next++
	}
	turns := b.pickTurns()
	b.writeWays(turns)
	b.writeWaters(outlines)
	b.writeTurns(turns)
}

// places have names of their own.
var places = []struct {
	name, kind string
	at         point
}{
	{Name, "town", point{0, 0}},
	{"Saltbush Flats", "suburb", point{-4 * mileCM, 0}}, {"Lantern Bluff", "suburb", point{0, -2 * mileCM}},
	{"Upper Wells", "suburb", point{3 * mileCM / 2, 2 * mileCM}}, {"Bajada", "suburb", point{4 * mileCM, -mileCM}}, {"Old Wells", "neighbourhood", point{0, 3000}},
	{"Heron Island", "island", islandMid}, {"Pump House Four", "locality", point{705_000, 640_000}},
}

// splitAt parts a piece at some nodes in its middle.
func splitAt(piece []int, at map[int]bool) [][]int {
	var out [][]int
	begin := 0
	for i := 1; i+1 < len(piece); i++ {
		if at[piece[i]] {
			out = append(out, piece[begin:i+1])
			begin = i
		}
	}
	return append(out, piece[begin:])
}

// writeWays writes the streets, parted where a turn is forbidden and where a
// bridge begins or ends.
func (b *builder) writeWays(turns []turn) {
	at := map[int]bool{}
	for _, t := range turns {
		at[t.via] = true
	}
	id := int64(1)
	for _, s := range b.streets {
		for i, piece := range s.pieces {
			for _, nodes := range splitAt(piece, at) {
				w := way{id: id, tags: []tag{{"highway", s.class}}}
				if s.name != "" {
					w.tags = append(w.tags, tag{"name", s.name})
				}
				w.tags = append(w.tags, s.tags...)
				if s.wet[i] {
					w.tags = append(w.tags, tag{"bridge", "yes"})
				}
				for _, n := range nodes {
					w.refs = append(w.refs, int64(n+1))
				}
				b.town.ways = append(b.town.ways, w)
				id++
			}
		}
	}
}

// writeWaters writes outlines: a closed way, or a relation where islands lie in
// it.
func (b *builder) writeWaters(outlines map[*point][]int64) {
	t := b.town
	id := int64(len(t.ways) + 1)
	for _, w := range b.waters {
		named := append(slices.Clone(w.tags), tag{"name", w.name})
		if len(w.islands) == 0 {
			t.ways = append(t.ways, way{id, outlines[&w.outline[0]], named})
			id++
			continue
		}
		r := relation{id: int64(len(t.relations) + 1), tags: append(named, tag{"type", "multipolygon"})}
		for i, line := range append([][]point{w.outline}, w.islands...) {
			role := "outer"
			if i > 0 {
				role = "inner"
			}
			t.ways = append(t.ways, way{id: id, refs: outlines[&line[0]]})
			r.members = append(r.members, member{"way", id, role})
			id++
		}
		t.relations = append(t.relations, r)
	}
}
