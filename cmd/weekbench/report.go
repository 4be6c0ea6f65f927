package main

import (
	"fmt"
	"os"
)

const heading = "week                     jobs placed  out       cost  avoidable  best %  bound % planted % first s compl s  wall s   cpu s    MB undecided"

func (r result) line() string {
	return fmt.Sprintf("%-24s %4d %6d %4d %10.2f %10.2f %7s %8s %9s %7.2f %7.2f %7.1f %7.1f %5.0f %9d", r.Week, r.Jobs, r.Placed, r.LeftOut,
		float64(r.CostCents)/100, float64(r.Avoidable)/100, percent(r.GapBest), percent(r.GapBound), percent(r.Planted), r.FirstPlan, r.Complete, r.Wall, r.CPU, r.PeakMB, r.Undecided)
}

func percent(p *float64) string {
	if p == nil {
		return "-"
	}
	return fmt.Sprintf("%.2f", *p)
}

// summary is the means of a table.
func summary(list []result) {
	mean := func(what string, of func(result) *float64) {
		sum, n, worst := 0.0, 0, 0.0
		for _, r := range list {
			if p := of(r); p != nil {
				if n == 0 || *p > worst {
					worst = *p
				}
				sum, n = sum+*p, n+1
			}
		}
		if n > 0 {
			fmt.Fprintf(os.Stdout, "%s: mean %.2f %%, worst %.2f %% of %d weeks\n", what, sum/float64(n), worst, n)
		}
	}
	mean("above the best ever found", func(r result) *float64 { return r.GapBest })
	mean("above the lower bound", func(r result) *float64 { return r.GapBound })
	mean("above the planted plan", func(r result) *float64 { return r.Planted })
}
