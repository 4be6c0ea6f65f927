package dispatch_test

import (
	"fmt"
	"testing"

	"ebbline/dispatch"
)

// Weeks of up to 8 visits on the quarter-hour grid: the search finds the optimum every
// time, to the cent.
func TestGridWeeksEqualTheExhaustiveOptimum(t *testing.T) {
	seeds := uint64(200)
	if testing.Short() {
		seeds = 20
	}
	for seed := range seeds {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			w := makeGrid(seed, 8)
			p := solved(t, w, dispatch.Options{Seed: 1, Strands: 4, Rounds: 24, NoReasons: true})
			switch best := below(w, p.Cost.Total+1); {
			case best > p.Cost.Total:
				t.Errorf("search finds %d, and trying everything nothing so cheap", p.Cost.Total)
			case best < p.Cost.Total:
				t.Errorf("search finds %d, trying everything %d", p.Cost.Total, best)
			}
		})
	}
}
