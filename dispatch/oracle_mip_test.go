package dispatch_test

import (
	"math"
	"os"
	"testing"

	"ebbline/web/highs"
)

// Trying everything against HiGHS, which is given each week as an integer program and
// knows nothing of ours.
func TestGridWeeksAgainstHighs(t *testing.T) {
	weeks := 10 // some seconds of a processor each
	switch {
	case os.Getenv("EBBLINE_LONG") != "":
		weeks = 50
	case testing.Short():
		weeks = 2
	}
	var programs []string
	for seed := range weeks {
		programs = append(programs, mipOf(makeGrid(uint64(seed), 8)))
	}
	for seed, a := range highs.Solve(t, highs.Proving, programs) {
		if best := below(makeGrid(uint64(seed), 8), hopeless); a.Status != "Optimal" || math.Abs(a.Value-float64(best)) > 0.01 {
			t.Errorf("week %d: HiGHS finds %.3f (%s), trying everything %d", seed, a.Value, a.Status, best)
		}
	}
}
