package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"

	"ebbline/dispatch/week"
)

// saves is by how much, in permille of the cost, a week without a family of rules must
// be cheaper for the family to count as binding: more than the search's own luck.
const saves = 1

// rules solves weeks with all rules, and then without one family after the other, each
// from the plan that was found with all. The same time again with all rules is what the
// savings are measured from, so that more searching alone saves nothing.
func (b *bench) rules(ctx context.Context) error {
	binding, total := make([]int, len(families)), make([]float64, len(families))
	done := 0
	for n := range b.weeks {
		w, _, err := b.make(b.shape.Seed + uint64(n))
		if err != nil {
			return err
		}
		first, err := b.solve(ctx, w, 2*b.seconds)
		if err != nil {
			return err
		}
		base, err := b.from(ctx, w, first.plan, func(*week.Week) {})
		if err != nil {
			return err
		}
		for f := range families {
			without, err := b.from(ctx, w, base.plan, families[f].drop)
			if err != nil {
				return fmt.Errorf("without %s: %w", families[f].name, err)
			}
			saved := base.plan.Cost.Total - without.plan.Cost.Total
			if saved*1000 > base.plan.Cost.Total*saves {
				binding[f]++
			}
			total[f] += 100 * float64(saved) / float64(base.plan.Cost.Total)
			if ctx.Err() != nil {
				return ctx.Err()
			}
		}
		done++
		if !b.json {
			fmt.Fprintf(os.Stdout, "week %d of %d: %.2f with all rules\n", done, b.weeks, float64(base.plan.Cost.Total)/100)
		}
	}
	return b.rulesTable(binding, total, done)
}

func (b *bench) rulesTable(binding []int, total []float64, done int) error {
	type row struct {
		Rule    string  `json:"rule"`
		Binding int     `json:"binding_weeks"`
		Weeks   int     `json:"weeks"`
		Saves   float64 `json:"saves_percent"`
	}
	var list []row
	for f := range families {
		list = append(list, row{families[f].name, binding[f], done, total[f] / float64(max(1, done))})
	}
	if b.json {
		text, err := json.MarshalIndent(list, "", "  ")
		if err == nil {
			fmt.Fprintln(os.Stdout, string(text))
		}
		return err
	}
	fmt.Fprintf(os.Stdout, "%-28s %-10s %s\n", "without", "binding", "saves %")
	for _, r := range list {
		fmt.Fprintf(os.Stdout, "%-28s %2d of %-4d %8.2f\n", r.Rule, r.Binding, r.Weeks, r.Saves)
	}
	return nil
}

// from solves a changed copy of a week from a plan, which costs nothing to change.
func (b *bench) from(ctx context.Context, w *week.Week, p *week.Plan, change func(*week.Week)) (solved, error) {
	text, err := json.Marshal(w)
	if err != nil {
		return solved{}, err
	}
	x, err := week.DecodeWeek(bytes.NewReader(text))
	if err != nil {
		return solved{}, err
	}
	x.HandedOut = &week.HandedOut{}
	for _, t := range p.Tours {
		h := week.HandedTour{Tour: t.Tour}
		for _, s := range t.Stops {
			h.Stops = append(h.Stops, week.HandedStop{Visit: s.Visit, Start: s.Start})
		}
		x.HandedOut.Tours = append(x.HandedOut.Tours, h)
	}
	x.Rates.ToldAnewCents = 0
	change(x)
	if err := x.Validate(); err != nil {
		return solved{}, err
	}
	return b.solve(ctx, x, b.seconds)
}
