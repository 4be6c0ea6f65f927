package main

import (
	"context"

	"ebbline/dispatch/bound"
	"ebbline/dispatch/week"
)

// compare adds what a plan's cost is compared with. best is the best cost ever found
// in cents and planted that of the hidden plan; 0: none.
func (b *bench) compare(ctx context.Context, w *week.Week, r *result, planted, best int64) error {
	unavoidable, err := bound.Unavoidable(w)
	if err != nil {
		return err
	}
	if b.bound > 0 {
		time := b.watch()
		low, err := bound.Lower(ctx, w, bound.Options{Iterations: b.bound, Cores: b.cores})
		if err != nil {
			return err
		}
		r.BoundCents, r.BoundCPU = low.Cents, time.CPU()
		g := 100 * float64(r.CostCents-low.Cents) / float64(max(1, r.CostCents-unavoidable))
		r.GapBound = &g
	}
	r.Avoidable = r.CostCents - unavoidable
	over := func(than int64) *float64 {
		g := 100 * float64(r.CostCents-than) / float64(max(1, than-unavoidable))
		return &g
	}
	if best > 0 {
		r.GapBest = over(best)
	}
	if planted > 0 {
		r.Planted = over(planted)
	}
	return nil
}
