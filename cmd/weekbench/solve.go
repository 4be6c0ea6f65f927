package main

import (
	"context"
	"fmt"
	"os"
	"strconv"
	"strings"
	"syscall"
	"time"

	"ebbline/dispatch"
	"ebbline/dispatch/check"
	"ebbline/dispatch/week"
)

// solved is one run of the search.
type solved struct {
	plan *week.Plan
	// first is when the first plan was there; complete is when its cost was within a
	// tenth of the final one.
	first, complete, wall, cpu float64
	firstCPU                   float64 // used by the first plan
	iterations                 int64
	peakMB                     float64
}

// solve plans a week and has the checker look at the plan once more.
func (b *bench) solve(ctx context.Context, w *week.Week, seconds float64) (solved, error) {
	var s solved
	type seen struct{ at, cost float64 }
	var costs []seen
	forgetPeak()
	from, cpu := time.Now(), cpuSeconds()
	ctx, done := context.WithTimeout(ctx, time.Duration(seconds*float64(time.Second)))
	defer done()
	p, err := dispatch.Solve(ctx, w, dispatch.Options{Seed: b.run, Strands: b.strands, Cores: b.cores, NoReasons: true,
		Progress: func(p dispatch.Progress) {
			if len(costs) == 0 {
				s.firstCPU = cpuSeconds() - cpu
			}
			costs = append(costs, seen{time.Since(from).Seconds(), float64(p.CostCents)})
			s.iterations = p.Iterations
		}})
	if err != nil {
		return s, err
	}
	s.wall, s.cpu, s.peakMB = time.Since(from).Seconds(), cpuSeconds()-cpu, peakMB()
	if r := check.Plan(w, p); !r.OK() || r.Cost != p.Cost {
		return s, fmt.Errorf("the checker refuses the plan: %d rules broken, cost %+v instead of %+v", len(r.Broken), r.Cost, p.Cost)
	}
	s.plan, s.first, s.complete = p, costs[0].at, s.wall
	for _, c := range costs {
		if c.cost <= 1.1*float64(p.Cost.Total) {
			s.complete = c.at
			break
		}
	}
	return s, nil
}

// cpuSeconds is what this process has used so far.
func cpuSeconds() float64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}

// forgetPeak sets Linux's peak of this process's memory to what it uses now.
func forgetPeak() { _ = os.WriteFile("/proc/self/clear_refs", []byte("5"), 0) }

// peakMB is the peak of resident memory since [forgetPeak]; 0 where nothing says.
func peakMB() float64 {
	text, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return 0
	}
	_, rest, _ := strings.Cut(string(text), "VmHWM:")
	line, _, _ := strings.Cut(rest, "kB")
	kb, err := strconv.ParseFloat(strings.TrimSpace(line), 64)
	if err != nil {
		return 0
	}
	return kb / 1024
}
