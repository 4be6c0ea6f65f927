package tile

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/mvt"
	"github.com/paulmach/orb/maptile"
	"github.com/paulmach/orb/planar"

	"ebbline/dispatch/travel"
	"ebbline/dispatch/travel/osm"
)

// extracts are OpenStreetMap's, ODbL 1.0, © OpenStreetMap contributors.
const extracts = "/work/shared/benchmarks/roads"

// collect reads an extract and lays its map down.
func collect(t testing.TB, data []byte) []byte {
	t.Helper()
	c := NewCollector("")
	_, _, err := travel.Build(context.Background(), bytes.NewReader(data), int64(len(data)), travel.Options{Features: travel.Features{
		Want: func(kind osm.Kind, tags osm.Tags) bool { return Wants(kind, tags) },
		Each: func(f travel.Feature) error { c.Add(f); return nil },
	}})
	if err != nil && !errors.Is(err, travel.ErrNoRoads) {
		t.Fatal(err)
	}
	return c.Section()
}

func open(t testing.TB, section []byte) *Map {
	t.Helper()
	m, err := Open(section)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// read unpacks a tile with the common decoder, which knows nothing of ours.
func read(t testing.TB, packed []byte) map[string]*mvt.Layer {
	t.Helper()
	out := map[string]*mvt.Layer{}
	if packed == nil {
		return out
	}
	layers, err := mvt.UnmarshalGzipped(packed)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range layers {
		if l.Version != 2 || l.Extent != 4096 {
			t.Errorf("layer %s has version %d and extent %d, want 2 and 4096", l.Name, l.Version, l.Extent)
		}
		out[l.Name] = l
	}
	return out
}

func has(l *mvt.Layer, key, value string) bool {
	return l != nil && slices.ContainsFunc(l.Features, func(f *geoFeature) bool { return f.Properties[key] == value })
}

func extract(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(extracts, name))
	if errors.Is(err, os.ErrNotExist) {
		t.Skip("the extracts are not on this machine")
	}
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// A county at three zooms: what a map of it holds there and what it must not.
// Which places and roads there are is OpenStreetMap's word of 2024-06-05.
func TestCountyTiles(t *testing.T) {
	m := open(t, collect(t, extract(t, "imperial-ca-lite.osm.pbf")))
	centre := orb.Point{-115.563051, 32.792000} // El Centro, as the extract has it
	at := func(z int) map[string]*mvt.Layer {
		n := maptile.At(centre, maptile.Zoom(z))
		packed, err := m.Tile(z, int(n.X), int(n.Y))
		if err != nil {
			t.Fatal(err)
		}
		return read(t, packed)
	}
	far, middle, near := at(8), at(12), at(16)
	for _, want := range []struct {
		name       string
		layer      *mvt.Layer
		key, value string
		there      bool
		whatFor    string
	}{
		{"8", far["roads"], "class", "motorway", true, "the interstate"},
		{"8", far["roads"], "ref", "I 8", true, "the interstate's number"},
		{"8", far["roads"], "class", "residential", false, "streets in front of houses"},
		{"8", far["places"], "name", "El Centro", true, "the city"},
		{"8", far["places"], "name", "Heber", false, "a village"},
		{"12", middle["roads"], "class", "residential", true, "streets"},
		{"12", middle["roads"], "class", "service", false, "driveways"},
		{"16", near["roads"], "class", "residential", true, "streets"},
	} {
		if got := has(want.layer, want.key, want.value); got != want.there {
			t.Errorf("zoom %s: %s (%s=%s) is there: %v, want %v", want.name, want.whatFor, want.key, want.value, got, want.there)
		}
	}
	for z, layers := range map[int]map[string]*mvt.Layer{8: far, 12: middle, 16: near} {
		for name, l := range layers {
			for _, f := range l.Features {
				b := f.Geometry.Bound()
				if b.Min[0] < -margin || b.Min[1] < -margin || b.Max[0] > extent+margin || b.Max[1] > extent+margin {
					t.Errorf("zoom %d: a feature of %s reaches to %v, further than the margin of %d", z, name, b, margin)
				}
			}
		}
	}
}

// The common decoder's projection says where on the globe a tile's point lies:
// an interstate's points must be the extract's, within a fifth of a metre and
// the rounding.
func TestPlacesOnTheGlobe(t *testing.T) {
	var file bytes.Buffer
	w := osm.NewWriter(&file, "an invented test", 0)
	line := []orb.Point{{-115.5631, 32.7920}, {-115.5602, 32.7921}, {-115.5581, 32.7940}}
	var refs []int64
	for i, p := range line {
		w.Node(osm.Node{ID: int64(i + 1), Lat: int32(p[1] * 1e7), Lon: int32(p[0] * 1e7)})
		refs = append(refs, int64(i+1))
	}
	w.Way(osm.Way{ID: 1, Refs: refs, Tags: osm.Tags{{Key: "highway", Value: "residential"}, {Key: "name", Value: "Test Way"}, {Key: "oneway", Value: "-1"}}})
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	m := open(t, collect(t, file.Bytes()))
	for _, z := range []int{12, 13, 14, 15, 16} {
		n := maptile.At(line[1], maptile.Zoom(z))
		packed, err := m.Tile(z, int(n.X), int(n.Y))
		if err != nil {
			t.Fatal(err)
		}
		layers, err := mvt.UnmarshalGzipped(packed)
		if err != nil {
			t.Fatal(err)
		}
		layers.ProjectToWGS84(n)
		f := layers[0].Features[0]
		if f.Properties["name"] != "Test Way" || f.Properties["oneway"] != true {
			t.Errorf("zoom %d: %v", z, f.Properties)
		}
		nearest := 1e9
		for _, p := range points(f.Geometry) {
			nearest = min(nearest, planar.Distance(p, line[1]))
		}
		unit := 360 / float64(int64(1)<<(z+12))
		if nearest > 1.5*unit {
			t.Errorf("zoom %d: the bend lies %.8f degrees off, want at most %.8f", z, nearest, 1.5*unit)
		}
		if ps := points(f.Geometry); z < 15 && ps[0][0] < ps[len(ps)-1][0] {
			t.Errorf("zoom %d: the line runs against the direction of driving", z)
		}
	}
}

func TestTileNumbers(t *testing.T) {
	m := open(t, collect(t, invented(t)))
	for _, c := range []struct {
		z, x, y int
		says    string
	}{
		{-1, 0, 0, "there is no such tile: zoom -1, want 0 to 16"},
		{17, 0, 0, "there is no such tile: zoom 17, want 0 to 16"},
		{3, 8, 0, "there is no such tile: x 8 at zoom 3, want 0 to 7"},
		{3, -1, 0, "there is no such tile: x -1 at zoom 3, want 0 to 7"},
		{3, 0, 8, "there is no such tile: y 8 at zoom 3, want 0 to 7"},
	} {
		_, err := m.Tile(c.z, c.x, c.y)
		if !errors.Is(err, ErrNoTile) || err.Error() != c.says {
			t.Errorf("%d/%d/%d: %v, want %q", c.z, c.x, c.y, err, c.says)
		}
	}
	if packed, err := m.Tile(16, 0, 0); packed != nil || err != nil {
		t.Errorf("a tile of the sea: %d bytes, %v, want none", len(packed), err)
	}
}

// Water of several outlines with an island, wound as the specification wants.
func TestLakeWithIsland(t *testing.T) {
	m := open(t, collect(t, invented(t)))
	n := maptile.At(orb.Point{-115.005, 33.005}, 13)
	packed, err := m.Tile(13, int(n.X), int(n.Y))
	if err != nil {
		t.Fatal(err)
	}
	water := read(t, packed)["water"]
	if water == nil || len(water.Features) != 1 {
		t.Fatalf("water: %+v, want one lake", water)
	}
	lake, ok := water.Features[0].Geometry.(orb.Polygon)
	if !ok || len(lake) != 2 {
		t.Fatalf("%#v, want an outline with one hole", water.Features[0].Geometry)
	}
	// y grows downwards, so the outline's area by orb's sign is the other way round.
	if lake[0].Orientation() != orb.CCW || lake[1].Orientation() != orb.CW {
		t.Errorf("outline %v, hole %v", lake[0].Orientation(), lake[1].Orientation())
	}
	if water.Features[0].Properties["name"] != "Test Lake" {
		t.Errorf("%v", water.Features[0].Properties)
	}
}

func TestSameBytes(t *testing.T) {
	data := invented(t)
	a, b := collect(t, data), collect(t, data)
	if !bytes.Equal(a, b) {
		t.Error("one extract gives two sections")
	}
	m, o := open(t, a), open(t, b)
	n := maptile.At(orb.Point{-115.005, 33.005}, 13)
	p, _ := m.Tile(13, int(n.X), int(n.Y))
	q, _ := o.Tile(13, int(n.X), int(n.Y))
	if len(p) == 0 || !bytes.Equal(p, q) {
		t.Errorf("one tile is drawn as %d and as %d bytes", len(p), len(q))
	}
}

// No tile of a county is too large, and drawing is quick. Up to zoom 13 all
// tiles, deeper a sample: what is shown does not grow there, only the tiles
// shrink.
func TestSizesAndTimes(t *testing.T) {
	m := open(t, collect(t, extract(t, "imperial-ca-lite.osm.pbf")))
	var took []time.Duration
	most, where := 0, [3]int{}
	for z, list := range m.Sample(400) {
		for _, n := range list {
			since := time.Now()
			packed, err := m.Tile(z, n[0], n[1])
			took = append(took, time.Since(since))
			if err != nil {
				t.Fatal(err)
			}
			if len(packed) > most {
				most, where = len(packed), [3]int{z, n[0], n[1]}
			}
		}
	}
	slices.Sort(took)
	t.Logf("%d tiles, median %v, p99 %v, slowest %v; the largest has %d bytes, at %v", len(took), took[len(took)/2], took[len(took)*99/100], took[len(took)-1], most, where)
	if most > MostBytes || most < 2000 {
		t.Errorf("the largest tile, %v, has %d bytes, want at most %d, and some content", where, most, MostBytes)
	}
}

func FuzzOpen(f *testing.F) {
	f.Add(collect(f, invented(f)))
	f.Add([]byte{})
	f.Add([]byte{1, 0, 0, 0, 0, 0, 1, 0, 0, 1, 16, 0})
	f.Fuzz(func(t *testing.T, data []byte) {
		m, err := Open(data)
		if err != nil {
			return
		}
		for _, n := range [][3]int{{0, 0, 0}, {13, 1478, 3297}, {16, 11828, 26380}} {
			if packed, err := m.Tile(n[0], n[1], n[2]); err == nil && packed != nil {
				r, err := gzip.NewReader(bytes.NewReader(packed))
				if err != nil {
					t.Fatal(err)
				}
				if _, err := io.Copy(io.Discard, r); err != nil {
					t.Fatal(err)
				}
			}
		}
	})
}

func TestForeignSection(t *testing.T) {
	whole := collect(t, invented(t))
	if _, err := Open(append([]byte{9}, whole[1:]...)); !errors.Is(err, ErrVersion) {
		t.Errorf("another version: %v", err)
	}
	for cut := range whole {
		if _, err := Open(whole[:cut]); err == nil {
			t.Fatalf("cut after %d of %d bytes it is read", cut, len(whole))
		}
	}
}

// Where too much lies in one tile, the least roads give way and the tile stays
// below the bound.
func TestTooMuch(t *testing.T) {
	var file bytes.Buffer
	w := osm.NewWriter(&file, "an invented test", 0)
	const n = 30_000
	at := func(i int) osm.Node {
		return osm.Node{ID: int64(i + 1), Lat: 331000000 + int32(i*7919%400_000), Lon: -1150100000 + int32(i*104729%400_000)}
	}
	for i := range n {
		w.Node(at(i))
	}
	for i := range n / 2 {
		class := "residential"
		if i == 0 {
			class = "primary"
		}
		w.Way(osm.Way{ID: int64(i + 1), Refs: []int64{int64(2*i + 1), int64(2*i + 2)},
			Tags: osm.Tags{{Key: "highway", Value: class}, {Key: "name", Value: fmt.Sprint("Street ", i*7919%n)}}})
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	m := open(t, collect(t, file.Bytes()))
	tile := maptile.At(orb.Point{-115.0, 33.11}, 12)
	packed, err := m.Tile(12, int(tile.X), int(tile.Y))
	if err != nil {
		t.Fatal(err)
	}
	roads := read(t, packed)["roads"]
	if len(packed) > MostBytes || !has(roads, "class", "primary") || has(roads, "class", "residential") {
		t.Errorf("%d bytes, primary %v, residential %v", len(packed), has(roads, "class", "primary"), has(roads, "class", "residential"))
	}
}

func TestAttribution(t *testing.T) {
	for source, want := range map[string]string{"": OpenStreetMap, "http://www.openstreetmap.org/api/0.6": OpenStreetMap, "Some Wells, an invented town": "Some Wells, an invented town"} {
		m := open(t, NewCollector(AttributionOf(source)).Section())
		if m.Attribution != want {
			t.Errorf("of source %q: %q, want %q", source, m.Attribution, want)
		}
	}
}
