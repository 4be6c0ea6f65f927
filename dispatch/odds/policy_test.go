package odds_test

import (
	"testing"

	"ebbline/dispatch/odds"
	"ebbline/dispatch/week"
)

// told is what happened to a visit.
func told(t *testing.T, w *week.Week, p *week.Plan, ask odds.Ask) map[string]odds.LifeVisit {
	t.Helper()
	l, err := odds.Replay(w, p, ask, 0)
	if err != nil {
		t.Fatal(err)
	}
	m := map[string]odds.LifeVisit{}
	for _, v := range l.Visits {
		m[v.Visit] = v
	}
	return m
}

// slow is a pool that is low only at an instant, though the plan has its visit at 9:00.
func slow(at int64) (*week.Week, *week.Plan) {
	w := yard(1)
	pumped(w, 0, at, 0)
	job(w, "k", week.Visit{ID: "other", Seconds: 2 * hour})
	job(w, "l", week.Visit{ID: "last", Seconds: hour})
	return w, plan(later(tourOf(w, "a0", "drain", "low", "other", "last"), 1, 9*hour))
}

// What a crew does that finds the water not ready. By hand: it comes at 8:01, the planned
// start is 9:00, so it waits until 9:45 at the longest.
func TestWaitsThenSwapsThenFails(t *testing.T) {
	type span struct{ start, end int64 }
	for _, c := range []struct {
		name   string
		low    int64
		policy odds.Policy
		want   map[string]span // no span: failed
	}{
		{"low in time", 9 * hour, odds.Policy{}, map[string]span{"low": {9 * hour, 10 * hour}, "other": {10 * hour, 12 * hour}, "last": {12 * hour, 13 * hour}}},
		{"waited for", 9*hour + 2700, odds.Policy{}, map[string]span{"low": {9*hour + 2700, 10*hour + 2700}, "other": {10*hour + 2700, 12*hour + 2700}}},
		{"swapped", 9*hour + 2701, odds.Policy{}, map[string]span{"other": {9*hour + 2700, 11*hour + 2700}, "low": {11*hour + 2700, 12*hour + 2700}, "last": {12*hour + 2700, 13*hour + 2700}}},
		{"not ready then either", 14 * hour, odds.Policy{}, map[string]span{"other": {9*hour + 2700, 11*hour + 2700}, "low": {}, "last": {11*hour + 2700 + 3600 - 900, 0}}},
		{"no swaps", 11 * hour, odds.Policy{NoSwaps: true}, map[string]span{"low": {}, "other": {9*hour + 2700, 11*hour + 2700}, "last": {11*hour + 2700, 12*hour + 2700}}},
		{"no patience", 9*hour + 1, odds.Policy{WaitSeconds: -1, NoSwaps: true}, map[string]span{"low": {}, "other": {9 * hour, 11 * hour}, "last": {11 * hour, 12 * hour}}},
	} {
		w, p := slow(c.low)
		got := told(t, w, p, odds.Ask{Policy: c.policy})
		for id, want := range c.want {
			v := got[id]
			if c.name == "not ready then either" && id == "last" { // at the swapped stop's turn it waits for another 45 min
				want = span{11*hour + 5400, 12*hour + 5400}
			}
			if v.Failed != (want == span{}) || !v.Failed && (v.Start != want.start || v.End != want.end) {
				t.Errorf("%s: %s %+v, want %+v", c.name, id, v, want)
			}
		}
		o := simulate(t, w, p, odds.Ask{Runs: 10, Policy: c.policy})
		fails := int64(0)
		for _, v := range got {
			if v.Failed {
				fails += 1000
			}
		}
		if o.Failed.Milli != fails || o.Failed.ErrorMilli != 0 {
			t.Errorf("%s: failed %+v, want %d", c.name, o.Failed, fails)
		}
	}
}

