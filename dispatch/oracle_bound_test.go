package dispatch_test

import (
	"context"
	"testing"

	"ebbline/dispatch/bound"
)

// The bound of grid weeks is never above the cheapest plan, and not far below it.
func TestGridWeeksAreNotBelowTheirBound(t *testing.T) {
	weeks := uint64(200)
	if testing.Short() {
		weeks = 20
	}
	sum := 0.0
	for seed := range weeks {
		w := makeGrid(seed, 8)
		best := below(w, hopeless)
		low, err := bound.Lower(context.Background(), w, bound.Options{Iterations: 100, Cores: 1})
		if err != nil {
			t.Fatalf("week %d: %v", seed, err)
		}
		if low.Cents > best || low.Unavoidable > low.Cents {
			t.Errorf("week %d: unavoidable %d, bound %d, the cheapest plan costs %d", seed, low.Unavoidable, low.Cents, best)
		}
		share := float64(low.Cents) / float64(best)
		t.Logf("week %d: %d of %d, %.3f", seed, low.Cents, best, share)
		sum += share
	}
	mean := sum / float64(weeks)
	t.Logf("the bound is %.1f %% of the cheapest plan in the mean", 100*mean)
	if mean < 0.9 {
		t.Errorf("the bound is %.1f %% of the cheapest plan in the mean, 90 is wanted", 100*mean)
	}
}
