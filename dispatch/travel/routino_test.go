package travel_test

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"ebbline/dispatch/travel"
	"ebbline/dispatch/travel/osm"
)

// Debian's routino, a router that shares nothing with ours, drives the same
// distances on the same roads. So that only routing is compared, not opinions on
// tags, the roads are first written anew with one class and one speed; routino's
// preferences are neutral, and it obeys one-ways and turn restrictions as we do.
// It cuts every piece to whole metres, so that its routes come out a little short.
func TestRoutino(t *testing.T) {
	splitter, err := exec.LookPath("planetsplitter")
	if err != nil {
		t.Skip("routino is not installed (Debian: apt-get install routino)")
	}
	router, err := exec.LookPath("routino-router")
	if err != nil {
		t.Skip("routino-router is not installed (Debian: apt-get install routino)")
	}
	pairs := 40
	if long() {
		pairs = 200
	}
	plain := plainRoads(t, extract(t, "imperial-ca-lite"))
	roads := built(t, plain, travel.Options{})
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "plain.osm.pbf"), plain, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "profiles.xml"), []byte(neutral), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(splitter, "--dir="+dir, "--prefix=x", "--prune-none", filepath.Join(dir, "plain.osm.pbf")).CombinedOutput(); err != nil {
		t.Fatalf("planetsplitter: %v\n%s", err, out)
	}
	from, to := roads.Scatter(pairs, 11), roads.Scatter(pairs, 12)
	var ratios []float64
	for i := range pairs {
		theirs := askRoutino(t, router, dir, from[i].Road, to[i].Road)
		a, _, _ := roads.Snap(from[i].Road.Lat, from[i].Road.Lon)
		b, _, _ := roads.Snap(to[i].Road.Lat, to[i].Road.Lon)
		route, ok := roads.Route(a, b)
		if !ok {
			t.Fatalf("no route for pair %d", i)
		}
		if theirs < 1 { // km; it prints no more than two decimals
			continue
		}
		ratios = append(ratios, float64(route.Metres)/1000/theirs)
	}
	slices.Sort(ratios)
	at := func(q float64) float64 { return ratios[int(q*float64(len(ratios)-1))] }
	t.Logf("%d routes: ours to theirs %.4f at 5 %%, %.4f median, %.4f at 95 %%", len(ratios), at(0.05), at(0.5), at(0.95))
	if m := at(0.5); math.Abs(m-1) > 0.01 {
		t.Errorf("median ratio %.4f, want within 1 %% of 1", m)
	}
	if at(0.1) < 0.98 || at(0.9) > 1.02 {
		t.Errorf("a tenth of the routes is %.4f, a tenth %.4f of theirs: want within 2 %%", at(0.1), at(0.9))
	}
}

// askRoutino is the length of the shortest route in km.
func askRoutino(t *testing.T, router, dir string, a, b travel.LatLon) float64 {
	t.Helper()
	degrees := func(v int32) string { return strconv.FormatFloat(float64(v)/1e7, 'f', 7, 64) }
	cmd := exec.CommandContext(context.Background(), router, "--dir="+dir, "--prefix=x", "--profiles="+filepath.Join(dir, "profiles.xml"), "--profile=plain",
		"--shortest", "--output-text-all", "--output-stdout", "--lat1="+degrees(a.Lat), "--lon1="+degrees(a.Lon), "--lat2="+degrees(b.Lat), "--lon2="+degrees(b.Lon))
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("routino-router: %v\n%s", err, out)
	}
	km := -1.0
	for line := range strings.Lines(string(out)) {
		fields := strings.Split(line, "\t")
		if strings.HasPrefix(line, "#") || len(fields) < 8 {
			continue
		}
		if v, err := strconv.ParseFloat(strings.TrimSpace(fields[6]), 64); err == nil {
			km = v // so far, to 10 m
		}
	}
	if km < 0 {
		t.Fatalf("routino-router says nothing that can be read:\n%s", out)
	}
	return km
}

// plainRoads writes the roads of an extract anew: one class, one speed, one-ways
// and turn restrictions kept.
func plainRoads(t *testing.T, data []byte) []byte {
	t.Helper()
	reader, err := osm.Open(t.Context(), bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	w := osm.NewWriter(&out, "a test", 0)
	err = reader.Each(t.Context(), osm.Handler{
		Node: func(n *osm.Node) error { n.Tags = nil; w.Node(*n); return nil },
		Way: func(way *osm.Way) error {
			along, against, ok := travel.DirectionsForTest(way.Tags)
			if !ok {
				return nil
			}
			tags := osm.Tags{{Key: "highway", Value: "secondary"}, {Key: "maxspeed", Value: "50"}}
			if !against {
				tags = append(tags, osm.Tag{Key: "oneway", Value: "yes"})
			} else if !along {
				tags = append(tags, osm.Tag{Key: "oneway", Value: "-1"})
			}
			w.Way(osm.Way{ID: way.ID, Refs: way.Refs, Tags: tags})
			return nil
		},
		Relation: func(r *osm.Relation) error {
			if r.Tags.Get("type") == "restriction" {
				w.Relation(*r)
			}
			return nil
		},
	}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

var neutral = func() string {
	var speeds, preferences strings.Builder
	for _, class := range strings.Fields("motorway trunk primary secondary tertiary unclassified residential service track cycleway path steps ferry") {
		percent := 0
		if class == "secondary" {
			percent = 100
		}
		fmt.Fprintf(&speeds, `<speed highway="%s" kph="50" />`, class)
		fmt.Fprintf(&preferences, `<preference highway="%s" percent="%d" />`, class, percent)
	}
	var properties strings.Builder
	for _, p := range strings.Fields("paved multilane bridge tunnel footroute bicycleroute") {
		fmt.Fprintf(&properties, `<property type="%s" percent="50" />`, p)
	}
	return `<?xml version="1.0" encoding="UTF-8" ?><routino-profiles><profile name="plain" transport="motorcar"><speeds>` + speeds.String() +
		`</speeds><preferences>` + preferences.String() + `</preferences><properties>` + properties.String() +
		`</properties><restrictions><oneway obey="1" /><turns obey="1" /><weight limit="0.0" /><height limit="0.0" /><width limit="0.0" /><length limit="0.0" /></restrictions></profile></routino-profiles>`
}()
