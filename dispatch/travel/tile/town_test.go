package tile

import (
	"bytes"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/maptile"

	invent "ebbline/dispatch/travel/town"
)

// The invented town at three zooms, in whatever tiles it lies: what is on the map
// there and what is not yet. All tiles stay below the bound, and one town is
// always drawn as the same bytes.
func TestTownTiles(t *testing.T) {
	made, err := invent.Make(invent.Spec{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	var file bytes.Buffer
	if err := made.WritePBF(&file); err != nil {
		t.Fatal(err)
	}
	m, again := open(t, collect(t, file.Bytes())), open(t, collect(t, file.Bytes()))
	type on struct{ layer, key, value string }
	seen := map[int]map[on]bool{8: {}, 12: {}, 16: {}}
	corner := func(z int, lat, lon int32) maptile.Tile {
		return maptile.At(orb.Point{float64(lon) / 1e7, float64(lat) / 1e7}, maptile.Zoom(z))
	}
	for z := range MaxZoom + 1 {
		low, high := corner(z, m.South, m.West), corner(z, m.North, m.East)
		for x := low.X; x <= high.X; x++ {
			for y := high.Y; y <= low.Y; y++ {
				if seen[z] == nil && (x+y)%7 != 0 {
					continue
				}
				packed, err := m.Tile(z, int(x), int(y))
				if err != nil {
					t.Fatal(err)
				}
				if other, _ := again.Tile(z, int(x), int(y)); !bytes.Equal(packed, other) || len(packed) > MostBytes {
					t.Errorf("tile %d/%d/%d has %d bytes, drawn again %d", z, x, y, len(packed), len(other))
				}
				for name, l := range read(t, packed) {
					for _, f := range l.Features {
						for key, value := range f.Properties {
							if text, ok := value.(string); ok && seen[z] != nil {
								seen[z][on{name, key, text}] = true
							}
						}
					}
				}
			}
		}
	}
	for _, c := range []struct {
		z     int
		what  on
		there bool
	}{
		{8, on{"places", "name", invent.Name}, true},
		{8, on{"roads", "class", "motorway"}, true},
		{8, on{"roads", "class", "residential"}, false},
		{8, on{"roads", "name", "Ironwood Spur"}, false},
		{12, on{"roads", "class", "residential"}, true},
		{12, on{"roads", "class", "service"}, false},
		{12, on{"water", "name", "Owl Wash"}, true},
		{16, on{"roads", "name", "Ironwood Spur"}, true},
		{16, on{"roads", "class", "service"}, true},
		{16, on{"water", "kind", "lake"}, true},
	} {
		if seen[c.z][c.what] != c.there {
			t.Errorf("zoom %d, %v: there %t, want %t", c.z, c.what, !c.there, c.there)
		}
	}
}
