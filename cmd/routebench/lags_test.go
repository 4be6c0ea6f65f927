package main

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ebbline/dispatch"
)

// Two patients 3 and 4 from the office and 5 from each other; the second is visited by
// two workers, the other one 2 to 6 after the first.
const tinyLags = `{"patients": [
 {"id": "p1", "time_window": [0, 10], "required_caregivers": [{"service": "a", "duration": 7}]},
 {"id": "p2", "time_window": [6, 9], "required_caregivers": [{"service": "a", "duration": 1}, {"service": "b", "duration": 1}],
  "synchronization": {"type": "sequential", "distance": [2, 6]}}],
 "services": [{"id": "a"}, {"id": "b"}],
 "caregivers": [{"id": "c1", "abilities": ["a"]}, {"id": "c2", "abilities": ["a", "b"]}],
 "distances": [[0, 3, 4], [3, 0, 5], [4, 5, 0]]}`

func tinyLagSet(t *testing.T, text string) (lagSet, error) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "TINY.json")
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return readLags(file)
}

// By hand: c1 goes to p1 at 3 until 10, is at p2 at 15, 6 late; c2 is at p2 from 17 on, 8
// late. Driven 3 + 5 + 4 and 4 + 4 = 20; late 14; at most 8: 42 / 3 = 14.
func TestLagCheckByHand(t *testing.T) {
	set, err := tinyLagSet(t, tinyLags)
	if err != nil {
		t.Fatal(err)
	}
	good := func() [][]lagVisit { return [][]lagVisit{{{0, 0, 3}, {1, 0, 15}}, {{1, 1, 17}}} }
	if got, err := set.check(good()); err != nil || math.Abs(got-14) > 1e-9 {
		t.Fatalf("%v, %v; 14 asked", got, err)
	}
	for _, c := range []struct {
		name  string
		spoil func(r [][]lagVisit)
		want  string
	}{
		{"sooner than the road allows", func(r [][]lagVisit) { r[0][1].start -= 0.001 }, "p2 begins at 14.999, there at 15"},
		{"before the window", func(r [][]lagVisit) { r[0], r[1] = r[0][:1], []lagVisit{{1, 0, 5.999}, {1, 1, 8}} }, "its window at 6"},
		{"second too soon", func(r [][]lagVisit) { r[1][0].start -= 0.001 }, "1.999 after the first"},
		{"second too late", func(r [][]lagVisit) { r[1][0].start += 4.001 }, "6.001 after the first"},
		{"one worker twice", func(r [][]lagVisit) { r[0], r[1] = r[0][:1], []lagVisit{{1, 0, 6}, {1, 1, 8}} }, "one worker makes both"},
		{"cannot do it", func(r [][]lagVisit) { r[0][1].service, r[1][0].service = 1, 0 }, "can't do"},
		{"not visited", func(r [][]lagVisit) { r[1] = nil }, "p2 does not get b"},
		{"visited twice", func(r [][]lagVisit) { r[1] = append(r[1], lagVisit{0, 0, 40}) }, "p1 has a twice"},
		{"none of the set's", func(r [][]lagVisit) { r[1][0].service = 2 }, "none of the set's"},
	} {
		r := good()
		c.spoil(r)
		if _, err := set.check(r); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v; %q asked", c.name, err, c.want)
		}
	}
}

// The week's cost is the objective, a tenth of a cent a thousandth. By hand the best way
// for the tiny set, c2 doing b only, is: c1 at p2 from 6 on, then p1 from 12 on, 2 late
// (4 + 5 + 3 driven); c2 at p2 from 8 on (8 driven): 12 + 8 + 2 + 2 = 24. With p1 first it
// is the 42 of above.
func TestLagWeekCostsTheObjective(t *testing.T) {
	set, err := tinyLagSet(t, strings.Replace(tinyLags, `["a", "b"]`, `["b"]`, 1))
	if err != nil {
		t.Fatal(err)
	}
	p, err := dispatch.Solve(context.Background(), lagWeek(set), dispatch.Options{Seed: 1, Strands: 1, Rounds: 2})
	if err != nil {
		t.Fatal(err)
	}
	routes, err := lagRoutes(set, p)
	if err != nil {
		t.Fatal(err)
	}
	got, err := set.check(routes)
	if err != nil || math.Abs(got-8) > 1e-9 || p.Cost.Total != 2400 {
		t.Errorf("objective %v (%v), cost %d cents; 24 / 3 and 2400 asked", got, err, p.Cost.Total)
	}
}

func TestReadLagsNamesWhatIsWrong(t *testing.T) {
	for _, c := range []struct{ old, now, want string }{
		{`"sequential"`, `"sometimes"`, "patient p2"},
		{`[[0, 3, 4], `, `[`, "2 rows"},
		{`[3, 0, 5]`, `[3, 0]`, "row 1"},
		{`[{"id": "c1", "abilities": ["a"]}, {"id": "c2", "abilities": ["a", "b"]}]`, `[]`, "0 workers"},
	} {
		if _, err := tinyLagSet(t, strings.Replace(tinyLags, c.old, c.now, 1)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v; %q asked", c.now, err, c.want)
		}
	}
}