// Who was promised a window or told a start is not met early; who was not, is; hours of
// access and closures are kept.
func TestNotEarlyWhereTold(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(w *week.Week)
		want   int64
	}{
		{"told nothing", func(*week.Week) {}, 9 * hour},
		{"a window from 9:30", func(w *week.Week) { promise(w, "second", 9*hour+1800, 11*hour) }, 9*hour + 1800},
		{"a window that the plan breaks", func(w *week.Week) { promise(w, "second", 12*hour, 13*hour) }, 10 * hour},
		{"a start told", func(w *week.Week) {
			w.HandedOut = &week.HandedOut{Tours: []week.HandedTour{{Tour: "a0", Stops: []week.HandedStop{{Visit: "second", Start: 9*hour + 900}}}}}
		}, 9*hour + 900},
		{"pinned", func(w *week.Week) { w.Jobs[1].Visits[0].Pin = &week.Pin{Start: ptr(10 * hour)} }, 10 * hour},
		{"not before", func(w *week.Week) { w.Jobs[1].NotBefore = ptr(9*hour + 60) }, 9*hour + 60},
		{"hours of access", func(w *week.Week) { w.Jobs[1].Visits[0].Allowed = []week.Span{{From: 9*hour + 1200, To: 12 * hour}} }, 9*hour + 1200},
		{"a closure", func(w *week.Week) {
			w.Closures = []week.Closure{{ID: "c", Place: "yard", From: 9 * hour, To: 9*hour + 600}}
		}, 9*hour + 600},
		{"after another crew", func(w *week.Week) {
			w.Jobs[0].Visits = append(w.Jobs[0].Visits, w.Jobs[1].Visits[0])
			w.Jobs = w.Jobs[:1]
		}, 9 * hour},
	} {
		w := yard(1)
		job(w, "j", week.Visit{ID: "first", Seconds: 2 * hour, MedianSeconds: hour}) // takes an hour for certain
		job(w, "k", week.Visit{ID: "second", Seconds: hour})
		c.change(w)
		if got := told(t, w, plan(tourOf(w, "a0", "first", "second")), odds.Ask{})["second"].Start; got != c.want {
			t.Errorf("%s: starts at %d, want %d", c.name, got, c.want)
		}
	}
}

// Hours of access give way by the grace and no further; then the visit fails at once,
// and what needs it done as well.
func TestTurnedAway(t *testing.T) {
	for _, c := range []struct {
		to     int64
		failed bool
	}{{9 * hour, false}, {9*hour - 1800, false}, {9*hour - 1801, true}} {
		w := yard(1)
		job(w, "j", week.Visit{ID: "first", Seconds: hour})
		job(w, "k", week.Visit{ID: "second", Seconds: hour, Allowed: []week.Span{{From: 0, To: c.to}}}, week.Visit{ID: "third", Seconds: hour})
		job(w, "l", week.Visit{ID: "fourth", Seconds: hour})
		got := told(t, w, plan(tourOf(w, "a0", "first", "second", "third", "fourth")), odds.Ask{Policy: odds.Policy{NoSwaps: true}})
		if got["second"].Failed != c.failed || got["third"].Failed != c.failed || got["fourth"].Failed {
			t.Errorf("open to %d: %+v", c.to, got)
		}
		if c.failed && got["fourth"].Start != 9*hour {
			t.Errorf("open to %d: the crew goes on at %d, want 9:00", c.to, got["fourth"].Start)
		}
	}
}

