package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strings"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
)

// saves is by how much, in ten-thousandths of the cost, a week without a family of
// rules must be cheaper for the family to count as binding.
const saves = 5

// tally is what is known of one family.
type tally struct {
	Rule    string  `json:"rule"`
	Binding int     `json:"binding_weeks"`
	Weeks   int     `json:"weeks"`
	Saves   float64 `json:"saves_percent"` // at the least, of the weeks in which it binds
}

// rules solves weeks with all rules, and then without one family after the other, from
// the best plan with all, which runs of the same length did not better any more. A family binds in a week if a plan is found that is cheaper, and whose orders,
// timed anew, are no plan with all rules or cost more: what is better with all rules as
// well only shows that the search was not done. A run ends when that is clear, and a family is not looked at any
// more when it binds in b.enough weeks.
func (b *bench) rules(ctx context.Context) error {
	families := slices.DeleteFunc(slices.Clone(families), func(f family) bool { return !b.only.MatchString(f.name) })
	tallies := make([]tally, len(families))
	for f := range families {
		tallies[f].Rule = families[f].name
	}
	for n := range b.weeks {
		if ctx.Err() != nil || b.allBind(tallies) {
			break
		}
		w, _, err := b.make(b.shape.Seed + uint64(n))
		if err != nil {
			return err
		}
		base, err := b.base(ctx, w, b.keyOf(w, b.shape.Seed+uint64(n)))
		if err != nil {
			return err
		}
		var free []string
		for f := range families {
			t := &tallies[f]
			if b.enough > 0 && t.Binding >= b.enough || ctx.Err() != nil {
				continue
			}
			saved, better, err := b.without(ctx, w, base, families[f])
			if err != nil {
				return fmt.Errorf("without %s: %w", families[f].name, err)
			}
			if base = better; saved > 0 {
				t.Binding++
				t.Saves += 100 * float64(saved) / float64(base.Cost.Total)
			} else {
				free = append(free, t.Rule)
			}
			t.Weeks++
		}
		if !b.json {
			fmt.Fprintf(os.Stdout, "week %d of %d: %.2f with all rules; not binding: %s\n", n+1, b.weeks, float64(base.Cost.Total)/100, strings.Join(free, ", "))
		}
	}
	return b.rulesTable(tallies)
}

func (b *bench) allBind(list []tally) bool {
	for _, t := range list {
		if b.enough == 0 || t.Binding < b.enough {
			return false
		}
	}
	return true
}

// base is the best plan of a week with all rules: what -from keeps of it or a long run,
// and from there on until two runs as long as those without a family have not saved what
// a family must save.
func (b *bench) base(ctx context.Context, w *week.Week, k key) (*week.Plan, error) {
	best, err := b.kept(k)
	if err != nil {
		return nil, err
	}
	c := *b
	if best == nil {
		first, err := c.solve(ctx, w, 4*b.seconds, nil, nil)
		if err != nil {
			return nil, err
		}
		best = first.plan
	}
	for vain := 0; vain < 2 && ctx.Err() == nil; {
		c.run++
		next, err := c.solve(ctx, w, b.seconds, best, nil)
		if err != nil {
			return nil, err
		}
		if vain++; enough(best, next.plan.Cost.Total) {
			vain = 0
		}
		if next.plan.Cost.Total < best.Cost.Total {
			best = next.plan
		}
	}
	if b.write != "" {
		return best, b.files(k, w, best)
	}
	return best, nil
}

// enough reports whether a cost in cents is so much below a plan's that it says
// something.
func enough(p *week.Plan, cents int64) bool {
	return (p.Cost.Total-cents)*10_000 > p.Cost.Total*saves
}

// without solves a copy of a week without a family. It returns what that saves at the
// least, in cents, or 0; and the best plan with all rules, which may be a better one than
// base now.
func (b *bench) without(ctx context.Context, w *week.Week, base *week.Plan, f family) (int64, *week.Plan, error) {
	x, err := copyOf(w)
	if err != nil {
		return 0, nil, err
	}
	f.drop(x)
	if err := x.Validate(); err != nil {
		return 0, nil, err
	}
	for range 3 {
		s, err := b.solve(ctx, x, b.seconds, base, func(cents int64) bool { return enough(base, cents) })
		if err != nil {
			return 0, nil, err
		}
		timed, err := dispatch.Solve(ctx, w, dispatch.Options{Seed: b.run, Strands: 1, Rounds: -1, NoReasons: true, Start: s.plan})
		if err == nil && timed.Cost.Total < base.Cost.Total { // its orders are good with all rules, too
			base = timed
			continue
		}
		if enough(base, s.plan.Cost.Total) {
			return base.Cost.Total - s.plan.Cost.Total, base, nil
		}
		break
	}
	return 0, base, nil
}

func copyOf(w *week.Week) (*week.Week, error) {
	text, err := json.Marshal(w)
	if err != nil {
		return nil, err
	}
	return week.DecodeWeek(bytes.NewReader(text))
}

func (b *bench) rulesTable(list []tally) error {
	for i := range list {
		list[i].Saves /= float64(max(1, list[i].Binding))
	}
	if b.json {
		return printJSON(list)
	}
	fmt.Fprintf(os.Stdout, "%-28s %-10s %s\n", "without", "binding", "saves % or more")
	for _, r := range list {
		fmt.Fprintf(os.Stdout, "%-28s %2d of %-4d %8.2f\n", r.Rule, r.Binding, r.Weeks, r.Saves)
	}
	return nil
}
