package main

import (
	"context"
	"errors"
	"fmt"

	"ebbline/cmd/internal/budget"
	"ebbline/dispatch"
	"ebbline/dispatch/check"
	"ebbline/dispatch/week"
)

// solved is one run of the search.
type solved struct {
	plan *week.Plan
	// first is when the first plan was there; complete is when its cost was within a
	// tenth of the final one.
	first, complete float64
	wall, cpu       float64
	iterations      int64   // steps of ruin and recreate in finished rounds
	perIteration    float64 // processor seconds of these rounds for one of them
	peakMB          float64
}

// solve plans a week, from start if there is one, and has the checker look at the plan
// once more. It ends early with a plan whose cost in cents is enough, if that is given.
func (b *bench) solve(ctx context.Context, w *week.Week, seconds float64, start *week.Plan, enough func(int64) bool) (solved, error) {
	var s solved
	type seen struct {
		at   float64
		cost int64
	}
	var costs []seen
	budget.ForgetPeak()
	time := b.watch()
	ctx, done := b.budget(ctx, seconds)
	defer done()
	p, err := dispatch.Solve(ctx, w, dispatch.Options{Seed: b.run, Strands: b.strands, Cores: b.cores, NoReasons: true, Start: start,
		Progress: func(p dispatch.Progress) {
			if len(costs) == 0 {
				time.first = time.CPU()
			}
			costs = append(costs, seen{time.seconds(), p.CostCents})
			s.iterations, s.perIteration = p.Iterations, (time.CPU()-time.first)/float64(max(1, p.Iterations))
			if enough != nil && enough(p.CostCents) {
				done()
			}
		}})
	if err != nil {
		return s, err
	}
	s.complete = time.seconds()
	s.wall, s.cpu, s.peakMB = time.Wall(), time.CPU(), budget.PeakMB()
	if r := check.Plan(w, p); !r.OK() || r.Cost != p.Cost {
		return s, fmt.Errorf("the checker refuses the plan: %d rules broken, cost %+v instead of %+v", len(r.Broken), r.Cost, p.Cost)
	}
	if len(costs) == 0 {
		return s, errors.New("the search told of no plan on its way")
	}
	s.plan, s.first = p, costs[0].at
	for _, c := range costs {
		if 10*c.cost <= 11*p.Cost.Total {
			s.complete = c.at
			break
		}
	}
	return s, nil
}
