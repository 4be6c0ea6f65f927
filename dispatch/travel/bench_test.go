package travel_test

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"

	"ebbline/dispatch/travel"
)

// extract reads one of the public extracts kept outside of the tree ((c)
// OpenStreetMap contributors, ODbL), or skips the test.
func extract(t testing.TB, name string) []byte {
	t.Helper()
	folder := os.Getenv("EBBLINE_BENCH")
	if folder == "" {
		folder = filepath.Join("..", "..", "..", "shared", "benchmarks")
	}
	data, err := os.ReadFile(filepath.Join(folder, "roads", name+".osm.pbf"))
	if err != nil {
		t.Skip("road extracts are not here: set EBBLINE_BENCH to their folder")
	}
	return data
}

// long says whether the long profile is asked for.
func long() bool { return os.Getenv("EBBLINE_LONG") != "" }

// built makes a road file of an extract, and loads it.
func built(t testing.TB, data []byte, o travel.Options) *travel.Roads {
	t.Helper()
	b, _, err := travel.Build(context.Background(), bytes.NewReader(data), int64(len(data)), o)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if _, err := b.WriteTo(&out); err != nil {
		t.Fatal(err)
	}
	roads, err := travel.Load(out.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	return roads
}
