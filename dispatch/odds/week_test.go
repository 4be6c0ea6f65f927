package odds_test

import (
	"context"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"ebbline/dispatch/odds"
	"ebbline/dispatch/search"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

var shapes = []weeks.Shape{
	{Seed: 1, Crews: 6, Days: 5, Load: weeks.Tight}, {Seed: 2, Crews: 4, Days: 4, Load: weeks.Over}, {Seed: 3, Crews: 5, Days: 3, Load: weeks.Calm},
	{Seed: 4, Crews: 3, Days: 5, Jobs: 30}, {Seed: 5, Crews: 5, Days: 10, Load: weeks.Tight},
}

// certain takes out all that is uncertain.
func certain(w *week.Week) *week.Week {
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

// In a week of which nothing is uncertain all goes as planned, or earlier where nobody
// was told: every promise that the plan keeps is kept, every pool is low, nothing fails;
// the bars are not zero, and all of it is said to be not known.
func TestCertainWeek(t *testing.T) {
	for _, s := range shapes {
		w, p := planned(t, s, 4)
		certainWeek(t, s, certain(w), p)
		// The same as of Tuesday noon: what has begun is a fact.
		x := weeks.Later(w, p, 36*hour)
		for i := range x.Tours {
			x.Tours[i].Frozen = nil
		}
		if x.Validate() != nil {
			t.Fatalf("seed %d: %v", s.Seed, x.Validate())
		}
		q, err := search.Run(context.Background(), x, search.Options{Seed: 1, Strands: 1, Rounds: 2}, nil)
		if err != nil {
			t.Fatal(err)
		}
		certainWeek(t, s, certain(x), q)
	}
}

func certainWeek(t *testing.T, s weeks.Shape, w *week.Week, p *week.Plan) {
	t.Helper()
	begun := 0
	for i := range w.Tours {
		if b := w.Tours[i].Begun; b != nil {
			begun += len(b.Stops)
		}
	}
	o := simulate(t, w, p, odds.Ask{Seed: 1, Runs: 200})
	start := map[string]int64{}
	for _, pt := range p.Tours {
		for _, x := range pt.Stops {
			start[x.Visit] = x.Start
		}
	}
	if !o.NotKnown.Everything() || o.NotKnown.VisitsOf != len(start)-begun {
		t.Errorf("seed %d: not known %+v of %d", s.Seed, o.NotKnown, len(start))
	}
	if o.Failed != (odds.Mean{}) {
		t.Errorf("seed %d: %v fail", s.Seed, o.Failed)
	}
	for _, v := range o.Visits {
		if v.Start.P10 > start[v.Visit] || v.Start.P90 > start[v.Visit] || v.Failed.Permille != 0 || v.Failed.ErrorPermille == 0 {
			t.Errorf("seed %d: %+v, planned at %d", s.Seed, v, start[v.Visit])
		}
	}
	windows := map[string]week.Promise{}
	for _, x := range w.Promises {
		windows[x.ID] = x
	}
	for _, x := range o.Promises {
		at, in := start[x.Visit]
		want := int64(0)
		if win := windows[x.Promise]; in && win.From <= at && at <= win.To {
			want = 1000
		}
		if in && (x.Kept.Permille < want || x.Kept.Known || x.Kept.ErrorPermille < 7) || !in && x.Kept != (odds.Share{Known: true}) {
			t.Errorf("seed %d: promise %+v, planned %d, want %d", s.Seed, x, at, want)
		}
	}
	for _, x := range o.Pools {
		if x.Low.Permille != 1000 || x.Low.Known || x.Short > 0 {
			t.Errorf("seed %d: pool %+v", s.Seed, x)
		}
	}
	for _, x := range o.Tours {
		if i := slices.IndexFunc(p.Tours, func(pt week.PlanTour) bool { return pt.Tour == x.Tour }); x.Return.P90 > p.Tours[i].Return {
			t.Errorf("seed %d: tour %+v, planned back at %d", s.Seed, x, p.Tours[i].Return)
		}
	}
}

// A run can be replayed alone: the replays of all runs add up to what was simulated,
// however many cores shared them out.
func TestReplayAndCores(t *testing.T) {
	w, p := planned(t, shapes[1], 4)
	ask := odds.Ask{Seed: -3, Runs: 60}
	o := simulate(t, w, p, ask)
	for _, cores := range []int{2, 3, 7} {
		ask.Cores = cores
		if !reflect.DeepEqual(simulate(t, w, p, ask), o) {
			t.Errorf("%d cores say something else", cores)
		}
	}
	kept, failed, calls := map[string]int{}, map[string]int{}, int64(0)
	backs := map[string][]int64{}
	for run := range ask.Runs {
		l, err := odds.Replay(w, p, ask, run)
		if err != nil {
			t.Fatal(err)
		}
		calls += l.Calls
		for _, v := range l.Visits {
			if v.Failed {
				failed[v.Visit]++
			}
			for _, x := range w.Promises {
				if x.Visit == v.Visit && !v.Failed && x.From <= v.Start && v.Start <= x.To {
					kept[x.ID]++
				}
			}
		}
		for _, x := range l.Tours {
			backs[x.Tour] = append(backs[x.Tour], x.Return)
		}
	}
	permille := func(n int) int64 { return (int64(n)*1000 + 30) / 60 }
	for _, x := range o.Promises {
		if x.Kept.Permille != permille(kept[x.Promise]) {
			t.Errorf("%+v, replayed %d of 60", x, kept[x.Promise])
		}
	}
	for _, x := range o.Visits {
		if x.Failed.Permille != permille(failed[x.Visit]) {
			t.Errorf("%+v, replayed %d of 60 failed", x, failed[x.Visit])
		}
	}
	for _, x := range o.Tours {
		slices.Sort(backs[x.Tour])
		if b := backs[x.Tour]; x.Return != (odds.Times{P10: b[5], P50: b[29], P90: b[53]}) {
			t.Errorf("%+v, replayed %d %d %d", x, b[5], b[29], b[53])
		}
	}
	if want := (calls*1000 + 30) / 60; o.Calls.Milli != want {
		t.Errorf("calls %v, replayed %d", o.Calls, want)
	}
}

// The order of the file changes nothing.
func TestOrderOfTheFile(t *testing.T) {
	for _, s := range shapes[:2] {
		w, p := planned(t, s, 4)
		o := simulate(t, w, p, odds.Ask{Seed: 5, Runs: 50})
		r := rand.New(rand.NewPCG(1, s.Seed))
		x, q := *w, *p
		shuffled(r, &x.Jobs)
		shuffled(r, &x.Tours)
		shuffled(r, &x.Promises)
		shuffled(r, &x.Closures)
		shuffled(r, &q.Tours)
		shuffled(r, &q.Told)
		if !reflect.DeepEqual(simulate(t, &x, &q, odds.Ask{Seed: 5, Runs: 50}), o) {
			t.Errorf("seed %d: shuffled, it says something else", s.Seed)
		}
	}
}

func shuffled[T any](r *rand.Rand, list *[]T) {
	*list = slices.Clone(*list)
	r.Shuffle(len(*list), func(i, j int) { (*list)[i], (*list)[j] = (*list)[j], (*list)[i] })
}

// Two plans of one week meet the same stuck cords under the same seed: a visit takes as
// long in both. Another seed gives others.
func TestCommonRandomNumbers(t *testing.T) {
	w, p := planned(t, shapes[0], 1)
	_, q := planned(t, shapes[0], 8)
	work := func(p *week.Plan, seed int64) map[string]int64 {
		l, err := odds.Replay(w, p, odds.Ask{Seed: seed}, 3)
		if err != nil {
			t.Fatal(err)
		}
		m, day := map[string]int64{}, map[string]int{}
		for i := range w.Tours {
			day[w.Tours[i].ID] = w.Tours[i].Day
		}
		for _, v := range l.Visits {
			if kind := v.Visit[strings.LastIndex(v.Visit, "-")+1:]; !v.Failed && kind != "convert" { // no lunch inside, no lowering
				m[v.Visit+"@"+string(rune('0'+day[v.Tour]))] = v.End - v.Start // the day has its own factor
			}
		}
		return m
	}
	a, b, c := work(p, 1), work(q, 1), work(p, 2)
	both, other := 0, 0
	for v, secs := range a {
		if same, ok := b[v]; ok {
			if both++; same != secs {
				t.Errorf("%s takes %d s in one plan, %d in the other", v, secs, same)
			}
		}
		if c[v] != secs {
			other++
		}
	}
	if both < 5 || other < len(a)*9/10 {
		t.Errorf("%d visits in both plans on the same day; %d of %d differ under another seed", both, other, len(a))
	}
}

func TestDamagedInput(t *testing.T) {
	w, p := planned(t, shapes[0], 2)
	for _, c := range []struct {
		name   string
		want   string
		change func(w *week.Week, p *week.Plan, ask *odds.Ask)
	}{
		{"runs", "runs: -1", func(_ *week.Week, _ *week.Plan, a *odds.Ask) { a.Runs = -1 }},
		{"too many runs", "runs: 20001", func(_ *week.Week, _ *week.Plan, a *odds.Ask) { a.Runs = 20_001 }},
		{"want", "want: 1000", func(_ *week.Week, _ *week.Plan, a *odds.Ask) { a.Want = 1000 }},
		{"cores", "cores: -2", func(_ *week.Week, _ *week.Plan, a *odds.Ask) { a.Cores = -2 }},
		{"patience", "policy", func(_ *week.Week, _ *week.Plan, a *odds.Ask) { a.Policy.WaitSeconds = 1e6 }},
		{"week", "the week: zone", func(w *week.Week, _ *week.Plan, _ *odds.Ask) { w.Zone = "" }},
		{"spread without a median", "median_seconds", func(w *week.Week, _ *week.Plan, _ *odds.Ask) { w.Jobs[0].Visits[0].MedianSeconds = 0 }},
		{"version", "version: 2", func(_ *week.Week, p *week.Plan, _ *odds.Ask) { p.Version = 2 }},
		{"tour", `"nobody"`, func(_ *week.Week, p *week.Plan, _ *odds.Ask) { p.Tours[0].Tour = "nobody" }},
		{"visit", `"nothing"`, func(_ *week.Week, p *week.Plan, _ *odds.Ask) { p.Tours[0].Stops[0].Visit = "nothing" }},
		{"visit twice", "once", func(_ *week.Week, p *week.Plan, _ *odds.Ask) {
			p.Tours[0].Stops[0].Visit = p.Tours[1].Stops[0].Visit
		}},
		{"order of time", "start", func(_ *week.Week, p *week.Plan, _ *odds.Ask) {
			p.Tours[0].Stops[len(p.Tours[0].Stops)-1].Start = 0
			p.Tours[0].Stops[0].End = 99_999
		}},
		{"told", "told[0]", func(_ *week.Week, p *week.Plan, _ *odds.Ask) { p.Told = []week.Told{{Job: "nobody"}} }},
	} {
		x, q, ask := certain(w), *p, odds.Ask{}
		x.Uncertainty = w.Uncertainty
		x.Jobs[0].Visits[0].LogSD, x.Jobs[0].Visits[0].MedianSeconds = 300, 600
		q.Tours = slices.Clone(p.Tours)
		for i := range q.Tours {
			q.Tours[i].Stops = slices.Clone(q.Tours[i].Stops)
		}
		c.change(x, &q, &ask)
		if _, err := odds.Simulate(x, &q, ask); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one that names %s", c.name, err, c.want)
		}
	}
	if _, err := odds.Simulate(nil, p, odds.Ask{}); err == nil {
		t.Error("no week: no error")
	}
	if _, err := odds.Replay(w, p, odds.Ask{Runs: 5}, 5); err == nil {
		t.Error("run past the last: no error")
	}
}
