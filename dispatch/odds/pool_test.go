package odds_test

import (
	"fmt"
	"math"
	"testing"

	"ebbline/dispatch/odds"
	"ebbline/dispatch/week"
)

// pumped is a job whose pool is low so many hours of water time (median) after its drain
// visit, with the tables of the given late end.
func pumped(w *week.Week, median, late int64, logSD int64) {
	drain, low := brief("drain"), week.Visit{ID: "low", Seconds: hour, Water: week.NeedLow}
	table := week.Table{{X: 0, Y: late}, {X: 9 * hour, Y: late}, {X: 30 * hour, Y: late + 21*hour}}
	job(w, "pool", drain, low).Water = &week.Water{Way: week.WayOutlet, DrainVisit: "drain", LowLate: table,
		LowEarly: week.Table{{X: 0, Y: 0}, {X: 30 * hour, Y: 30 * hour}}, Covered: week.Table{{X: 0, Y: 5 * hour}, {X: 200 * hour, Y: 205 * hour}},
		LowLimit: week.Table{{X: 0, Y: 200 * hour}, {X: 100 * hour, Y: 300 * hour}}, DrainMedian: median, DrainLogSD: logSD}
}

// A pool is low at a planned start with the chance that the pumping takes no longer than
// the water hours until then; z of 0.9 is 1.281552 (Abramowitz and Stegun, table 26.5).
func TestPoolIsLow(t *testing.T) {
	const s, z9 = .25, 1.281552
	late := 4 * math.Exp(s*z9) // hours
	began := float64(8*hour + 60)
	for _, c := range []struct {
		name  string
		hours []week.Span
		late  float64 // instant by the table, in hours after the drain began
		start int64
		open  float64 // hours open from the drain's begin to the start
	}{
		{"all hours", nil, late, 13 * hour, (13*3600 - began) / 3600},
		{"open to 18:00", []week.Span{{From: 8 * hour, To: 18 * hour}, {From: 32 * hour, To: 42 * hour}}, late, 12 * hour, (12*3600 - began) / 3600},
		// Two hours go by until 10:01; the rest is pumped from 32:00 on.
		{"closed over night", []week.Span{{From: 8 * hour, To: 10*hour + 60}, {From: 32 * hour, To: 42 * hour}}, 32 - began/3600 + late - 2, 35 * hour, 5},
		{"a storm in between", []week.Span{{From: 8 * hour, To: 18 * hour}}, late + 1, 14 * hour, (13*3600 - began) / 3600},
	} {
		w := yard(1)
		w.WaterHours = c.hours
		if c.name == "a storm in between" {
			w.Closures = []week.Closure{{ID: "storm", All: true, StopsPumping: true, From: 9 * hour, To: 10 * hour}}
		}
		w.Uncertainty.WaterDayLogSD = 100
		pumped(w, 4*hour, int64(math.Round(began+c.late*3600)), 250)
		first, second := tourOf(w, "a0", "drain"), week.PlanTour{}
		if c.start > 24*hour {
			second = later(tourOf(w, "a1", "low"), 0, c.start)
		} else {
			first = later(tourOf(w, "a0", "drain", "low"), 1, c.start)
		}
		p := plan(first)
		if second.Tour != "" {
			p.Tours = append(p.Tours, second)
		}
		o := simulate(t, w, p, odds.Ask{Seed: 4, Runs: many})
		near(t, c.name, o.Pools[0].Low, below(math.Log(c.open/4)/s))
		if o.NotKnown.Drains != 0 || o.Pools[0].Job != "pool" || o.Pools[0].Visit != "low" {
			t.Errorf("%s: %+v, %+v", c.name, o.Pools[0], o.NotKnown)
		}
	}
}

