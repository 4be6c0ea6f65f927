package bound_test

import (
	"context"
	"errors"
	"testing"

	"ebbline/dispatch/bound"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// cents that rounding may take off a bound.
const rounding = 6

func lower(t *testing.T, w *week.Week, iterations, cores int) bound.Result {
	t.Helper()
	if err := w.Validate(); err != nil {
		t.Fatal(err)
	}
	r, err := bound.Lower(context.Background(), w, bound.Options{Iterations: iterations, Cores: cores})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// byHand is a week of days on which one crew is paid 60.00 an hour from 8 to 18 o'clock,
// half an hour and 20 km at 1.00 away from the only site.
func byHand(days int, jobs ...week.Job) *week.Week {
	w := &week.Week{Version: week.Version, Zone: "Etc/UTC", Places: []week.Place{{ID: "yard"}, {ID: "site"}},
		Travel: week.Travel{Seconds: [][]int64{{0, 1800}, {1800, 0}}, Metres: [][]int64{{0, 20_000}, {20_000, 0}}},
		Kinds:  []week.Name{{ID: "convert"}, {ID: "drain"}}, Crews: []week.Name{{ID: "crew"}}, Jobs: jobs, Rates: week.Rates{LeftOutPermille: 1000}}
	for d := range days {
		at := int64(d) * 86400
		w.Days = append(w.Days, week.Day{Date: []string{"2026-03-09", "2026-03-10"}[d], Start: at})
		w.Tours = append(w.Tours, week.Tour{ID: w.Days[d].Date, Crew: "crew", Day: d, Start: "yard", End: "yard", People: 1, PayPerHour: 6000,
			OvertimePerHour: 9000, CostPerKm: 100, ShiftFrom: at + 8*3600, ShiftTo: at + 18*3600, OvertimeTo: at + 18*3600})
	}
	w.End = int64(days) * 86400
	w.NextWorkday = week.NextWorkday{Day: days, End: w.End + 86400}
	return w
}

func visit(id string, hours int64) week.Visit {
	return week.Visit{ID: id, Kind: "convert", Place: "site", Seconds: hours * 3600, People: 1, Water: week.NeedNothing}
}

func single(id string, hours, value int64) week.Job {
	return week.Job{ID: id, Value: value, DueDay: 9, Visits: []week.Visit{visit(id+"-visit", hours)}}
}

// Weeks so small that their cheapest plan can be added up by hand.
func TestLowerByHand(t *testing.T) {
	after := func(s int64) week.Table { return week.Table{{X: -86400, Y: s - 86400}, {X: 9 * 86400, Y: 9*86400 + s}} }
	drained := week.Job{ID: "pool", Value: 100_000, DueDay: 9, Visits: []week.Visit{visit("drain", 1), visit("convert", 2)},
		Water: &week.Water{Way: week.WayOutlet, DrainVisit: "drain", LowLate: after(15 * 3600), LowEarly: after(0), Covered: after(3600), LowLimit: after(48 * 3600)}}
	drained.Visits[1].Water = week.NeedLow
	low := byHand(2, drained)
	low.Rates.LowCents, low.Rates.LowFreeSeconds = 500, 10*3600
	for _, c := range []struct {
		name              string
		week              *week.Week
		unavoidable, cost int64
	}{
		{"two hours of work, one of driving, 40 km", byHand(1, single("a", 2, 100_000)), 2 * 6000, 3*6000 + 4000},
		{"cheaper left out", byHand(1, single("a", 2, 15_000)), 2 * 6000, 15_000},
		{"two on one way", byHand(1, single("a", 2, 100_000), single("b", 3, 100_000)), 5 * 6000, 6*6000 + 4000},
		{"room for one of two", byHand(1, single("a", 5, 100_000), single("b", 5, 80_000)), 10 * 6000, 80_000 + 6*6000 + 4000},
		{"a day each", byHand(2, single("a", 5, 100_000), single("b", 5, 80_000)), 10 * 6000, 2 * (6*6000 + 4000)},
		// The drain ends at 17:30 at the latest, just 15 h before 8:30 when the crew can be
		// back; until 11:30, an hour after the work, the pool lies low for 18 h, eight paid.
		{"drained overnight", low, 3*6000 + 8*500, 5*6000 + 2*4000 + 8*500},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := lower(t, c.week, 100, 1)
			if r.Cents > c.cost || r.Cents < c.cost-rounding {
				t.Errorf("the bound is %d, the cheapest plan costs %d", r.Cents, c.cost)
			}
			if r.Unavoidable > c.unavoidable || r.Unavoidable < c.unavoidable-rounding {
				t.Errorf("unavoidable is %d, by hand %d", r.Unavoidable, c.unavoidable)
			}
		})
	}
}

func tight(seed uint64) *week.Week {
	return weeks.Make(weeks.Shape{Seed: seed, Crews: 3, Days: 3, Load: weeks.Tight})
}

// More iterations never give less, and the first gives more than what is unavoidable.
func TestMoreIterationsAreNeverWorse(t *testing.T) {
	w := tight(1)
	before := int64(0)
	for _, n := range []int{0, 1, 2, 3, 5, 8, 13, 21, 34} {
		r := lower(t, w, n, 1)
		if r.Iterations > n {
			t.Errorf("%d iterations of %d", r.Iterations, n)
		}
		if r.Cents < before || r.Cents < r.Unavoidable {
			t.Errorf("%d iterations: %d, with fewer %d, unavoidable %d", n, r.Cents, before, r.Unavoidable)
		}
		before = r.Cents
	}
	if r := lower(t, w, 0, 1); before <= r.Unavoidable {
		t.Errorf("34 iterations give %d, and %d is unavoidable", before, r.Unavoidable)
	}
}

