package address

import (
	"strings"

	"ebbline/dispatch/travel/osm"
)

// Wants says whether an element of an extract belongs into the index: a node or
// a building with a house number, a road with a name, a place.
func Wants(kind osm.Kind, tags osm.Tags) bool {
	switch kind {
	case osm.Nodes:
		return tags.Get("addr:housenumber") != "" || tags.Get("place") != "" && tags.Get("name") != ""
	case osm.Ways:
		return tags.Get("addr:housenumber") != "" || isRoad(tags)
	}
	return false
}

func isRoad(tags osm.Tags) bool {
	switch tags.Get("highway") {
	case "", "proposed", "construction", "abandoned", "razed":
		return false
	}
	return tags.Get("name") != ""
}

// Add takes an element that Wants: a node with its place alone, a way with its
// points. Tags are copied.
func (b *Builder) Add(tags osm.Tags, line []Point) {
	if len(line) == 0 {
		return
	}
	if number := tags.Get("addr:housenumber"); number != "" {
		// Several numbers of one house stand for each of them.
		for one := range strings.FieldsFuncSeq(number, func(r rune) bool { return r == ';' || r == ',' }) {
			b.House(House{Number: strings.Clone(strings.TrimSpace(one)), Street: strings.Clone(tags.Get("addr:street")),
				City: strings.Clone(tags.Get("addr:city")), Postcode: strings.Clone(tags.Get("addr:postcode")), At: centre(line)})
		}
	}
	name := strings.Clone(tags.Get("name"))
	switch {
	case name == "":
	case tags.Get("place") != "":
		b.Place(name, strings.Clone(tags.Get("place")), centre(line))
	case isRoad(tags):
		b.Street(name, line)
	}
}

// centre is the middle of an outline's box.
func centre(line []Point) Point {
	low, high := line[0], line[0]
	for _, p := range line {
		low = Point{min(low.LatE7, p.LatE7), min(low.LonE7, p.LonE7)}
		high = Point{max(high.LatE7, p.LatE7), max(high.LonE7, p.LonE7)}
	}
	return Point{int32((int64(low.LatE7) + int64(high.LatE7)) / 2), int32((int64(low.LonE7) + int64(high.LonE7)) / 2)}
}
