package travel_test

import (
	"bytes"
	"math"
	"slices"
	"testing"

	"ebbline/dispatch/travel"
	"ebbline/dispatch/travel/town"
)

// On public extracts every drive equals Dijkstra's, in milliseconds and in
// centimetres: tens of thousands in the short profile, three million in the long.
func TestDrivesEqualDijkstra(t *testing.T) {
	names, size := []string{"el-centro-tiny"}, 200
	if long() {
		names, size = []string{"el-centro-tiny", "el-centro-ca", "imperial-ca-lite"}, 1000
	}
	for _, name := range names {
		roads := built(t, extract(t, name), travel.Options{})
		from, to := roads.Scatter(size, 1), roads.Scatter(size, 2)
		cells, mismatches, err := roads.Compare(t.Context(), from, to)
		if err != nil || mismatches > 0 || cells != size*size {
			t.Errorf("%s: %d of %d drives differ, %v", name, mismatches, cells, err)
		}
	}
}

// The same on the invented town.
func TestDrivesInTownEqualDijkstra(t *testing.T) {
	made, err := town.Make(town.Spec{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := made.WritePBF(&out); err != nil {
		t.Fatal(err)
	}
	size := 200
	if long() {
		size = 1000
	}
	roads := built(t, out.Bytes(), travel.Options{})
	from, to := roads.Scatter(size, 1), roads.Scatter(size, 2)
	cells, mismatches, err := roads.Compare(t.Context(), from, to)
	if err != nil || mismatches > 0 || cells != size*size {
		t.Errorf("%d of %d drives differ, %v", mismatches, cells, err)
	}
	if turns := roads.Meta.Turns; turns.Kept == 0 || turns.Void+turns.Unclear > 0 {
		t.Errorf("turn restrictions %+v, want all kept", turns)
	}
}

// Rows, columns and routes are what the matrix says, and a route's line is as
// long as its drive.
func TestRowsColumnsRoutes(t *testing.T) {
	roads := built(t, extract(t, "el-centro-tiny"), travel.Options{})
	points := roads.Scatter(40, 3)
	whole, err := roads.Matrix(t.Context(), points)
	if err != nil {
		t.Fatal(err)
	}
	n := len(points)
	for i, p := range points {
		row, err := roads.Row(t.Context(), p, points)
		if err != nil {
			t.Fatal(err)
		}
		column, err := roads.Column(t.Context(), points, p)
		if err != nil {
			t.Fatal(err)
		}
		for j := range points {
			if row.Seconds[j] != whole.Seconds[i*n+j] || row.Metres[j] != whole.Metres[i*n+j] {
				t.Fatalf("row %d differs at %d", i, j)
			}
			if column.Seconds[j] != whole.Seconds[j*n+i] || column.Metres[j] != whole.Metres[j*n+i] {
				t.Fatalf("column %d differs at %d", i, j)
			}
		}
		if whole.Seconds[i*n+i] != 0 || whole.Metres[i*n+i] != 0 {
			t.Errorf("from %d to itself: %d s", i, whole.Seconds[i*n+i])
		}
	}
	oneWays := 0
	for i, p := range points {
		for j, q := range points {
			route, ok := roads.Route(p, q)
			if !ok || route.Seconds != whole.Seconds[i*n+j] || route.Metres != whole.Metres[i*n+j] {
				t.Fatalf("route %d to %d: %d s, %d m, want %d, %d", i, j, route.Seconds, route.Metres, whole.Seconds[i*n+j], whole.Metres[i*n+j])
			}
			// Each piece of road is rounded to a centimetre, and each end by a node's
			// place, to a ten-millionth of a degree.
			if got, most := length(route.Line), 1.1+0.01*float64(len(route.Edges)); math.Abs(got-float64(route.Metres)) > most {
				t.Errorf("route %d to %d: its line has %.2f m, want %d", i, j, got, route.Metres)
			}
			if whole.Metres[i*n+j] != whole.Metres[j*n+i] {
				oneWays++
			}
		}
	}
	if oneWays == 0 {
		t.Error("every drive is as long as the one back: are one-ways lost?")
	}
}

// No detour is shorter than the drive itself, rounding included.
func TestTriangle(t *testing.T) {
	roads := built(t, extract(t, "el-centro-tiny"), travel.Options{})
	points := roads.Scatter(30, 4)
	table, err := roads.Matrix(t.Context(), points)
	if err != nil {
		t.Fatal(err)
	}
	n := len(points)
	for i := range n {
		for j := range n {
			for k := range n {
				if table.Seconds[i*n+k] > table.Seconds[i*n+j]+table.Seconds[j*n+k] {
					t.Fatalf("%d to %d takes %d s, over %d %d s", i, k, table.Seconds[i*n+k], j, table.Seconds[i*n+j]+table.Seconds[j*n+k])
				}
			}
		}
	}
}

// Progress rises through the extract and the hierarchy.
func TestProgress(t *testing.T) {
	var steps []string
	last := int64(0)
	built(t, extract(t, "el-centro-tiny"), travel.Options{Progress: func(step string, done, total int64) {
		if !slices.Contains(steps, step) {
			steps = append(steps, step)
			last = 0
		}
		if done < last || done > total {
			t.Errorf("%s: %d of %d after %d", step, done, total, last)
		}
		last = done
	}})
	if want := []string{"relations", "ways", "nodes", "hierarchy"}; !slices.Equal(steps, want) {
		t.Errorf("steps %v, want %v", steps, want)
	}
}

func BenchmarkMatrix400(b *testing.B) {
	roads := built(b, extract(b, "imperial-ca-lite"), travel.Options{})
	points := roads.Scatter(400, 1)
	for b.Loop() {
		if _, err := roads.Matrix(b.Context(), points); err != nil {
			b.Fatal(err)
		}
	}
}
