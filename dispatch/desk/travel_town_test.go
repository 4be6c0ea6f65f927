package desk

import (
	"bytes"
	"sync"
	"testing"

	"ebbline/dispatch/travel"
	"ebbline/dispatch/travel/address"
	"ebbline/dispatch/travel/osm"
	"ebbline/dispatch/travel/tile"
	"ebbline/dispatch/travel/town"
)

// An invented town and its road file, for the tests of this package.
var raised struct {
	once  sync.Once
	town  *town.Town
	roads *travel.Roads
	err   error
}

// TownRoads answers an invented town and its road file.
func TownRoads(t *testing.T) (*town.Town, *travel.Roads) {
	t.Helper()
	raised.once.Do(func() {
		spec := town.Spec{Seed: 1, Houses: []town.Address{{Number: 953, Street: "Saltbush Drive"}, {Number: 12, Street: "Heron Island Loop"},
			{Number: 7, Street: "Terrace Lane"}, {Number: 1, Street: "Ironwood Spur"}}}
		if raised.town, raised.err = town.Make(spec); raised.err != nil {
			return
		}
		var extract, file bytes.Buffer
		if raised.err = raised.town.WritePBF(&extract); raised.err != nil {
			return
		}
		index, drawn := address.NewBuilder(), tile.NewCollector(tile.AttributionOf(town.Name+", an invented town"))
		b, _, err := travel.Build(t.Context(), bytes.NewReader(extract.Bytes()), int64(extract.Len()), travel.Options{Features: travel.Features{
			Want: func(kind osm.Kind, tags osm.Tags) bool { return address.Wants(kind, tags) || tile.Wants(kind, tags) },
			Each: func(f travel.Feature) error {
				if tile.Wants(f.Kind, f.Tags) {
					drawn.Add(f)
				}
				if !address.Wants(f.Kind, f.Tags) {
					return nil
				}
				var line []address.Point
				for _, p := range f.Line {
					line = append(line, address.Point{LatE7: p.Lat, LonE7: p.Lon})
				}
				if f.Kind == osm.Nodes || f.Kind == osm.Ways {
					index.Add(f.Tags, line)
				}
				return nil
			},
		}})
		if raised.err = err; err != nil {
			return
		}
		b.Add(address.SectionName, index.Encode())
		b.Add(tile.SectionName, drawn.Section())
		if _, raised.err = b.WriteTo(&file); raised.err == nil {
			raised.roads, raised.err = travel.Load(file.Bytes())
		}
	})
	if raised.err != nil {
		t.Fatal(raised.err)
	}
	return raised.town, raised.roads
}
