package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const tiny = `TINY

VEHICLE
NUMBER     CAPACITY
  2         10

CUSTOMER
CUST NO.  XCOORD.   YCOORD.    DEMAND   READY TIME  DUE DATE   SERVICE   TIME

    0      0         0          0          0       100          0
    1      3         4          6          0        50         10
    2      6         8          5         20        30         10
`

func tinySet(t *testing.T, text string) (instance, error) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "TINY.txt")
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return readInstance(file)
}

// Lengths by hand: to (3,4) it is 5, to (6,8) 10 and 5 between them.
func TestCheckByHand(t *testing.T) {
	in, err := tinySet(t, tiny)
	if err != nil || in.name != "TINY" || in.vehicles != 2 || in.capacity != 10 || len(in.places) != 3 {
		t.Fatalf("%+v, %v", in, err)
	}
	got, err := conventions["dimacs"].check(in, [][]int32{{1}, {2}})
	if err != nil || got != 30 {
		t.Errorf("%v, %v", got, err)
	}
	for _, c := range []struct {
		routes [][]int32
		due    float64
		want   string
	}{
		{[][]int32{{1, 2}}, 30, "over capacity"},
		{[][]int32{{1}}, 30, "not served"},
		{[][]int32{{1}, {2, 1}}, 30, "twice"},
		{[][]int32{{1}, {2}, {}}, 30, "vehicles"},
		{[][]int32{{1}, {2}}, 9.9, "reached at"},
		{[][]int32{{1}, {9}}, 30, "unknown"},
	} {
		other := in
		other.places = append([]place(nil), in.places...)
		other.places[2].ready, other.places[2].due = 0, c.due
		if _, err := conventions["dimacs"].check(other, c.routes); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v: %v, %q asked", c.routes, err, c.want)
		}
	}
}

// The dimacs convention cuts distances to a decimal, sintef does not; in whole
// numbers drives are rounded up there, never down.
func TestConventions(t *testing.T) {
	in, err := tinySet(t, strings.Replace(tiny, "3         4", "1         1", 1)) // 1.41421…
	if err != nil {
		t.Fatal(err)
	}
	if d := conventions["dimacs"].problem(in).Dist[1]; d != 14 {
		t.Errorf("dimacs %d, 14 asked", d)
	}
	if d := conventions["sintef"].problem(in).Dist[1]; d != 14_143 {
		t.Errorf("sintef %d, 14143 asked", d)
	}
}

func TestReadNamesFileAndLine(t *testing.T) {
	_, err := tinySet(t, strings.Replace(tiny, "    2      6", "    7      6", 1))
	if err == nil || !strings.Contains(err.Error(), "TINY.txt:12") {
		t.Errorf("%v", err)
	}
	if _, err := tinySet(t, "nothing"); err == nil {
		t.Error("an empty set was read")
	}
}
