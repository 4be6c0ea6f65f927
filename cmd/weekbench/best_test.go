package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ebbline/dispatch/weeks"
)

// Only a lower cost takes the place of a kept one, and only when asked to keep.
func TestBestIsOnlyImproved(t *testing.T) {
	t.Chdir(t.TempDir())
	b := bench{best: filepath.Join(".", "best.csv"), loadName: "tight"}
	s := weeks.Shape{Seed: 1, Crews: 1, Days: 1, Jobs: 2}
	w := weeks.Make(s)
	for _, step := range []struct {
		keep       bool
		cost, want int64 // want: the best before
	}{{false, 900, 0}, {true, 900, 0}, {true, 950, 900}, {true, 800, 900}, {false, 700, 800}, {true, 800, 800}} {
		b.keep = step.keep
		if got, err := b.held(w, s, step.cost); err != nil || got != step.want {
			t.Fatalf("%+v: %d, %v", step, got, err)
		}
	}
	other := weeks.Make(weeks.Shape{Seed: 2, Crews: 1, Days: 1, Jobs: 2})
	if got, err := b.held(other, s, 10); err != nil || got != 0 {
		t.Errorf("another week: %d, %v", got, err)
	}
	text, err := os.ReadFile(b.best)
	if err != nil || strings.Count(string(text), "\n") != 3 {
		t.Errorf("%v\n%s", err, text)
	}
	if err := os.WriteFile(b.best, []byte("a,b\n1,2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := b.held(w, s, 1); err == nil || !strings.Contains(err.Error(), "columns") {
		t.Errorf("a foreign file: %v", err)
	}
}

// The kept costs are of this generator or an older one, each week once.
func TestKeptCostsAreInOrder(t *testing.T) {
	rows, err := readBest("../../testdata/weeks/best.csv")
	if err != nil || len(rows) == 0 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	seen := map[string]bool{}
	for _, r := range rows {
		if seen[r[0]+r[1]] {
			t.Errorf("%v stands twice", r)
		}
		seen[r[0]+r[1]] = true
	}
}
