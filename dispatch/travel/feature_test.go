package travel_test

import (
	"bytes"
	"errors"
	"slices"
	"testing"

	"ebbline/dispatch/travel"
	"ebbline/dispatch/travel/osm"
)

// Houses, ways and areas are handed on with where they are: an area's outer ring
// from two ways, one of them against its direction, an island in it, and a part
// that joins up with nothing left out.
func TestFeatures(t *testing.T) {
	m := square()
	m.node(100, 50, 50, "addr:housenumber", "12")
	m.node(101, 60, 60, "natural", "tree")
	for i, p := range [][2]float64{{1000, 0}, {1000, 500}, {1500, 500}, {1500, 0}, {1200, 200}, {1200, 300}, {1300, 300}} {
		m.node(200+int64(i), p[0], p[1])
	}
	bare := func(id int64, refs []int64, pairs ...string) {
		m.ways = append(m.ways, osm.Way{ID: id, Refs: refs, Tags: tags(pairs...)})
	}
	bare(50, []int64{200, 201, 202})
	bare(51, []int64{200, 203, 202})
	bare(52, []int64{204, 205, 206, 204})
	bare(53, []int64{204, 999})
	bare(54, []int64{1, 2, 3, 4, 1}, "building", "yes", "addr:housenumber", "14")
	m.relations = append(m.relations, osm.Relation{ID: 9, Tags: tags("type", "multipolygon", "natural", "water"), Members: []osm.Member{
		{Kind: osm.Ways, Ref: 50, Role: "outer"}, {Kind: osm.Ways, Ref: 52, Role: "inner"}, {Kind: osm.Ways, Ref: 51}, {Kind: osm.Ways, Ref: 53, Role: "outer"}, {Kind: osm.Ways, Ref: 777, Role: "outer"}}})
	data := m.bytes(t)
	var got []travel.Feature
	o := travel.Options{Features: travel.Features{
		Want: func(_ osm.Kind, tags osm.Tags) bool {
			return tags.Get("addr:housenumber") != "" || tags.Get("natural") == "water"
		},
		Each: func(f travel.Feature) error {
			f.Tags = slices.Clone(f.Tags)
			got = append(got, f)
			return nil
		},
	}}
	built(t, data, o)
	if len(got) != 3 {
		t.Fatalf("%d features, want 3: %+v", len(got), got)
	}
	if f := got[0]; f.Kind != osm.Nodes || f.ID != 100 || f.Tags.Get("addr:housenumber") != "12" || !slices.Equal(f.Line, []travel.LatLon{at(50, 50)}) {
		t.Errorf("house %+v", f)
	}
	if f := got[1]; f.Kind != osm.Ways || f.ID != 54 || len(f.Line) != 5 || f.Line[0] != at(0, 0) || f.Line[4] != at(0, 0) {
		t.Errorf("building %+v", f)
	}
	outer := []travel.LatLon{at(1000, 0), at(1000, 500), at(1500, 500), at(1500, 0), at(1000, 0)}
	inner := []travel.LatLon{at(1200, 200), at(1200, 300), at(1300, 300), at(1200, 200)}
	if f := got[2]; f.Kind != osm.Relations || len(f.Outer) != 1 || !slices.Equal(f.Outer[0], outer) || len(f.Inner) != 1 || !slices.Equal(f.Inner[0], inner) {
		t.Errorf("lake %+v, want %v without %v", f, outer, inner)
	}
	mine := errors.New("enough")
	o.Features.Each = func(travel.Feature) error { return mine }
	if _, _, err := travel.Build(t.Context(), bytes.NewReader(data), int64(len(data)), o); !errors.Is(err, mine) {
		t.Errorf("%v, want the error of Each", err)
	}
}

// An extract without roads that join up is refused in words.
func TestNoRoads(t *testing.T) {
	m := &made{}
	m.node(1, 0, 0)
	m.node(2, 0, 100)
	for name, with := range map[string]func(){"none": func() {}, "one that can't be left": func() { m.way(1, []int64{1, 2}, "oneway", "yes") }} {
		with()
		data := m.bytes(t)
		if _, _, err := travel.Build(t.Context(), bytes.NewReader(data), int64(len(data)), travel.Options{}); !errors.Is(err, travel.ErrNoRoads) {
			t.Errorf("%s: %v, want ErrNoRoads", name, err)
		}
	}
}
