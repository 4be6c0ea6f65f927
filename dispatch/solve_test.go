package dispatch_test

import (
	"context"
	"errors"
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/check"
	"ebbline/dispatch/internal/weeks"
	"ebbline/dispatch/week"
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
			p := solved(t, weeks.Make(s), dispatch.Options{Seed: int64(seed), Strands: 2, Rounds: 1})
			if seed == 0 {
				t.Logf("%+v: %d left out, cost %+v", s, len(p.LeftOut), p.Cost)
			}
		}
	}
}