// Where the drain fails nobody drives to what needs low water, and the pool is looked at
// as of the planned start; a crew that is out for too long starts nothing more.
func TestNobodyDrivesInVain(t *testing.T) {
	w, p := slow(9 * hour)
	w.Jobs[0].Visits[0].Allowed = []week.Span{{From: 0, To: hour}}
	w.Jobs[0].Visits[1].Place = "far"
	got := told(t, w, p, odds.Ask{Policy: odds.Policy{NoSwaps: true}})
	if !got["drain"].Failed || !got["low"].Failed || got["low"].Arrive != 0 || got["other"].Start != 8*hour {
		t.Errorf("%+v", got)
	}
	// With swaps the drain is tried again at the turn of the third, and fails then; nobody
	// has driven to the pool meanwhile.
	if got = told(t, w, p, odds.Ask{}); !got["drain"].Failed || !got["low"].Failed || got["low"].Arrive != 0 || got["last"].Failed {
		t.Errorf("with swaps: %+v", got)
	}
	// A customer has it low at 3:00; the crew is held up past midnight by what comes first.
	w = yard(1)
	job(w, "a", week.Visit{ID: "first", Seconds: hour, MedianSeconds: 16 * hour})
	flat := week.Table{{X: 0, Y: 2 * hour}, {X: 100 * hour, Y: 102 * hour}}
	job(w, "pool", week.Visit{ID: "low", Seconds: hour, Water: week.NeedLow}).Water = &week.Water{Way: week.WayCustomer, LowLate: flat, LowEarly: flat,
		Covered: flat, LowLimit: week.Table{{X: 0, Y: 200 * hour}, {X: 200 * hour, Y: 300 * hour}}, DrainedAt: ptr(hour)}
	w.Jobs[1].Begun, w.T0 = true, 2*hour
	p = plan(tourOf(w, "a0", "first", "low"))
	if got = told(t, w, p, odds.Ask{}); !got["low"].Failed || got["first"].Failed {
		t.Errorf("after the latest return: %+v", got)
	}
	if o := simulate(t, w, p, odds.Ask{Runs: 10}); o.Pools[0].Low.Permille != 1000 {
		t.Errorf("low by the planned start: %+v", o.Pools[0])
	}
}

// Work in a pool that is low by season must end with it, but for the grace.
func TestSeasonEnds(t *testing.T) {
	for _, c := range []struct {
		to     int64
		failed bool
	}{{11 * hour, false}, {11*hour - 1800, false}, {11*hour - 1801, true}} {
		w := yard(1)
		job(w, "a", week.Visit{ID: "first", Seconds: hour, MedianSeconds: 2 * hour})
		job(w, "pool", week.Visit{ID: "low", Seconds: hour, Water: week.NeedLow}).Water = &week.Water{Way: week.WayWindow, Window: &week.Span{From: 0, To: c.to}}
		if got := told(t, w, plan(tourOf(w, "a0", "first", "low")), odds.Ask{}); got["low"].Failed != c.failed {
			t.Errorf("low to %d: %+v", c.to, got["low"])
		}
	}
}

// A stop that is not ready itself is not swapped for.
func TestSwapsForWhatIsReady(t *testing.T) {
	w, p := slow(9*hour + 2701)
	w.Jobs[1].NotBefore = ptr(10 * hour) // other
	got := told(t, w, p, odds.Ask{})
	if got["last"].Start != 9*hour+2700 || !got["last"].Swapped || got["other"].Start != 10*hour+2700 || got["low"].Start != 12*hour+2700 {
		t.Errorf("%+v", got)
	}
}

// A crew that is early eats when the hours of lunch begin.
func TestLunchHasItsHours(t *testing.T) {
	w := yard(1)
	job(w, "j", week.Visit{ID: "first", Seconds: 2 * hour, MedianSeconds: hour})
	job(w, "k", brief("second"))
	w.Tours[0].Lunch = &week.Lunch{Seconds: 1800, From: 9*hour + 900, To: 11 * hour, DueAfter: hour}
	a := later(tourOf(w, "a0", "first", "second"), 1, 10*hour+1800)
	a.Lunch = &week.LunchTaken{Start: 10 * hour}
	if got := told(t, w, plan(a), odds.Ask{}); got["second"].Start != 9*hour+2700 {
		t.Errorf("%+v, want 9:45", got["second"])
	}
}

