package tile

import (
	"bytes"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geojson"

	"ebbline/dispatch/travel/osm"
)

type geoFeature = geojson.Feature

// invented is a small extract: two roads and a lake of two ways with an island.
func invented(t testing.TB) []byte {
	t.Helper()
	var file bytes.Buffer
	w := osm.NewWriter(&file, "an invented test", 0)
	for i, p := range [][2]int32{
		{330000000, -1150100000}, {330000000, -1150000000}, {330100000, -1150000000}, {330100000, -1150100000}, // the lake's corners
		{330040000, -1150060000}, {330040000, -1150040000}, {330060000, -1150050000}, // the island's
		{329990000, -1150110000}, {329990000, -1149990000}, {329990000, -1149900000}, // a road
	} {
		n := osm.Node{ID: int64(i + 1), Lat: p[0], Lon: p[1]}
		if i == 7 {
			n.Tags = osm.Tags{{Key: "place", Value: "town"}, {Key: "name", Value: "Test Town"}, {Key: "population", Value: "300"}}
		}
		w.Node(n)
	}
	road := osm.Tags{{Key: "highway", Value: "tertiary"}, {Key: "name", Value: "Lake Road"}}
	w.Way(osm.Way{ID: 1, Refs: []int64{1, 2, 3}})
	w.Way(osm.Way{ID: 2, Refs: []int64{1, 4, 3}})
	w.Way(osm.Way{ID: 3, Refs: []int64{5, 6, 7, 5}})
	w.Way(osm.Way{ID: 4, Refs: []int64{8, 9}, Tags: road})
	w.Way(osm.Way{ID: 5, Refs: []int64{10, 9}, Tags: road})
	w.Relation(osm.Relation{ID: 1, Members: []osm.Member{{Kind: osm.Ways, Ref: 1, Role: "outer"}, {Kind: osm.Ways, Ref: 2, Role: "outer"},
		{Kind: osm.Ways, Ref: 3, Role: "inner"}}, Tags: osm.Tags{{Key: "type", Value: "multipolygon"}, {Key: "natural", Value: "water"}, {Key: "name", Value: "Test Lake"}}})
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return file.Bytes()
}

func points(g orb.Geometry) []orb.Point {
	switch g := g.(type) {
	case orb.LineString:
		return g
	case orb.MultiLineString:
		var out []orb.Point
		for _, l := range g {
			out = append(out, l...)
		}
		return out
	}
	return nil
}
