package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"

	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// result is one week solved and checked. Percents are nil where there is nothing to
// compare with.
type result struct {
	Week       string   `json:"week"`
	Hash       string   `json:"hash"`
	Jobs       int      `json:"jobs"`
	FirstPlan  float64  `json:"first_plan_seconds"`
	Complete   float64  `json:"complete_seconds"`
	CostCents  int64    `json:"cost_cents"`
	Avoidable  int64    `json:"avoidable_cents"`
	GapBest    *float64 `json:"gap_best_percent"`
	GapBound   *float64 `json:"gap_bound_percent"`
	BoundCents int64    `json:"bound_cents"`
	BoundCPU   float64  `json:"bound_cpu_seconds"`
	Planted    *float64 `json:"planted_percent"`
	Placed     int      `json:"placed"`
	LeftOut    int      `json:"left_out"`
	Undecided  int64    `json:"undecided"`
	Checked    bool     `json:"checked"`
	Wall       float64  `json:"wall_seconds"`
	CPU        float64  `json:"cpu_seconds"`
	PeakMB     float64  `json:"peak_mb"`
	Iterations int64    `json:"iterations"`
}

// all solves the weeks one after the other.
func (b *bench) all(ctx context.Context) error {
	if !b.json {
		fmt.Fprintln(os.Stdout, heading)
	}
	list := []result{}
	for n := range b.weeks {
		r, err := b.one(ctx, b.shape.Seed+uint64(n))
		if err != nil {
			return err
		}
		list = append(list, r)
		if !b.json {
			fmt.Fprintln(os.Stdout, r.line())
		}
		if ctx.Err() != nil {
			break
		}
	}
	if b.json {
		return printJSON(list)
	}
	summary(list)
	return nil
}

// printJSON writes one result as an object, several as an array.
func printJSON[T any](list []T) error {
	enc := json.NewEncoder(os.Stdout)
	enc.SetIndent("", "  ")
	if len(list) == 1 {
		return enc.Encode(list[0])
	}
	return enc.Encode(list)
}

// make is the week of a seed, and the cost in cents of the plan it hides, if any.
func (b *bench) make(seed uint64) (w *week.Week, planted int64, err error) {
	s := b.shape
	s.Seed = seed
	if !b.planted {
		w = weeks.Make(s)
		return w, 0, w.Validate()
	}
	return plantedWeek(s)
}

func (b *bench) one(ctx context.Context, seed uint64) (result, error) {
	w, planted, err := b.make(seed)
	if err != nil {
		return result{}, err
	}
	k := b.keyOf(w, seed)
	start, err := b.kept(k)
	if err != nil {
		return result{}, err
	}
	s, err := b.solve(ctx, w, b.seconds, start, nil)
	if err != nil {
		return result{}, fmt.Errorf("week %s: %w", k.label, err)
	}
	p := s.plan
	r := result{Week: k.label, Hash: k.hash, Jobs: len(w.Jobs), FirstPlan: s.first, Complete: s.complete, CostCents: p.Cost.Total,
		Placed: len(w.Jobs) - len(p.LeftOut), LeftOut: len(p.LeftOut), Undecided: p.Undecided, Checked: true,
		Wall: s.wall, CPU: s.cpu, PeakMB: s.peakMB, Iterations: s.iterations}
	best, err := readBest(b.best) // only now
	if err != nil {
		return r, err
	}
	if err := b.compare(ctx, w, &r, planted, best[k]); err != nil {
		return r, err
	}
	if b.keep {
		if err := keepBest(b.best, k, p.Cost.Total); err != nil {
			return r, err
		}
	}
	if b.write != "" {
		return r, b.files(k, w, p)
	}
	return r, nil
}

// files writes a week and its plan.
func (b *bench) files(k key, w *week.Week, p *week.Plan) error {
	if err := os.MkdirAll(b.write, 0o755); err != nil {
		return err
	}
	for name, v := range map[string]any{"week": w, "plan": p} {
		text, err := json.Marshal(v)
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(b.write, k.file(name)), text, 0o644); err != nil {
			return err
		}
	}
	return nil
}