// Two crews that start together: the first waits for the other, and lunch is taken where
// it was planned, late rather than not at all.
func TestTogetherAndLunch(t *testing.T) {
	w := yard(2)
	job(w, "j", week.Visit{ID: "long", Seconds: hour, MedianSeconds: hour + 1200})
	j := job(w, "k", week.Visit{ID: "one", Seconds: hour}, week.Visit{ID: "two", Seconds: hour})
	j.Links = []week.Link{{From: "one", To: "two", Lo: ptr(int64(0)), Hi: ptr(int64(0))}}
	for i := range w.Tours {
		w.Tours[i].Lunch = &week.Lunch{Seconds: 1800, From: w.Tours[i].ShiftFrom + hour, To: w.Tours[i].ShiftFrom + 2*hour, DueAfter: hour}
	}
	a, b := tourOf(w, "a0", "long", "one"), later(tourOf(w, "b0", "two"), 0, 9*hour)
	a.Lunch = &week.LunchTaken{Start: 10 * hour} // after its last stop
	b.Lunch = &week.LunchTaken{Start: 9*hour + 600, Inside: "two"}
	got := told(t, w, plan(a, b), odds.Ask{})
	if got["one"].Start != 9*hour+1200 || got["two"].Start != 9*hour+1200 || got["one"].End != 10*hour+1200 || got["two"].End != 10*hour+3000 {
		t.Errorf("%+v", got)
	}
	l, err := odds.Replay(w, plan(a, b), odds.Ask{}, 0)
	if err != nil {
		t.Fatal(err)
	}
	if l.Tours[0].Return != 10*hour+3000 || l.Tours[1].Return != 10*hour+3000 {
		t.Errorf("home at %+v, want both at 10:50", l.Tours)
	}
	// An hour late is more than the other crew waits: both fail.
	w.Jobs[0].Visits[0].MedianSeconds = 2 * hour
	if got = told(t, w, plan(a, b), odds.Ask{}); !got["one"].Failed || !got["two"].Failed {
		t.Errorf("an hour late: %+v", got)
	}
	// And so they do if it is the crew of the second that is late.
	w.Jobs[1].Links[0].From, w.Jobs[1].Links[0].To = "two", "one"
	w.Jobs[1].Visits[0], w.Jobs[1].Visits[1] = w.Jobs[1].Visits[1], w.Jobs[1].Visits[0]
	if got = told(t, w, plan(a, b), odds.Ask{}); !got["one"].Failed || !got["two"].Failed {
		t.Errorf("the second an hour late: %+v", got)
	}
}

// A customer is called when the crew that sets out expects to be late by more than the
// policy lets pass, and when the visit fails.
func TestCalls(t *testing.T) {
	for _, c := range []struct {
		to    int64
		calls int64
	}{{9*hour + 1800, 0}, {9*hour + 900, 0}, {9*hour + 899, 1}, {9 * hour, 1}} {
		w := yard(1)
		job(w, "j", week.Visit{ID: "first", Seconds: hour})
		v := brief("second")
		v.Place = "far"
		job(w, "k", v)
		promise(w, "second", 0, c.to)
		l, err := odds.Replay(w, plan(tourOf(w, "a0", "first", "second")), odds.Ask{}, 0)
		if err != nil || l.Calls != c.calls {
			t.Errorf("window to %d: %d calls (%v), want %d", c.to, l.Calls, err, c.calls)
		}
	}
}

// What has begun is a fact: a start keeps its instant, a stop under way ends around its
// forecast, what comes after it follows.
func TestBegunIsAFact(t *testing.T) {
	w := yard(1)
	w.T0 = 9 * hour
	first := log1("first", 400)
	job(w, "j", first).Begun = true
	job(w, "k", brief("second"))
	promise(w, "first", 8*hour, 9*hour)
	promise(w, "second", 0, 10*hour)
	p := plan(tourOf(w, "a0", "first", "second"))
	p.Tours[0].Stops[0].End = 10 * hour // the forecast
	w.Tours[0].Begun = &week.Begun{Depart: 8 * hour, Place: "yard", FreeAt: 10 * hour, Stops: p.Tours[0].Stops[:1]}
	o := simulate(t, w, p, odds.Ask{Seed: 1, Runs: many})
	if got := o.Promises[0].Kept; got != (odds.Share{Permille: 1000, Known: true}) {
		t.Errorf("a promise that was kept: %+v", got)
	}
	near(t, "an hour is left, as likely more as less", o.Promises[1].Kept, .5)
	if len(o.Visits) != 1 || o.Visits[0].Visit != "second" {
		t.Errorf("visits %+v", o.Visits)
	}
}
