package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"syscall"
	"time"

	"ebbline/dispatch"
	"ebbline/dispatch/check"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

type bench struct {
	shape    weeks.Shape
	loadName string
	seconds  float64
	weeks    int
	strands  int
	write    string
	best     string
	keep     bool
}

// result is one week planned and checked. Costs in cents.
type result struct {
	Seed       uint64  `json:"seed"`
	Crews      int     `json:"crews"`
	Days       int     `json:"days"`
	Jobs       int     `json:"jobs"`
	FirstPlan  float64 `json:"first_plan_seconds"`
	Cost       int64   `json:"cost_cents"`
	Best       int64   `json:"best_cents,omitempty"` // before this run; 0: none kept
	GapBest    float64 `json:"gap_best_percent"`
	Placed     int     `json:"placed"`
	LeftOut    int     `json:"left_out"`
	Undecided  int64   `json:"undecided"`
	Iterations int64   `json:"iterations"`
	StepNS     int64   `json:"step_ns"` // of one strand, wall
	Rounds     int     `json:"rounds"`
	Checked    bool    `json:"checked"`
	Wall       float64 `json:"wall_seconds"`
	CPU        float64 `json:"cpu_seconds"`
	PeakMB     int64   `json:"peak_mb"` // of the whole process so far
}

const heading = "  seed crews days jobs  first s        cost   gap best %  placed left out     steps  us/step   wall s    cpu s  peak MB"

func (r result) line() string {
	gap := "          -"
	if r.Best > 0 {
		gap = fmt.Sprintf("%11.3f", r.GapBest)
	}
	return fmt.Sprintf("%6d %5d %4d %4d %8.2f %11.2f  %s %7d %8d %9d %8.0f %8.2f %8.2f %8d", r.Seed, r.Crews, r.Days, r.Jobs, r.FirstPlan,
		float64(r.Cost)/100, gap, r.Placed, r.LeftOut, r.Iterations, float64(r.StepNS)/1000, r.Wall, r.CPU, r.PeakMB)
}

// one plans a week, checks the plan and holds it against the best cost kept.
func (b bench) one(ctx context.Context, s weeks.Shape) (result, error) {
	w := weeks.Make(s)
	r := result{Seed: s.Seed, Crews: s.Crews, Days: s.Days, Jobs: len(w.Jobs)}
	timed, stop := context.WithTimeout(ctx, time.Duration(b.seconds*float64(time.Second)))
	defer stop()
	from, cpu := time.Now(), cpuSeconds()
	p, err := dispatch.Solve(timed, w, dispatch.Options{Seed: int64(s.Seed), Strands: b.strands, Cores: b.strands, NoReasons: true,
		Progress: func(p dispatch.Progress) {
			if p.Round == 0 {
				r.FirstPlan = time.Since(from).Seconds()
			}
			r.Iterations = p.Iterations
		}})
	if err != nil {
		return r, fmt.Errorf("seed %d: %w", s.Seed, err)
	}
	r.Wall, r.CPU, r.PeakMB = time.Since(from).Seconds(), cpuSeconds()-cpu, peakMB()
	if r.Iterations > 0 {
		r.StepNS = int64((r.Wall - r.FirstPlan) * 1e9 * float64(b.strands) / float64(r.Iterations))
	}
	if broken := check.Plan(w, p); !broken.OK() {
		return r, fmt.Errorf("seed %d: the checker complains: %v", s.Seed, broken.Broken)
	}
	r.Checked, r.Cost, r.LeftOut, r.Undecided, r.Rounds = true, p.Cost.Total, len(p.LeftOut), p.Undecided, p.Rounds
	r.Placed = r.Jobs - r.LeftOut
	if r.Best, err = b.held(w, s, r.Cost); err != nil {
		return r, err
	}
	if r.Best > 0 {
		r.GapBest = 100 * (float64(r.Cost)/float64(r.Best) - 1)
	}
	return r, b.save(w, p, s)
}

// save writes week and plan for `ebbline check`.
func (b bench) save(w *week.Week, p *week.Plan, s weeks.Shape) error {
	if b.write == "" {
		return nil
	}
	for name, v := range map[string]any{"week": w, "plan": p} {
		text, err := json.MarshalIndent(v, "", " ")
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(b.write, fmt.Sprintf("%s-%d-%d-%d-%d.json", name, s.Crews, s.Days, len(w.Jobs), s.Seed)), text, 0o600); err != nil {
			return err
		}
	}
	return nil
}

func printJSON(to io.Writer, list []result) error {
	enc := json.NewEncoder(to)
	enc.SetIndent("", "  ")
	return enc.Encode(list)
}

// cpuSeconds is what this process has used so far.
func cpuSeconds() float64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}

// peakMB is the most memory that this process held so far.
func peakMB() int64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return u.Maxrss / 1024
}
