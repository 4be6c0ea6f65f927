package main

import (
	"context"
	"fmt"
	"os"

	"ebbline/dispatch/weeks"
)

// grown is one size of the growth table.
type grown struct {
	Jobs       int     `json:"jobs"`
	Crews      int     `json:"crews"`
	NS         float64 `json:"ns_per_iteration"`
	Iterations int64   `json:"iterations"`
	FirstPlan  float64 `json:"first_plan_seconds"`
	PeakMB     float64 `json:"peak_mb"`
	// TravelMB is the two matrices of travel, which grow with the square of the places.
	TravelMB float64 `json:"travel_mb"`
}

// growth solves weeks of 30 to 960 jobs, a crew for five jobs, and tells what an
// iteration of the search takes: processor time from the first plan to the end of the
// last finished round, over the steps of ruin and recreate in these rounds.
func (b *bench) growth(ctx context.Context) error {
	if !b.json {
		fmt.Fprintln(os.Stdout, " jobs crews  ns/iter. iterations  first s peak MB travel MB")
	}
	var list []grown
	for jobs := 30; jobs <= 960 && ctx.Err() == nil; jobs *= 2 {
		s := b.shape
		s.Jobs, s.Crews = jobs, jobs/5
		w := weeks.Make(s)
		if err := w.Validate(); err != nil {
			return err
		}
		r, err := b.solve(ctx, w, b.seconds, nil, nil)
		if err != nil {
			return err
		}
		n := float64(len(w.Places))
		g := grown{Jobs: jobs, Crews: s.Crews, Iterations: r.iterations, FirstPlan: r.first, PeakMB: r.peakMB, TravelMB: 16 * n * n / (1 << 20), NS: 1e9 * r.perIteration}
		list = append(list, g)
		if !b.json {
			fmt.Fprintf(os.Stdout, "%5d %5d %9.0f %10d %8.2f %7.0f %9.1f\n", g.Jobs, g.Crews, g.NS, g.Iterations, g.FirstPlan, g.PeakMB, g.TravelMB)
		}
	}
	if b.json {
		return printJSON(list)
	}
	if n := len(list); n > 2 {
		fmt.Fprintf(os.Stdout, "from %d to %d jobs nanoseconds per iteration grow by %.2f\n", list[n-3].Jobs, list[n-1].Jobs, list[n-1].NS/list[n-3].NS)
	}
	return nil
}
