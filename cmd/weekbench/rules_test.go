package main

import (
	"context"
	"encoding/json"
	"regexp"
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// The orders of every plan of a week are a plan of the week without a family of rules,
// which costs no more but for a trifle; and each family has something to take out.
func TestPlansStayPlansWithoutARule(t *testing.T) {
	felt := map[string]bool{}
	for seed := range uint64(3) {
		w := weeks.Make(weeks.Shape{Seed: seed, Crews: 8, Days: 4, Load: weeks.Tight})
		p, err := dispatch.Solve(context.Background(), w, dispatch.Options{Seed: 1, Strands: 1, Rounds: 1, NoReasons: true})
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range families {
			x, err := copyOf(w)
			if err != nil {
				t.Fatal(err)
			}
			f.drop(x)
			if weeks.Hash(x) == weeks.Hash(w) {
				continue
			}
			felt[f.name] = true
			q, err := dispatch.Solve(context.Background(), x, dispatch.Options{Seed: 1, Strands: 1, Rounds: -1, NoReasons: true, Start: p})
			if err != nil {
				t.Errorf("without %s: %v", f.name, err)
			} else if q.Cost.Total > p.Cost.Total+p.Cost.Total/200 { // waiting over an unpaid lunch is paid without it
				t.Errorf("without %s: %d instead of %d", f.name, q.Cost.Total, p.Cost.Total)
			}
		}
	}
	for _, f := range families {
		if !felt[f.name] {
			t.Errorf("three weeks are the same without %s", f.name)
		}
	}
}

// A better plan that all rules allow is no saving of the rule that was left out.
func TestOnlyWhatARuleForbidsIsItsSaving(t *testing.T) {
	w := weeks.Make(weeks.Shape{Seed: 1, Crews: 4, Days: 3, Load: weeks.Tight})
	base, err := dispatch.Solve(context.Background(), w, dispatch.Options{Seed: 1, Strands: 1, Rounds: -1, NoReasons: true})
	if err != nil {
		t.Fatal(err)
	}
	b := bench{seconds: 0.3, strands: 2, cores: 2, run: 1, only: regexp.MustCompile("")}
	saved, better, err := b.without(context.Background(), w, base, family{"nothing", func(*week.Week) {}})
	if err != nil || saved != 0 || better.Cost.Total >= base.Cost.Total {
		t.Errorf("nothing saves %d, %v; from %d to %d with more searching", saved, err, base.Cost.Total, better.Cost.Total)
	}
	for _, f := range families {
		if f.name == "waiting" {
			if saved, _, err := b.without(context.Background(), w, better, f); err != nil || saved == 0 {
				t.Errorf("waiting for nothing saves %d, %v", saved, err)
			}
		}
	}
}

// Weeks without crews, jobs or both have a checked plan, too.
func TestEmptyWeeks(t *testing.T) {
	for _, s := range []weeks.Shape{{Crews: 0, Days: 3}, {Crews: 0, Days: 2, Jobs: 5}, {Crews: 3, Days: 2, Jobs: -1}, {Crews: 1, Days: 1, Jobs: 1}} {
		for _, planted := range []bool{false, true} {
			s.Load, s.Seed = weeks.Tight, 1
			b := bench{shape: s, jobs: s.Jobs, load: "tight", seconds: 0.05, strands: 1, cores: 1, bound: 2, planted: planted}
			r, err := b.one(context.Background(), 1)
			if err != nil || !r.Checked || r.Placed+r.LeftOut != r.Jobs {
				t.Errorf("%+v, planted %t: %+v, %v", s, planted, r, err)
			}
			text, err := json.Marshal(r)
			if err != nil {
				t.Fatal(err)
			}
			var said map[string]any
			if err := json.Unmarshal(text, &said); err != nil {
				t.Fatal(err)
			}
			for _, name := range []string{"first_plan_seconds", "cost_cents", "gap_best_percent", "gap_bound_percent", "planted_percent", "placed", "left_out", "undecided", "checked", "cpu_seconds", "peak_mb"} {
				if _, there := said[name]; !there {
					t.Errorf("no %s in %s", name, text)
				}
			}
		}
	}
}
