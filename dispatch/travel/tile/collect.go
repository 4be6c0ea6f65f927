package tile

import (
	"strconv"
	"strings"

	"ebbline/dispatch/travel/osm"
)

// Collector gathers what maps show while an extract is read: relations first,
// then ways, then nodes, each kind in the order of the file.
type Collector struct {
	attribution string
	ways        []taken
	lakes       []relation
	parts       map[int64][]int64 // nodes of ways that lakes are made of
	places      []place
}

// taken is a way that is shown.
type taken struct {
	class     class
	flags     uint8
	name, ref string
	nodes     []int64
}

// relation is water whose outline has several parts.
type relation struct {
	class        class
	flags        uint8
	name         string
	outer, inner []int64 // ways
}

type place struct {
	class    class
	name     string
	rank     int // the higher, the rather it is named
	lat, lon int32
}

// OpenStreetMap is the attribution that extracts of it ask for, as
// https://www.openstreetmap.org/copyright has it.
const OpenStreetMap = "© OpenStreetMap contributors"

// NewCollector begins an empty map. An extract whose source is said to be
// invented is nobody's data, and the map then says just that; all others are
// taken for OpenStreetMap's.
func NewCollector(h osm.Header) *Collector {
	c := &Collector{attribution: OpenStreetMap, parts: map[int64][]int64{}}
	if strings.Contains(strings.ToLower(h.Source), "invented") {
		c.attribution = strings.Clone(h.Source)
	}
	return c
}

// Relation takes water that several ways enclose.
func (c *Collector) Relation(r *osm.Relation) error {
	if r.Tags.Get("type") != "multipolygon" {
		return nil
	}
	lake := relation{class: areaOf(r.Tags), name: strings.Clone(r.Tags.Get("name"))}
	if lake.class == 0 {
		return nil
	}
	if r.Tags.Get("intermittent") == "yes" {
		lake.flags = dry
	}
	for _, m := range r.Members {
		if m.Kind != osm.Ways {
			continue
		}
		if m.Role == "inner" {
			lake.inner = append(lake.inner, m.Ref)
		} else {
			lake.outer = append(lake.outer, m.Ref)
		}
		c.parts[m.Ref] = nil
	}
	c.lakes = append(c.lakes, lake)
	return nil
}

// Way takes a road, a stream, or water.
func (c *Collector) Way(w *osm.Way) error {
	if len(w.Refs) < 2 {
		return nil
	}
	kind, flags := wayOf(w.Tags)
	_, part := c.parts[w.ID]
	if part || kind != 0 {
		nodes := append([]int64(nil), w.Refs...)
		if part {
			c.parts[w.ID] = nodes
		}
		if kind != 0 {
			c.ways = append(c.ways, taken{class: kind, flags: flags, name: strings.Clone(w.Tags.Get("name")),
				ref: strings.Clone(firstOf(w.Tags.Get("ref"))), nodes: nodes})
			if o := w.Tags.Get("oneway"); o == "-1" || o == "reverse" {
				// Lines run in the direction of driving.
				turned := &c.ways[len(c.ways)-1]
				turned.nodes = append([]int64(nil), nodes...)
				reverse(turned.nodes)
			}
		}
	}
	return nil
}

// firstOf is the first of several values.
func firstOf(s string) string {
	one, _, _ := strings.Cut(s, ";")
	return strings.TrimSpace(one)
}

// Node takes a place with a name.
func (c *Collector) Node(n *osm.Node) error {
	kind := placeClasses[n.Tags.Get("place")]
	name := n.Tags.Get("name")
	if kind == 0 || name == "" {
		return nil
	}
	people, _ := strconv.Atoi(n.Tags.Get("population"))
	c.places = append(c.places, place{class: kind, name: strings.Clone(name), rank: min(max(people, 0), 1<<30), lat: n.Lat, lon: n.Lon})
	return nil
}

// Nodes calls need with the id of every node whose place Section will ask for;
// with some more than once.
func (c *Collector) Nodes(need func(id int64)) {
	for i := range c.ways {
		for _, id := range c.ways[i].nodes {
			need(id)
		}
	}
	for _, nodes := range c.parts {
		for _, id := range nodes {
			need(id)
		}
	}
}

func reverse[T any](s []T) {
	for i, j := 0, len(s)-1; i < j; i, j = i+1, j-1 {
		s[i], s[j] = s[j], s[i]
	}
}
