package main

import (
	"testing"

	"ebbline/dispatch/search/kernel"
)

// Proven optima of sets by Solomon (Operations Research 35, 1987), distances cut to a
// decimal: Kohl, Desrosiers, Madsen, Solomon and Soumis (Transportation Science 33,
// 1999) and those they cite; the values are those of the sets' folder.
func TestPublishedOptima(t *testing.T) {
	if !folder(dataFolder()) {
		t.Skip("no published sets: EBBLINE_BENCH names no folder and none lies above")
	}
	for _, c := range []struct {
		set  string
		best float64
	}{{"C101", 827.3}, {"C201", 589.1}, {"R101", 1637.7}} {
		in, err := readInstance(find(c.set))
		if err != nil {
			t.Fatal(err)
		}
		dimacs := conventions["dimacs"]
		for _, turned := range []bool{false, true} {
			solved, number := in, []int32(nil)
			if turned {
				solved, number = renumbered(mirrored(in), 5)
			}
			answer, err := kernel.Solve(dimacs.problem(solved), kernel.Options{Seed: 1, Strands: 2, Cores: 2, Rounds: 50})
			if err != nil {
				t.Fatal(err)
			}
			routes := answer.Routes
			if turned {
				routes = asPublished(routes, number)
			}
			cost, err := dimacs.check(in, routes)
			if err != nil || cost != c.best {
				t.Errorf("%s, turned %v: %.1f, %.1f is the optimum (%v)", c.set, turned, cost, c.best, err)
			}
		}
	}
}
