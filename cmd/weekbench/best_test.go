package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ebbline/dispatch/weeks"
)

// Only a lower cost takes the place of a kept one.
func TestBestIsOnlyImproved(t *testing.T) {
	path := filepath.Join(t.TempDir(), "weeks", "best.csv")
	k, other := key{"1", "aa", "x"}, key{"1", "bb", "a"}
	for _, step := range []struct {
		k          key
		cost, want int64 // want: what is kept of k then
	}{{k, 900, 900}, {k, 950, 900}, {k, 800, 800}, {other, 5, 5}, {k, 900, 800}, {key{"2", "aa", "x"}, 999, 999}} {
		if err := keepBest(path, step.k, step.cost); err != nil {
			t.Fatal(err)
		}
		kept, err := readBest(path)
		if err != nil || kept[step.k] != step.want {
			t.Fatalf("%+v: %d kept, %v", step, kept[step.k], err)
		}
	}
	if kept, err := readBest(path); err != nil || len(kept) != 3 || kept[k] != 800 {
		t.Errorf("%v, %v", kept, err)
	}
}

// A file that is none of ours is told and left alone.
func TestForeignFilesAreRefused(t *testing.T) {
	for _, text := range []string{"a,b\n1,2\n", "generator,hash,week,cost_cents\n1,aa,x,12.5\n", "generator,hash,week,cost_cents\n1,aa,x\n", "generator,hash,week,cost_cents\n1,aa,x,0\n"} {
		path := filepath.Join(t.TempDir(), "best.csv")
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if err := keepBest(path, key{"1", "aa", "x"}, 1); err == nil || !strings.Contains(err.Error(), path) {
			t.Errorf("%q: %v", text, err)
		}
		if left, err := os.ReadFile(path); err != nil || string(left) != text {
			t.Errorf("%q became %q, %v", text, left, err)
		}
	}
}

// What is kept is of weeks that the present generator makes: the same contents under the
// same name.
func TestKeptCostsAreOfTheseWeeks(t *testing.T) {
	kept, err := readBest("../../testdata/weeks/best.csv")
	if err != nil || len(kept) == 0 {
		t.Fatalf("%d rows, %v", len(kept), err)
	}
	for _, load := range []string{"calm", "tight", "over"} {
		b := bench{shape: weeks.Shape{Crews: 20, Days: 5, Load: weeks.Loads[load]}, load: load, jobs: -1}
		w, _, err := b.make(1)
		if err != nil {
			t.Fatal(err)
		}
		if k := b.keyOf(w, 1); kept[k] == 0 {
			t.Errorf("no cost of %+v", k)
		}
	}
}
