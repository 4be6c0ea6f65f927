package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ebbline/dispatch/travel"
	"ebbline/dispatch/travel/town"
)

// townExtract writes the invented town as an extract.
func townExtract(t *testing.T) string {
	t.Helper()
	made, err := town.Make(town.Spec{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := made.WritePBF(&out); err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(t.TempDir(), "town.osm.pbf")
	if err := os.WriteFile(name, out.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}

// A road file is built and measured, for people and for programs.
func TestRoadsBuildAndMeasure(t *testing.T) {
	extract := townExtract(t)
	ebbline(t, nil, "", "roads", "build", extract).want(t, exitDone, "town.roads is ready", "vertices", "turn restrictions kept")
	file := strings.TrimSuffix(extract, ".osm.pbf") + ".roads"
	again := filepath.Join(t.TempDir(), "again.roads")
	got := ebbline(t, nil, "", "roads", "build", extract, "-o", again, "--json")
	got.want(t, exitDone)
	mustHave(t, got.out, "vertices", "edges", "shortcuts", "cpu_seconds", "peak_mb", "bytes")
	a, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if b, err := os.ReadFile(again); err != nil || !bytes.Equal(a, b) {
		t.Errorf("the same extract made another file (%v)", err)
	}
	if parts, _ := filepath.Glob(file + ".part"); len(parts) > 0 {
		t.Errorf("left behind: %v", parts)
	}
	ebbline(t, nil, "", "roads", "measure", file, "--cells=2000").want(t, exitDone, "0 of 2000", "400 x 400")
	got = ebbline(t, nil, "", "roads", "measure", file, "--json", "--cells=2000")
	got.want(t, exitDone, `"mismatches": 0`)
	mustHave(t, got.out, "load_ms", "matrix400_cpu_ms", "matrix2000_cpu_ms", "tile_p99_ms", "tile_max_kb", "mismatches")
}

// mustHave fails unless a JSON object has the keys, none of them null.
func mustHave(t *testing.T, text string, keys ...string) {
	t.Helper()
	var object map[string]any
	if err := json.Unmarshal([]byte(text), &object); err != nil {
		t.Fatalf("no JSON: %v\n%s", err, text)
	}
	for _, key := range keys {
		if object[key] == nil {
			t.Errorf("no %q in %s", key, text)
		}
	}
}

// What is no road file, and what is no extract, is refused by its name, and an
// older road file of that name stays.
func TestRoadsRefused(t *testing.T) {
	extract := townExtract(t)
	whole, err := os.ReadFile(extract)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	put := func(name string, data []byte) string {
		name = filepath.Join(dir, name)
		if err := os.WriteFile(name, data, 0o600); err != nil {
			t.Fatal(err)
		}
		return name
	}
	old := put("old.roads", []byte("old"))
	for name, c := range map[string]struct {
		data []byte
		says string
	}{
		"empty.osm.pbf": {nil, "the file is empty"},
		"text.osm.pbf":  {[]byte("<osm>this is another form</osm>"), "this is no OpenStreetMap extract"},
		"cut.osm.pbf":   {whole[:len(whole)*2/3], "the extract is cut short"},
	} {
		ebbline(t, nil, "", "roads", "build", put(name, c.data), "-o", old).want(t, exitCannot, name, c.says)
		if text, err := os.ReadFile(old); err != nil || string(text) != "old" {
			t.Errorf("%s: the older file is %q, %v", name, text, err)
		}
	}
	ebbline(t, nil, "", "roads", "build", extract, "-o", filepath.Join(dir, "good.roads")).want(t, exitDone)
	good, err := os.ReadFile(filepath.Join(dir, "good.roads"))
	if err != nil {
		t.Fatal(err)
	}
	damaged := slices.Clone(good)
	damaged[len(damaged)/2] ^= 1
	for name, c := range map[string]struct {
		data []byte
		says string
	}{
		"empty.roads":   {nil, "the file is empty"},
		"foreign.roads": {whole, "this is no road file"},
		"cut.roads":     {good[:len(good)-1], "cut short"},
		"damaged.roads": {damaged, "damaged"},
	} {
		ebbline(t, nil, "", "roads", "measure", put(name, c.data)).want(t, exitCannot, name, c.says)
	}
	ebbline(t, nil, "", "roads", "measure", filepath.Join(dir, "none.roads")).want(t, exitCannot, "none.roads")
	for _, args := range [][]string{{"--box=1,2,3"}, {"--box=33,-115,32,-114"}, {"--box=0,0,91,1"}, {"--box=NaN,0,1,1"}, {"--box=0,0,1,1", "--within=x"}, {"-o", extract}} {
		ebbline(t, nil, "", append([]string{"roads", "build", extract}, args...)...).want(t, exitWrongUse)
	}
}

// GeoJSON as RFC 7946 has it: the polygon with a hole is its own example (3.1.6
// and appendix A.3), scaled to whole degrees.
func TestGeoJSON(t *testing.T) {
	const withHole = `{"type":"Polygon","coordinates":[[[100,0],[101,0],[101,1],[100,1],[100,0]],[[100.8,0.8],[100.8,0.2],[100.2,0.2],[100.2,0.8],[100.8,0.8]]]}`
	for name, text := range map[string]string{
		"polygon":    withHole,
		"feature":    `{"type":"Feature","properties":{},"geometry":` + withHole + `}`,
		"collection": `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":` + withHole + `}]}`,
		"geometries": `{"type":"GeometryCollection","geometries":[` + withHole + `]}`,
	} {
		rings, err := geoJSONRings([]byte(text))
		if err != nil {
			t.Errorf("%s: %v", name, err)
		}
		for p, want := range map[travel.LatLon]bool{
			{Lat: 1_000_000, Lon: 1_001_000_000}: true, {Lat: 5_000_000, Lon: 1_005_000_000}: false,
			{Lat: 9_000_000, Lon: 1_005_000_000}: true, {Lat: 5_000_000, Lon: 999_000_000}: false, {Lat: 11_000_000, Lon: 1_005_000_000}: false,
		} {
			if got := rings.Inside(p); got != want {
				t.Errorf("%s: %v inside %v, want %v", name, p, got, want)
			}
		}
	}
	for _, text := range []string{"", "{}", `{"type":"Point","coordinates":[1,2]}`, `{"type":"Polygon","coordinates":[[[200,0],[1,1],[2,2]]]}`,
		`{"type":"Polygon","coordinates":[[[1],[2],[3]]]}`, `{"type":"Polygon","coordinates":"here"}`} {
		if _, err := geoJSONRings([]byte(text)); err == nil {
			t.Errorf("%s: no error", text)
		}
	}
}

// A folder that is named and has no road file is refused; the default one may be
// empty or absent.
func TestRoadsFolderWithoutFiles(t *testing.T) {
	dir := t.TempDir()
	if _, err := (config{Roads: dir}).loadRoads(); err == nil || !strings.Contains(err.Error(), dir) || !strings.Contains(err.Error(), "roads build") {
		t.Errorf("an empty folder: %v", err)
	}
	if err := os.Mkdir(filepath.Join(dir, "roads"), 0o700); err != nil {
		t.Fatal(err)
	}
	for _, data := range []string{dir, filepath.Join(dir, "none")} {
		if list, err := (config{Data: data}).loadRoads(); err != nil || len(list) != 0 {
			t.Errorf("nothing is named: %d, %v", len(list), err)
		}
	}
}
