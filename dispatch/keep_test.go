package dispatch_test

import (
	"context"
	"math"
	"os"
	"slices"
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/check"
	"ebbline/dispatch/odds"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// promised is a week in which the customers of first visits were promised two hours
// around the start in a first plan, too tight to be sure.
func promised(t *testing.T, s weeks.Shape) *week.Week {
	t.Helper()
	w := weeks.Make(s)
	w.Promises, w.HandedOut = nil, nil
	for i := range w.Tours {
		w.Tours[i].Frozen = nil
	}
	p, err := dispatch.Solve(context.Background(), w, dispatch.Options{Seed: 3, Strands: 1, Rounds: 6, NoReasons: true})
	if err != nil {
		t.Fatal(err)
	}
	ix := week.NewIndex(w)
	for _, pt := range p.Tours {
		for k, x := range pt.Stops {
			if k > 0 && ix.Visit[x.Visit].Number == 0 {
				w.Promises = append(w.Promises, week.Promise{ID: "to " + x.Visit, Visit: x.Visit, From: x.Start - 5400, To: x.Start + 1800})
			}
		}
	}
	return w
}

// uniform is the week with every visit planned at one quantile of its length.
func uniform(w *week.Week, permille int64) *week.Week {
	z := math.Sqrt2 * math.Erfinv(float64(2*permille-1000)/1000)
	x := *w
	x.Jobs = slices.Clone(w.Jobs)
	for j := range x.Jobs {
		job := &x.Jobs[j]
		job.Visits = slices.Clone(job.Visits)
		for n := range job.Visits {
			v := &job.Visits[n]
			longer := int64(float64(v.MedianSeconds)*math.Exp(z*float64(v.LogSD)/1000)) - int64(float64(v.MedianSeconds)*math.Exp(.841621*float64(v.LogSD)/1000))
			v.Seconds += longer
		}
	}
	return &x
}

// reaches says that by lives of a plan every promise is kept with a chance, within two
// standard errors.
func reaches(t *testing.T, w *week.Week, p *week.Plan, permille int64) bool {
	t.Helper()
	o, err := odds.Simulate(w, p, odds.Ask{Seed: 77, Runs: 2000})
	if err != nil {
		t.Fatal(err)
	}
	return !slices.ContainsFunc(o.Promises, func(x odds.Promise) bool { return x.Kept.Permille+2*x.Kept.ErrorPermille < permille })
}

// A plan for a wanted keep-rate reaches it by odds that nothing was chosen by, and costs
// less than planning everything at one high quantile does.
func TestSolveForKeepsWhatIsAsked(t *testing.T) {
	shapes := []weeks.Shape{{Seed: 1, Crews: 4, Days: 3, Load: weeks.Calm}, {Seed: 2, Crews: 4, Days: 3, Load: weeks.Tight}}
	if os.Getenv("EBBLINE_LONG") != "" {
		for seed := uint64(3); seed <= 8; seed++ {
			shapes = append(shapes, weeks.Shape{Seed: seed, Crews: 6, Days: 5, Load: weeks.Tight})
		}
	}
	reached := 0
	for _, s := range shapes {
		w := promised(t, s)
		k, err := dispatch.SolveFor(context.Background(), w, dispatch.Options{Seed: 1, Strands: 1, Rounds: 10, NoReasons: true},
			dispatch.KeepAsk{Permille: 950, Odds: odds.Ask{Seed: 1}})
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("seed %d: reached %t, least %d, cost %d, short of it %v, after %d steps", s.Seed, k.Reached, k.Least, k.Plan.Cost.Total, k.Promises, len(k.Steps))
		if r := check.Plan(w, k.Plan); !r.OK() || r.Cost != k.Plan.Cost {
			t.Errorf("seed %d: the checker says %v and %v", s.Seed, r.Broken, r.Cost)
		}
		if k.Steps[0].Short == 0 {
			t.Errorf("seed %d: the plan without a wish is as sure, so nothing is shown", s.Seed)
		}
		if k.Reached != (len(k.Promises) == 0) {
			t.Errorf("seed %d: reached %t, short %v", s.Seed, k.Reached, k.Promises)
		}
		if !k.Reached {
			continue
		}
		reached++
		if !reaches(t, w, k.Plan, 945) { // other lives still
			t.Errorf("seed %d: said to be reached, and is not", s.Seed)
		}
		for _, q := range []int64{900, 950, 980, 990} {
			u := uniform(w, q)
			p, err := dispatch.Solve(context.Background(), u, dispatch.Options{Seed: 1, Strands: 1, Rounds: 20, NoReasons: true})
			if err != nil {
				t.Fatal(err)
			}
			ok := reaches(t, w, p, 950)
			t.Logf("   everything at %d: cost %d, reached %t", q, p.Cost.Total, ok)
			if (ok || q == 950) && p.Cost.Total <= k.Plan.Cost.Total {
				t.Errorf("seed %d: everything planned at %d permille costs %d, by wishes %d", s.Seed, q, p.Cost.Total, k.Plan.Cost.Total)
			}
		}
	}
	if reached < 2 {
		t.Errorf("%d of %d weeks reached", reached, len(shapes))
	}
}

// What can't be reached is said: a promise for before the parts arrive. Pools are kept low
// where that is asked for.
func TestSolveForSaysWhatItCannot(t *testing.T) {
	w := promised(t, weeks.Shape{Seed: 2, Crews: 4, Days: 3, Load: weeks.Tight})
	at := int64(2 * 86_400)
	for j := range w.Jobs {
		if v := &w.Jobs[j].Visits[0]; v.ID == w.Promises[0].Visit {
			w.Jobs[j].NotBefore, v.Pin, v.Allowed, w.Jobs[j].NotAfter = &at, nil, nil, nil
		}
	}
	w.Promises[0].From, w.Promises[0].To = 9*3600, 11*3600
	k, err := dispatch.SolveFor(context.Background(), w, dispatch.Options{Seed: 1, Strands: 1, Rounds: 4, NoReasons: true},
		dispatch.KeepAsk{Permille: 900, Pools: true, Steps: 4, Odds: odds.Ask{Seed: 1}})
	if err != nil {
		t.Fatal(err)
	}
	if k.Reached || k.Least != 0 || !slices.Contains(k.Promises, w.Promises[0].ID) {
		t.Errorf("reached %t, least %d, short %v", k.Reached, k.Least, k.Promises)
	}
	for _, x := range k.Odds.Pools {
		if x.Low.Permille+2*x.Low.ErrorPermille < 900 && !slices.Contains(k.Pools, x.Job) {
			t.Errorf("pool %+v is not said to fall short", x)
		}
	}
}

func TestSolveForRefuses(t *testing.T) {
	w := weeks.Make(weeks.Shape{Seed: 1, Crews: 2, Days: 2, Load: weeks.Calm})
	for _, c := range []struct {
		name   string
		rounds int
		ask    dispatch.KeepAsk
		week   *week.Week
	}{
		{"certainty", 1, dispatch.KeepAsk{Permille: 1000}, w},
		{"no chance", 1, dispatch.KeepAsk{}, w},
		{"steps", 1, dispatch.KeepAsk{Permille: 900, Steps: -1}, w},
		{"runs", 1, dispatch.KeepAsk{Permille: 900, Odds: odds.Ask{Runs: -5}}, w},
		{"a bad week", 1, dispatch.KeepAsk{Permille: 900}, &week.Week{}},
		{"nothing known", 1, dispatch.KeepAsk{Permille: 900}, unsure(w)},
	} {
		if _, err := dispatch.SolveFor(context.Background(), c.week, dispatch.Options{Seed: 1, Strands: 1, Rounds: c.rounds}, c.ask); err == nil {
			t.Errorf("%s: no error", c.name)
		}
	}
}

// unsure is a week that states no spread of anything.
func unsure(w *week.Week) *week.Week {
	x := *w
	x.Uncertainty, x.Jobs = nil, slices.Clone(w.Jobs)
	for j := range x.Jobs {
		job := &x.Jobs[j]
		job.Visits = slices.Clone(job.Visits)
		for n := range job.Visits {
			job.Visits[n].MedianSeconds, job.Visits[n].LogSD = 0, 0
		}
		if job.Water != nil {
			wt := *job.Water
			wt.DrainMedian, wt.DrainLogSD, wt.FillMedian, wt.FillLogSD = 0, 0, 0, 0
			job.Water = &wt
		}
	}
	return &x
}

// A context that has ended leaves the first plan, with its odds.
func TestSolveForStops(t *testing.T) {
	w := promised(t, weeks.Shape{Seed: 1, Crews: 2, Days: 2, Load: weeks.Calm})
	ctx, stop := context.WithCancel(context.Background())
	stop()
	k, err := dispatch.SolveFor(ctx, w, dispatch.Options{Seed: 1, Strands: 1}, dispatch.KeepAsk{Permille: 900})
	if err != nil || k.Plan == nil || k.Odds == nil || len(k.Steps) != 1 {
		t.Fatalf("%+v, %v", k, err)
	}
}