func TestCoresDoNotMatter(t *testing.T) {
	for seed := range uint64(3) {
		w := tight(seed)
		if one, two := lower(t, w, 20, 1), lower(t, w, 20, 2); one != two {
			t.Errorf("week %d: %+v on one core, %+v on two", seed, one, two)
		}
	}
}

// Without a rule a week's cheapest plan is no dearer, and neither is its bound, but for
// what the method leaves undone at the end.
func TestDroppingARuleNeverRaisesTheBound(t *testing.T) {
	rules := map[string]func(w *week.Week){
		"skills":     func(w *week.Week) { each(w, func(_ *week.Job, v *week.Visit) { v.Skills = nil }) },
		"people":     func(w *week.Week) { each(w, func(_ *week.Job, v *week.Visit) { v.People = 1 }) },
		"hours":      func(w *week.Week) { each(w, func(_ *week.Job, v *week.Visit) { v.Allowed, v.EndInside = nil, false }) },
		"not before": func(w *week.Week) { each(w, func(j *week.Job, _ *week.Visit) { j.NotBefore, j.NotAfter = nil, nil }) },
		"closures":   func(w *week.Week) { w.Closures = nil },
		"promises":   func(w *week.Week) { w.Promises = nil },
		"pins":       func(w *week.Week) { each(w, func(_ *week.Job, v *week.Visit) { v.Pin = nil }) },
		"low":        func(w *week.Week) { w.Rates.LowCents = 0 },
		"pumps": func(w *week.Week) {
			for h := range w.Homes {
				for d := range w.Homes[h].Pumps {
					w.Homes[h].Pumps[d] += 10
				}
			}
		},
		"lunch": func(w *week.Week) {
			for i := range w.Tours {
				w.Tours[i].Lunch = nil
			}
		},
	}
	seeds, lowered := uint64(2), 0
	for seed := range seeds {
		whole := lower(t, tight(seed), 40, 2)
		for name, drop := range rules {
			w := tight(seed)
			drop(w)
			r := lower(t, w, 40, 2)
			if most := whole.Cents + whole.Cents/200; r.Cents > most {
				t.Errorf("week %d: without %s the bound is %d, with it %d", seed, name, r.Cents, whole.Cents)
			}
			if r.Cents < whole.Cents-whole.Cents/200 {
				lowered++
			}
		}
	}
	if lowered < 3 {
		t.Errorf("%d of %d droppings lower the bound: the weeks don't bind", lowered, int(seeds)*len(rules))
	}
}

func each(w *week.Week, do func(j *week.Job, v *week.Visit)) {
	for j := range w.Jobs {
		for n := range w.Jobs[j].Visits {
			do(&w.Jobs[j], &w.Jobs[j].Visits[n])
		}
	}
}

// counted ends after its error was asked for so many times.
type counted struct {
	context.Context
	left int
}

func (c *counted) Err() error {
	if c.left--; c.left < 0 {
		return context.Canceled
	}
	return nil
}

// Wherever it is told to end, what it has is a bound.
func TestLowerEndsWithWhatItHas(t *testing.T) {
	w := tight(2)
	whole := lower(t, w, 100, 1)
	some := 0
	for _, after := range []int{0, 1, 5, 20, 200, 1000, 3000, 8000, 20000} {
		r, err := bound.Lower(&counted{context.Background(), after}, w, bound.Options{Iterations: 100, Cores: 1})
		if err != nil {
			t.Fatal(err)
		}
		if r.Cents > whole.Cents || r.Cents < r.Unavoidable || r.Unavoidable != 0 && r.Unavoidable != whole.Unavoidable {
			t.Errorf("ended after %d questions: %+v, the whole is %+v", after, r, whole)
		}
		if r.Cents > r.Unavoidable && r.Cents < whole.Cents {
			some++
		}
	}
	if some == 0 {
		t.Error("no end lay between the first iteration and the last")
	}
}

func TestLowerRefusesBegunWeeks(t *testing.T) {
	at, home := int64(3600), "home0"
	for name, begin := range map[string]func(w *week.Week){
		"a tour":         func(w *week.Week) { w.Tours[0].Begun = &week.Begun{} },
		"a job":          func(w *week.Week) { w.Jobs[0].Begun = true },
		"a drain":        func(w *week.Week) { pool(w).DrainedAt = &at },
		"filling":        func(w *week.Week) { pool(w).FillFrom = &at },
		"a pump on site": func(w *week.Week) { pool(w).PumpOnSite = home },
	} {
		w := tight(1)
		begin(w)
		if r, err := bound.Lower(context.Background(), w, bound.Options{Iterations: 5}); !errors.Is(err, bound.ErrBegun) || r != (bound.Result{}) {
			t.Errorf("%s has begun: %+v, %v", name, r, err)
		}
		if _, err := bound.Unavoidable(w); !errors.Is(err, bound.ErrBegun) {
			t.Errorf("%s has begun: unavoidable says %v", name, err)
		}
	}
}

// pool is the first with a drain.
func pool(w *week.Week) *week.Water {
	for j := range w.Jobs {
		if x := w.Jobs[j].Water; x != nil && x.DrainVisit != "" {
			return x
		}
	}
	panic("this week drains no pool")
}
