package desk

import (
	"errors"
	"strings"
	"testing"

	"ebbline/dispatch/travel/tile"
	"ebbline/jobs"
)

// townDesk is a desk with the invented town's roads and nothing else.
func townDesk(t *testing.T) *Desk {
	t.Helper()
	_, roads := TownRoads(t)
	d := &Desk{roads: []*roadTable{{roads: roads}}}
	if err := d.openMaps(); err != nil {
		t.Fatal(err)
	}
	return d
}

func TestTilesOfTheTown(t *testing.T) {
	d := townDesk(t)
	sets, err := d.TileSets()
	if err != nil || len(sets) != 1 {
		t.Fatalf("%+v, %v", sets, err)
	}
	if s := sets[0]; !strings.Contains(s.Attribution, "an invented town") || s.MaxZoom != 16 || s.South >= s.North || s.West >= s.East || s.Version == "" {
		t.Errorf("%+v", s)
	}
	drawn := 0
	for z, list := range d.maps[0].Sample(40) {
		for _, at := range list {
			a, err := d.Tile(sets[0].Version, z, at[0], at[1])
			if err != nil {
				t.Fatal(err)
			}
			if len(a.Packed) > tile.MostBytes {
				t.Errorf("tile %d %v has %d bytes", z, at, len(a.Packed))
			}
			if len(a.Packed) > 0 {
				drawn++
			}
			if b, err := d.Tile("", z, at[0], at[1]); err != nil || b.Tag != a.Tag || len(a.Packed) > 0 && &b.Packed[0] != &a.Packed[0] {
				t.Errorf("tile %d %v is not kept: %v", z, at, err)
			}
		}
	}
	if drawn < 100 {
		t.Errorf("%d tiles have something on them", drawn)
	}
	var refusal *jobs.Error
	if _, err := d.Tile("another", 0, 0, 0); !errors.As(err, &refusal) || refusal.Code != jobs.CodeNotFound {
		t.Errorf("another version: %v", err)
	}
	for field, at := range map[string][3]int{"z": {17, 0, 0}, "x": {3, 8, 0}, "y": {3, 0, -1}} {
		if _, err := d.Tile("", at[0], at[1], at[2]); !errors.As(err, &refusal) || refusal.Code != jobs.CodeInvalid || refusal.Fields[0].Field != field {
			t.Errorf("%v: %v, want a fault of %s", at, err, field)
		}
	}
}

// What is kept stays within its bound, and the newest is kept.
func TestTilesKeptWithinBounds(t *testing.T) {
	m := &roadMap{kept: map[[3]int]Tile{}}
	packed := make([]byte, 90_000)
	for i := range 1000 {
		m.keep([3]int{16, i, 0}, Tile{Packed: packed})
	}
	if _, ok := m.kept[[3]int{16, 999, 0}]; !ok || m.bytes > mostTileBytes || len(m.kept) != len(m.order) || len(m.kept) < 300 {
		t.Errorf("%d tiles, %d bytes, want at most %d", len(m.kept), m.bytes, mostTileBytes)
	}
}

func TestNoRoadsSaysHow(t *testing.T) {
	d := &Desk{}
	for _, err := range []error{func() error { _, err := d.TileSets(); return err }(), func() error { _, err := d.Tile("", 0, 0, 0); return err }()} {
		var refusal *jobs.Error
		if !errors.As(err, &refusal) || refusal.Code != jobs.CodeNotFound || !strings.Contains(refusal.Text, "ebbline roads build") {
			t.Errorf("%v", err)
		}
	}
}
