package main

import (
	"context"
	"encoding/json"
	"slices"
	"strings"
	"testing"
)

// TestJSON prints exactly the fields that are asked for, and a set that was solved
// with several seeds the seed besides.
func TestJSON(t *testing.T) {
	fields := func(r result) []string {
		var text strings.Builder
		a := array{out: &text}
		a.begin()
		a.add(result{Instance: "another"})
		a.add(r)
		if err := a.end(); err != nil {
			t.Fatal(err)
		}
		var list []map[string]any
		if err := json.Unmarshal([]byte(text.String()), &list); err != nil || len(list) != 2 {
			t.Fatalf("%s: %v", text.String(), err)
		}
		var names []string
		for name := range list[1] {
			names = append(names, name)
		}
		slices.Sort(names)
		return names
	}
	asked := []string{"best_known", "cost", "cpu_seconds", "gap_percent", "instance", "iterations", "vehicles", "wall_seconds"}
	if got := fields(result{Instance: "R101"}); !slices.Equal(got, asked) {
		t.Errorf("%v, %v asked", got, asked)
	}
	if got := fields(result{Instance: "R101", Seed: 2}); !slices.Contains(got, "seed") || len(got) != len(asked)+1 {
		t.Errorf("with several seeds %v", got)
	}
	var none strings.Builder
	a := array{out: &none}
	a.begin()
	if err := a.end(); err != nil || none.String() != "[]\n" {
		t.Errorf("nothing solved: %q, %v", none.String(), err)
	}
	if _, err := (bench{seconds: 1, cores: 1, runs: 1}).windows(context.Background(), conventions["dimacs"], "no such set.txt"); err == nil {
		t.Error("a file that is not there was solved")
	}
}
