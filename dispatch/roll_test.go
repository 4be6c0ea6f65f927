package dispatch_test

import (
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/check"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// laterWeek is a week with its plan as it stands at an instant; some customers were
// promised the hours around their planned start.
func laterWeek(t *testing.T, seed uint64, t0 int64) (*week.Week, *week.Plan) {
	t.Helper()
	w := weeks.Make(weeks.Shape{Seed: seed, Crews: 4, Days: 4, Jobs: 26})
	p := solved(t, w, dispatch.Options{Seed: 1, Strands: 1, Rounds: 2, NoReasons: true})
	x := weeks.Later(w, p, t0)
	promise(x, p)
	return x, p
}

// promise promises every second customer who is still to be visited the hour before the
// planned start and the hour after.
func promise(w *week.Week, p *week.Plan) {
	begun := map[string]bool{}
	for i := range w.Tours {
		if b := w.Tours[i].Begun; b != nil {
			for _, s := range b.Stops {
				begun[s.Visit] = true
			}
		}
	}
	n := 0
	for _, pt := range p.Tours {
		for _, s := range pt.Stops {
			if n++; n%2 == 0 && !begun[s.Visit] && s.Start > w.T0 {
				w.Promises = append(w.Promises, week.Promise{ID: "told-" + s.Visit, Visit: s.Visit, From: s.Start - 3600, To: s.Start + 3600})
			}
		}
	}
}

// As long as nothing has happened, what is to be expected is what was planned.
func TestRollOfNothingIsThePlan(t *testing.T) {
	for seed := range uint64(8) {
		w, p := laterWeek(t, seed, 86400+4*3600)
		r, err := dispatch.Roll(w, p)
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range r.Limits {
			t.Errorf("seed %d: %s", seed, l.Text)
		}
		if rep := check.Plan(w, r.Plan); !rep.OK() {
			t.Errorf("seed %d: %+v", seed, rep.Broken)
		}
		for _, s := range r.Stops {
			if s.Start != s.Planned || s.Waits != 0 {
				t.Errorf("seed %d: %s of %s is expected at %d and was planned at %d", seed, s.Visit, s.Tour, s.Start, s.Planned)
			}
		}
		if len(r.Stops) < 10 || len(r.Late)+len(r.Water)+len(r.Lunches)+len(r.NoCrew) > 0 {
			t.Errorf("seed %d: %d stops, %+v", seed, len(r.Stops), r)
		}
	}
}
