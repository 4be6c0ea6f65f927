package travel_test

import (
	"bytes"
	"math"
	"slices"
	"testing"

	"ebbline/dispatch/travel"
	"ebbline/dispatch/travel/osm"
)

// made is a map made by hand: places in metres north and east of 33 N, 115 W.
type made struct {
	nodes     []osm.Node
	ways      []osm.Way
	relations []osm.Relation
}

func at(north, east float64) travel.LatLon {
	const metre = 1 / (6_371_008.8 * math.Pi / 180 / 1e7)
	return travel.LatLon{
		Lat: 330_000_000 + int32(math.Round(north*metre)),
		Lon: -1_150_000_000 + int32(math.Round(east*metre/math.Cos(33*math.Pi/180))),
	}
}

func tags(pairs ...string) (list osm.Tags) {
	for i := 0; i+1 < len(pairs); i += 2 {
		list = append(list, osm.Tag{Key: pairs[i], Value: pairs[i+1]})
	}
	return list
}

func (m *made) node(id int64, north, east float64, pairs ...string) {
	p := at(north, east)
	m.nodes = append(m.nodes, osm.Node{ID: id, Lat: p.Lat, Lon: p.Lon, Tags: tags(pairs...)})
}

// way is a road of 36 km/h, 10 m a second.
func (m *made) way(id int64, refs []int64, pairs ...string) {
	m.ways = append(m.ways, osm.Way{ID: id, Refs: refs, Tags: append(tags(pairs...), tags("highway", "residential", "maxspeed", "36")...)})
}

// turn is a restriction over a node, or over ways if via is negative.
func (m *made) turn(kind string, from []int64, via int64, to []int64, pairs ...string) {
	r := osm.Relation{ID: int64(len(m.relations) + 1), Tags: append(tags("type", "restriction", "restriction", kind), tags(pairs...)...)}
	if kind == "" {
		r.Tags = append(tags("type", "restriction"), tags(pairs...)...)
	}
	for _, w := range from {
		r.Members = append(r.Members, osm.Member{Kind: osm.Ways, Ref: w, Role: "from"})
	}
	member := osm.Member{Kind: osm.Nodes, Ref: via, Role: "via"}
	if via < 0 {
		member = osm.Member{Kind: osm.Ways, Ref: -via, Role: "via"}
	}
	r.Members = append(r.Members, member)
	for _, w := range to {
		r.Members = append(r.Members, osm.Member{Kind: osm.Ways, Ref: w, Role: "to"})
	}
	m.relations = append(m.relations, r)
}

func (m *made) bytes(t testing.TB) []byte {
	t.Helper()
	var out bytes.Buffer
	w := osm.NewWriter(&out, "a map made by hand", 0)
	slices.SortFunc(m.nodes, func(a, b osm.Node) int { return int(a.ID - b.ID) })
	slices.SortFunc(m.ways, func(a, b osm.Way) int { return int(a.ID - b.ID) })
	for _, n := range m.nodes {
		w.Node(n)
	}
	for _, way := range m.ways {
		w.Way(way)
	}
	for _, r := range m.relations {
		w.Relation(r)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func snap(t testing.TB, roads *travel.Roads, north, east float64) travel.Point {
	t.Helper()
	p := at(north, east)
	point, _, ok := roads.Snap(p.Lat, p.Lon)
	if !ok {
		t.Fatalf("no road near %v north, %v east", north, east)
	}
	return point
}

// drive is the metres and seconds of a drive.
func drive(t testing.TB, roads *travel.Roads, from, to travel.Point) (metres, seconds int64) {
	t.Helper()
	table, err := roads.Row(t.Context(), from, []travel.Point{to})
	if err != nil {
		t.Fatal(err)
	}
	return table.Metres[0], table.Seconds[0]
}
