package main

import (
	"context"
	"fmt"

	"ebbline/cmd/internal/budget"
	"ebbline/dispatch/search/kernel"
)

// windows solves a time-window set, checks the answer, and only then reads the
// best known value.
func (b bench) windows(ctx context.Context, c convention, file string) (result, error) {
	published, err := readInstance(find(file))
	if err != nil {
		return result{}, err
	}
	in, number := published, []int32(nil)
	if b.mirror {
		in = mirrored(in)
	}
	if b.renumber {
		in, number = renumbered(in, b.seed)
	}
	solve := b.solvePlain
	if b.rich {
		solve = b.solveRich
	}
	r, routes, err := solve(ctx, c, in)
	if err != nil {
		return result{}, err
	}
	if b.renumber {
		routes = asPublished(routes, number)
	}
	if r.Cost, err = c.check(published, routes); err != nil {
		return result{}, err
	}
	if b.write != "" {
		if err := writeRoutes(b.write, published.name, routes); err != nil {
			return result{}, err
		}
	}
	best, err := c.bestKnown(published.name)
	if err != nil {
		return result{}, err
	}
	r.BestKnown, r.bestVehicles = best.cost, best.vehicles
	r.GapPercent = 100 * (r.Cost/best.cost - 1)
	return r, nil
}

// solvePlain solves a set with the plain search.
func (b bench) solvePlain(ctx context.Context, c convention, in instance) (result, [][]int32, error) {
	p := c.problem(in)
	took := budget.Start()
	until, cancel := b.budget(ctx)
	defer cancel()
	answer, err := kernel.Solve(p, kernel.Options{
		Seed: b.seed, Strands: b.strands, Cores: b.cores, Fewest: c.fewest,
		Stop: func() bool { return until.Err() != nil },
	})
	if err != nil {
		return result{}, nil, err
	}
	if answer.Routes == nil {
		return result{}, nil, fmt.Errorf("no routes that keep every rule after %d children", answer.Children)
	}
	r := result{Instance: in.name, Vehicles: len(answer.Routes), Iterations: answer.Children}
	r.took(took)
	return r, answer.Routes, nil
}