// A customer starts the drain somewhere inside the told interval: with pumping that is
// certain, the pool is low by an instant with the share of the interval that is early
// enough. The interval [8:00, 10:00] and two hours of pumping: by 11:30 in three quarters.
func TestCustomerStartsInsideTheInterval(t *testing.T) {
	w := yard(1)
	flat := week.Table{{X: 0, Y: 2 * hour}, {X: 100 * hour, Y: 102 * hour}}
	job(w, "pool", week.Visit{ID: "low", Seconds: hour, Water: week.NeedLow}).Water = &week.Water{Way: week.WayCustomer, LowLate: flat, LowEarly: flat,
		Covered: flat, LowLimit: week.Table{{X: 0, Y: 200 * hour}, {X: 100 * hour, Y: 300 * hour}},
		Customer: &week.Customer{Hours: []week.Span{{From: 0, To: 24 * hour}}, NoticeHours: []week.Span{{From: 0, To: 24 * hour}}, Width: hour}}
	p := plan(later(tourOf(w, "a0", "low"), 0, 11*hour+1800))
	p.Told = []week.Told{{Job: "pool", Earliest: 8 * hour, Latest: 10 * hour}}
	w.Uncertainty.DriveLogSD = ptr(int64(0)) // known to be nothing
	o := simulate(t, w, p, odds.Ask{Seed: 4, Runs: many})
	near(t, "told interval", o.Pools[0].Low, .75)
	if o.Pools[0].Low.Known || o.Visits[0].Failed.Known || o.NotKnown.Drains != 1 {
		t.Error("the pumping has no spread yet, so what hangs on it is not known")
	}
	w.Jobs[0].Water.DrainMedian = hour
	if o = simulate(t, w, p, odds.Ask{Runs: 10}); !o.Pools[0].Low.Known || !o.Visits[0].Failed.Known {
		t.Error("known, and said not to be")
	}
}

// Lowering on arrival lengthens the visit: a promise after it is kept with the chance of
// the sum of the two log-normals.
func TestLoweringOnArrival(t *testing.T) {
	w := yard(1)
	low := log1("low", 300)
	low.Seconds, low.Water = 5*hour, week.NeedLow
	job(w, "pool", low).Water = &week.Water{Way: week.WayArrival, ArrivalSeconds: 2 * hour, DrainMedian: hour, DrainLogSD: 400,
		LowEarly: week.Table{{X: 0, Y: hour}, {X: 100 * hour, Y: 101 * hour}}, Covered: week.Table{{X: 0, Y: hour}, {X: 100 * hour, Y: 101 * hour}},
		LowLimit: week.Table{{X: 0, Y: 200 * hour}, {X: 110 * hour, Y: 310 * hour}}}
	w.WaterHours = []week.Span{{From: 0, To: 24 * hour}}
	job(w, "k", brief("next"))
	promise(w, "next", 0, 8*hour+int64(3.3*3600))
	o := simulate(t, w, plan(tourOf(w, "a0", "low", "next")), odds.Ask{Seed: 6, Runs: many})
	near(t, "lowering and work", o.Promises[0].Kept, sumBelow(3.3, 2, .3, 1, .4))
}

// A light is tested when the refill has covered it, which begins when the last low visit
// has ended: 10:00 and five hours' median.
func TestCoveredAgain(t *testing.T) {
	w := yard(1)
	const z9 = 1.281552
	late := int64(math.Round(5 * 3600 * math.Exp(.2*z9)))
	low := week.Visit{ID: "low", Seconds: 2 * hour, Water: week.NeedLow, MedianSeconds: 2 * hour}
	light := brief("light")
	light.Water = week.NeedCovered
	j := job(w, "pool", low, light)
	j.Begun = true
	j.Water = &week.Water{Way: week.WayOutlet, DrainedAt: ptr(-20 * hour), FillMedian: 5 * hour, FillLogSD: 200,
		LowLate: week.Table{{X: -30 * hour, Y: -10 * hour}, {X: 0, Y: 0}}, LowEarly: week.Table{{X: -30 * hour, Y: -10 * hour}, {X: 0, Y: 0}},
		Covered: week.Table{{X: 0, Y: late}, {X: 60 * hour, Y: 60*hour + late}}, LowLimit: week.Table{{X: -30 * hour, Y: 100 * hour}, {X: 0, Y: 130 * hour}}}
	promise(w, "light", 0, 15*hour+1800)
	o := simulate(t, w, plan(later(tourOf(w, "a0", "low", "light"), 1, 15*hour+1800)), odds.Ask{Seed: 6, Runs: many, Policy: odds.Policy{WaitSeconds: 12 * hour}})
	near(t, "covered", o.Promises[0].Kept, below(math.Log(5.5/5)/.2))
}

func ExampleShare_Face() {
	fmt.Println(odds.Share{Permille: 899, Known: true}.Face(), odds.Share{Permille: 900, Known: true}.Face(), odds.Share{Permille: 1000}.Face())
	// Output: tight loose not_known
}
