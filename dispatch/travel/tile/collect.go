package tile

import (
	"slices"
	"strconv"
	"strings"

	"ebbline/dispatch/travel"
	"ebbline/dispatch/travel/osm"
)

// Collector gathers what maps show of an extract.
type Collector struct {
	attribution string
	features    []feature
	places      []place
	south, west int32
	north, east int32
}

type place struct {
	class class
	name  string
	rank  int // the higher, the rather it is named
	at    pt
}

// OpenStreetMap is the attribution that extracts of it ask for, as
// https://www.openstreetmap.org/copyright has it.
const OpenStreetMap = "© OpenStreetMap contributors"

// AttributionOf is what maps of an extract must say. An extract whose source is
// said to be invented is nobody's data, and that is said then; all others are
// taken for OpenStreetMap's.
func AttributionOf(source string) string {
	if strings.Contains(strings.ToLower(source), "invented") {
		return strings.Clone(source)
	}
	return OpenStreetMap
}

// NewCollector begins an empty map with its attribution.
func NewCollector(attribution string) *Collector {
	return &Collector{attribution: attribution, south: 1<<31 - 1, west: 1<<31 - 1, north: -1 << 31, east: -1 << 31}
}

// Wants says whether an element of an extract belongs on the map: a place with
// a name, a road, a stream, water.
func Wants(kind osm.Kind, tags osm.Tags) bool {
	switch kind {
	case osm.Nodes:
		return placeClasses[tags.Get("place")] != 0 && tags.Get("name") != ""
	case osm.Ways:
		c, _ := wayOf(tags)
		return c != 0
	case osm.Relations:
		return areaOf(tags) != 0
	}
	return false
}

// Add takes an element that Wants; what it keeps of the element it copies.
func (c *Collector) Add(f travel.Feature) {
	name := strings.Clone(f.Tags.Get("name"))
	switch f.Kind {
	case osm.Nodes:
		people, _ := strconv.Atoi(f.Tags.Get("population"))
		if kind := placeClasses[f.Tags.Get("place")]; kind != 0 && len(f.Line) > 0 {
			c.places = append(c.places, place{class: kind, name: name, rank: min(max(people, 0), 1<<30), at: c.line(f.Line[:1])[0]})
		}
	case osm.Ways:
		kind, flags := wayOf(f.Tags)
		line := c.line(f.Line)
		switch {
		case kind == 0 || len(line) < 2:
		case classes[kind].layer != waterLayer:
			if o := f.Tags.Get("oneway"); o == "-1" || o == "reverse" {
				slices.Reverse(line) // lines run in the direction of driving
			}
			c.features = append(c.features, feature{class: kind, flags: flags, name: name, ref: strings.Clone(firstOf(f.Tags.Get("ref"))), lines: [][]pt{line}})
		case line[0] == line[len(line)-1] && len(line) > 3:
			c.features = append(c.features, feature{class: kind, flags: flags, name: name, lines: [][]pt{line[:len(line)-1]}})
		}
	case osm.Relations:
		c.area(f, name)
	}
}

// area takes water of several rings; each hole belongs to the outline around it.
func (c *Collector) area(f travel.Feature, name string) {
	a := feature{class: areaOf(f.Tags), name: name}
	if a.class == 0 {
		return
	}
	if f.Tags.Get("intermittent") == "yes" {
		a.flags = dry
	}
	from := len(c.features)
	for _, ring := range f.Outer {
		if line := c.line(ring); len(line) > 3 {
			a.lines = [][]pt{line[:len(line)-1]}
			c.features = append(c.features, a)
		}
	}
	for _, ring := range f.Inner {
		line := c.line(ring)
		if len(line) < 4 {
			continue
		}
		for i := range c.features[from:] {
			if o := &c.features[from+i]; inside(line[0], o.lines[0]) {
				o.lines = append(o.lines, line[:len(line)-1])
				break
			}
		}
	}
}

// line places points, and notes how far they reach.
func (c *Collector) line(points []travel.LatLon) []pt {
	out := make([]pt, len(points))
	for i, p := range points {
		c.south, c.north = min(c.south, p.Lat), max(c.north, p.Lat)
		c.west, c.east = min(c.west, p.Lon), max(c.east, p.Lon)
		out[i] = project(p.Lat, p.Lon)
	}
	return out
}

// firstOf is the first of several values.
func firstOf(s string) string {
	one, _, _ := strings.Cut(s, ";")
	return strings.TrimSpace(one)
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
