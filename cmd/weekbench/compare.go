package main

import (
	"context"
	"time"

	"ebbline/dispatch/bound"
	"ebbline/dispatch/week"
)

// compare adds what a plan's cost is compared with. best is the best cost ever found
// in cents and planted that of the hidden plan; 0: none.
func (b *bench) compare(ctx context.Context, w *week.Week, r *result, planted, best int64) {
	from := time.Now()
	low, err := bound.Lower(ctx, w, bound.Options{Iterations: b.bound, KnownCents: r.CostCents, Cores: b.cores})
	if err != nil {
		return // nothing to compare with
	}
	r.BoundCents, r.BoundSeconds = low.Cents, time.Since(from).Seconds()
	r.Avoidable = r.CostCents - low.Unavoidable
	over := func(than int64) *float64 {
		g := 100 * float64(r.CostCents-than) / float64(max(1, than-low.Unavoidable))
		return &g
	}
	if b.bound > 0 {
		g := 100 * float64(r.CostCents-low.Cents) / float64(max(1, r.Avoidable))
		r.GapBound = &g
	}
	if best > 0 {
		r.GapBest = over(best)
	}
	if planted > 0 {
		r.Planted = over(planted)
	}
}
