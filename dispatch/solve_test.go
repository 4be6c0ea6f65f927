package dispatch_test

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/check"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// solved solves a week and has the checker look at the plan once more.
func solved(t *testing.T, w *week.Week, o dispatch.Options) *week.Plan {
	t.Helper()
	return solvedIn(context.Background(), t, w, o)
}

func solvedIn(ctx context.Context, t *testing.T, w *week.Week, o dispatch.Options) *week.Plan {
	t.Helper()
	p, err := dispatch.Solve(ctx, w, o)
	if err != nil {
		var r *dispatch.RefusedError
		if errors.As(err, &r) {
			for i, b := range r.Broken {
				if i < 8 {
					t.Logf("%+v", b)
				}
			}
		}
		t.Fatal(err)
	}
	r := check.Plan(w, p)
	if !r.OK() {
		t.Fatalf("broken: %+v", r.Broken)
	}
	if r.Cost != p.Cost {
		t.Fatalf("cost: search says %+v, checker %+v", p.Cost, r.Cost)
	}
	return p
}

// Random rich weeks: every plan passes the checker and costs the same to the cent.
func TestRandomWeeksPassTheChecker(t *testing.T) {
	seeds := uint64(25)
	if testing.Short() {
		seeds = 5
	}
	for seed := range seeds {
		for _, s := range []weeks.Shape{{Crews: 3, Days: 5, Jobs: 30}, {Crews: 2, Days: 3, Jobs: 8}, {Crews: 6, Days: 4, Jobs: 30, Plain: true}, {Crews: 1, Days: 2, Jobs: 12}} {
			s.Seed = seed
			w := weeks.Make(s)
			drawRates(w, seed)
			p := solved(t, w, dispatch.Options{Seed: int64(seed), Strands: 2, Rounds: 1})
			if seed == 0 {
				t.Logf("%+v: %d left out, cost %+v", s, len(p.LeftOut), p.Cost)
			}
		}
	}
}

// drawRates gives two of three weeks prices for lateness past promised windows by the
// hour, and promises that some plans can't keep; and half of them trucks with room for a
// few visits.
func drawRates(w *week.Week, seed uint64) {
	r := rand.New(rand.NewPCG(seed, 11))
	w.Rates.PromiseLateCents, w.Rates.PromiseWorstCents = r.Int64N(3)*r.Int64N(4000), r.Int64N(3)*r.Int64N(9000)
	for j := range w.Jobs {
		if v := &w.Jobs[j].Visits[0]; r.IntN(3) == 0 {
			from := r.Int64N(2)*86400 + 7*3600
			w.Promises = append(w.Promises, week.Promise{ID: fmt.Sprint("drawn", j), Visit: v.ID, From: from, To: from + r.Int64N(5000)})
		}
	}
	for t := range w.Tours {
		w.Tours[t].Room = int64(seed%2) * r.Int64N(2) * (40 + r.Int64N(90))
	}
	for j := range w.Jobs {
		for i := range w.Jobs[j].Visits {
			w.Jobs[j].Visits[i].Room = r.Int64N(50)
		}
	}
}

// A week that has begun: what happened stays, what was told is priced, and an upset (a
// crew's day lost, a storm) still leaves a plan that passes the checker.
func TestBegunWeeksPassTheChecker(t *testing.T) {
	seeds := uint64(20)
	if testing.Short() {
		seeds = 4
	}
	for seed := range seeds {
		w := weeks.Make(weeks.Shape{Seed: seed, Crews: 4, Days: 5, Jobs: 30})
		drawRates(w, seed)
		p := solved(t, w, dispatch.Options{Seed: 1, Strands: 1, Rounds: 1})
		for _, t0 := range []int64{10*3600 + 17, 86400 + 11*3600 + 1, 86400*2 + 15*3600, 86400*3 + 20*3600} {
			x := weeks.Later(w, p, t0)
			if err := x.Validate(); err != nil {
				t.Fatalf("seed %d at %d: %v", seed, t0, err)
			}
			q := solved(t, x, dispatch.Options{Seed: 1, Strands: 1, Rounds: 1})
			if len(q.RuleBreaks) > 0 {
				t.Errorf("seed %d at %d: %d rules broken though nothing went wrong: %+v", seed, t0, len(q.RuleBreaks), q.RuleBreaks)
			}
			upset := *x
			upset.Tours = nil
			lost := false
			for _, tour := range x.Tours {
				if !lost && tour.Begun == nil && tour.Day >= 3 {
					lost = true
					continue
				}
				upset.Tours = append(upset.Tours, tour)
			}
			from := max(t0, 86400*3+9*3600)
			upset.Closures = append(append([]week.Closure(nil), x.Closures...), week.Closure{ID: "flood", Area: "area2", From: from, To: from + 20*3600, StopsPumping: true})
			upset.HandedOut = nil
			solved(t, &upset, dispatch.Options{Seed: 1, Strands: 1, Rounds: 1})
		}
	}
}
