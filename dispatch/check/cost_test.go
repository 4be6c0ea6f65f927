package check

import (
	"testing"

	"ebbline/dispatch/week"
)

// TestCost compares heads with figures worked out by hand from the rates of newWeek:
// pay 90.00 an hour straight and 135.00 overtime, 0.60 a km, waiting 0.2 % a day, late
// 50.00 a day, left out 3 %, promise 75.00, told anew 20.00, low 4.00 an hour after
// 36 h, owed 15.00.
func TestCost(t *testing.T) {
	for _, c := range []struct {
		name string
		make func() (*week.Week, *week.Plan)
		want week.Cost
	}{
		{"nothing", func() (*week.Week, *week.Plan) { return newWeek(), &week.Plan{} }, week.Cost{}},
		// 30 km; 8:40 to 10:20 = 100 min = 150.00; due day 5 is not reached.
		{"a survey", survey, week.Cost{Driving: 1800, PaidTime: 15_000}},
		// The same with a value of 1,000.00 from T0 = 9:59:59 two days before: 2 whole days = 4.00.
		{"waiting", func() (*week.Week, *week.Plan) {
			w, p := survey()
			w.T0 = at(0, 10, 0) - 2*day - 1
			return w, p
		}, week.Cost{Driving: 1800, PaidTime: 15_000, Waiting: 400}},
		{"waiting, a second less", func() (*week.Week, *week.Plan) {
			w, p := survey()
			w.T0 = at(0, 10, 0) - 2*day + 1
			return w, p
		}, week.Cost{Driving: 1800, PaidTime: 15_000, Waiting: 200}},
		// Due two days before the first: late by 2.
		{"late", func() (*week.Week, *week.Plan) {
			w, p := survey()
			w.Jobs[0].DueDay = -2
			return w, p
		}, week.Cost{Driving: 1800, PaidTime: 15_000, Late: 10_000}},
		// Out 6:50 h (7:40 to 14:30, unpaid lunch inside): 6 h 20 min are paid: 570.00.
		{"unpaid lunch", func() (*week.Week, *week.Plan) {
			w, p := newWeek(), &week.Plan{}
			addSurvey(w, "s", "ash", 5*hour+40*minute).Visits[0].Interruptible = true
			addTour(w, p, "red0", 0, &week.LunchTaken{Start: at(0, 11, 0), Inside: "s.look"}, go1{"s.look", at(0, 8, 0)})
			return w, p
		}, week.Cost{Driving: 1800, PaidTime: 57_000}},
		{"paid lunch", func() (*week.Week, *week.Plan) {
			w, p := newWeek(), &week.Plan{}
			w.Tours[0].Lunch.Paid = true
			addSurvey(w, "s", "ash", 5*hour+40*minute).Visits[0].Interruptible = true
			addTour(w, p, "red0", 0, &week.LunchTaken{Start: at(0, 11, 0), Inside: "s.look"}, go1{"s.look", at(0, 8, 0)})
			return w, p
		}, week.Cost{Driving: 1800, PaidTime: 61_500}},
		// 13:40 to 16:20: 110 min straight = 165.00; 50 min over = 112.50.
		{"overtime", func() (*week.Week, *week.Plan) {
			w, p := newWeek(), &week.Plan{}
			addSurvey(w, "s", "ash", 2*hour)
			addTour(w, p, "red0", 0, nil, go1{"s.look", at(0, 14, 0)})
			return w, p
		}, week.Cost{Driving: 1800, PaidTime: 16_500, Overtime: 11_250}},
		// The same with unpaid lunch from 15:15 to 15:45 inside: 15 min off each, 30 min more over.
		{"lunch across the end of the shift", func() (*week.Week, *week.Plan) {
			w, p := newWeek(), &week.Plan{}
			addSurvey(w, "s", "ash", 2*hour).Visits[0].Interruptible = true
			w.Tours[0].Lunch.To = at(0, 16, 0)
			addTour(w, p, "red0", 0, &week.LunchTaken{Start: at(0, 15, 15), Inside: "s.look"}, go1{"s.look", at(0, 14, 0)})
			return w, p
		}, week.Cost{Driving: 1800, PaidTime: 14_250, Overtime: 14_625}},
		// 3 % of 1,000.00 and nothing late; of 4,000.00 and due day 1 against the working day 3.
		{"left out", func() (*week.Week, *week.Plan) {
			w := newWeek()
			addSurvey(w, "s", "ash", hour)
			addConversion(w, "c", "ash")
			return w, &week.Plan{LeftOut: []week.LeftOut{{Job: "s"}, {Job: "c"}}}
		}, week.Cost{LeftOut: 3000 + 12_000 + 10_000}},
		// Tours of 70 min, 4 h 40 min, 70 min. Waits from 0:00 Monday to 12:00 Tuesday: 1 day of 8.00.
		// May be low 16:30 Monday to 0:00 Wednesday = 31.5 h: free.
		{"a conversion", conversion, week.Cost{Driving: 5400, PaidTime: 10_500 + 42_000 + 10_500, Waiting: 800}},
		// Free for 31 h only: half an hour is a started hour.
		{"low", func() (*week.Week, *week.Plan) {
			w, p := conversion()
			w.Rates.LowFreeSeconds = 31 * hour
			return w, p
		}, week.Cost{Driving: 5400, PaidTime: 63_000, Waiting: 800, Low: 400}},
		{"low by a second into the second hour", func() (*week.Week, *week.Plan) {
			w, p := conversion()
			w.Rates.LowFreeSeconds = 30*hour + 30*minute - 1
			return w, p
		}, week.Cost{Driving: 5400, PaidTime: 63_000, Waiting: 800, Low: 800}},
		{"owed", func() (*week.Week, *week.Plan) {
			w, p := conversion()
			p.Tours, p.Owed = p.Tours[:2], []week.Owed{{Visit: "c.light"}}
			return w, p
		}, week.Cost{Driving: 3600, PaidTime: 52_500, Waiting: 800, Owed: 1500}},
		// Kept at both ends; broken by a second on either side; not in the plan.
		{"promises", func() (*week.Week, *week.Plan) {
			w, p := survey()
			addSurvey(w, "u", "ash", hour)
			p.LeftOut = []week.LeftOut{{Job: "u"}}
			w.Promises = []week.Promise{{ID: "a", Visit: "s.look", From: at(0, 9, 0), To: at(0, 11, 0)}, {ID: "b", Visit: "s.look", From: at(0, 7, 0), To: at(0, 9, 0)},
				{ID: "c", Visit: "s.look", From: at(0, 9, 0) + 1, To: at(0, 11, 0)}, {ID: "d", Visit: "s.look", From: at(0, 7, 0), To: at(0, 9, 0) - 1},
				{ID: "e", Visit: "u.look", From: at(0, 7, 0), To: at(0, 9, 0)}}
			return w, p
		}, week.Cost{Driving: 1800, PaidTime: 15_000, LeftOut: 3000, Promises: 22_500}},
		// Started at 9:00: on time, a second late, half an hour late, too early; a second of
		// lateness costs a cent, and the largest, half an hour, 3.00 an hour beyond that.
		{"promises, by the hour", func() (*week.Week, *week.Plan) {
			w, p := survey()
			w.Rates.PromiseCents, w.Rates.PromiseLateCents, w.Rates.PromiseWorstCents = 0, 3600, 300
			w.Promises = []week.Promise{{ID: "a", Visit: "s.look", From: at(0, 8, 0), To: at(0, 9, 0)}, {ID: "b", Visit: "s.look", From: at(0, 8, 0), To: at(0, 9, 0) - 1},
				{ID: "c", Visit: "s.look", From: at(0, 8, 0), To: at(0, 8, 30)}, {ID: "d", Visit: "s.look", From: at(0, 10, 0), To: at(0, 11, 0)}}
			return w, p
		}, week.Cost{Driving: 1800, PaidTime: 15_000, Promises: 1 + 1800 + 150}},
		{"the worst-served customer, among two", func() (*week.Week, *week.Plan) {
			w, p := survey()
			addSurvey(w, "u", "birch", hour)
			addTour(w, p, "blue0", 0, nil, go1{"u.look", at(0, 9, 0)})
			w.Rates.PromiseCents, w.Rates.PromiseWorstCents = 0, 3600
			w.Promises = []week.Promise{{ID: "a", Visit: "s.look", From: at(0, 8, 0), To: at(0, 9, 0) - 40}, {ID: "b", Visit: "u.look", From: at(0, 8, 0), To: at(0, 9, 0) - 50}}
			return w, p
		}, week.Cost{Driving: 3600, PaidTime: 30_000, Promises: 50}},
		// Left out there is no lateness, only the promise broken.
		{"a promise of a job left out", func() (*week.Week, *week.Plan) {
			w, _ := survey()
			w.Rates.PromiseLateCents, w.Rates.PromiseWorstCents = 3600, 3600
			w.Promises = []week.Promise{{ID: "a", Visit: "s.look", From: at(0, 7, 0), To: at(0, 8, 0)}}
			return w, &week.Plan{LeftOut: []week.LeftOut{{Job: "s"}}}
		}, week.Cost{LeftOut: 3000, Promises: 7500}},
		{"a sent interval kept", func() (*week.Week, *week.Plan) {
			w, p := customer()
			w.Jobs[0].Water.Customer.Sent = &week.Interval{Earliest: at(0, 15, 30), Latest: at(0, 17, 30)}
			return w, p
		}, week.Cost{Driving: 3600, PaidTime: 52_500, Waiting: 800}},
		{"a sent interval moved", func() (*week.Week, *week.Plan) {
			w, p := customer()
			w.Jobs[0].Water.Customer.Sent = &week.Interval{Earliest: at(0, 15, 30), Latest: at(0, 17, 31)}
			return w, p
		}, week.Cost{Driving: 3600, PaidTime: 52_500, Waiting: 800, Promises: 7500}},
		{"a sent interval of a job left out", func() (*week.Week, *week.Plan) {
			w, _ := customer()
			w.Jobs[0].Water.Customer.Sent = &week.Interval{Earliest: at(0, 15, 30), Latest: at(0, 17, 30)}
			return w, &week.Plan{LeftOut: []week.LeftOut{{Job: "c"}}}
		}, week.Cost{LeftOut: 22_000, Promises: 7500}},
		{"told anew: moved by 15 min is let pass", handed(900, nil), week.Cost{Driving: 1800, PaidTime: 15_000}},
		{"told anew: a second more is not", handed(901, nil), week.Cost{Driving: 1800, PaidTime: 15_000, ToldAnew: 2000}},
		{"told anew: earlier counts as well", handed(-901, nil), week.Cost{Driving: 1800, PaidTime: 15_000, ToldAnew: 2000}},
		{"told anew: another tour loses a stop", handed(0, []week.HandedTour{{Tour: "blue1", Stops: []week.HandedStop{{Visit: "gone", Start: at(1, 9, 0)}}}}),
			week.Cost{Driving: 1800, PaidTime: 15_000, ToldAnew: 2000}},
		{"told anew: an empty day was told", func() (*week.Week, *week.Plan) {
			w, p := survey()
			w.HandedOut = &week.HandedOut{}
			return w, p
		}, week.Cost{Driving: 1800, PaidTime: 15_000, ToldAnew: 2000}},
		// Each head is rounded to the cent once, half up; its legs and seconds are not.
		{"rounding", func() (*week.Week, *week.Plan) {
			w, p := survey()
			w.Travel.Metres[0][1], w.Travel.Metres[1][0] = 12, 13 // 25 m: 1.5 cents, rounded up
			w.Tours[0].PayPerHour = 1                             // 100 min at 1 cent an hour: 1.67 cents
			return w, p
		}, week.Cost{Driving: 2, PaidTime: 2}},
		{"rounding down", func() (*week.Week, *week.Plan) {
			w, p := survey()
			w.Travel.Metres[0][1], w.Travel.Metres[1][0] = 12, 12 // 24 m: 1.44 cents
			w.Tours[0].PayPerHour = 2                             // 3.33 cents
			return w, p
		}, week.Cost{Driving: 1, PaidTime: 3}},
	} {
		t.Run(c.name, func(t *testing.T) {
			w, p := c.make()
			wantOK(t, w, p)
			want := c.want
			want.Total = want.Driving + want.PaidTime + want.Overtime + want.Waiting + want.Late + want.LeftOut + want.Promises + want.ToldAnew + want.Low + want.Owed + want.RuleBreaks
			if p.Cost != want {
				t.Errorf("cost\n%+v, want\n%+v", p.Cost, want)
			}
			claimed := clone(p)
			claimed.Cost.PaidTime++
			claimed.Cost.Total++
			r := Plan(w, claimed)
			if len(r.Broken) != 2 || r.Broken[0].Rule != RuleCost || r.Broken[0].By != 1 || r.Broken[1].Rule != RuleCost {
				t.Errorf("a cent too much is not caught: %s", texts(r))
			}
		})
	}
}

// handed is the survey week whose crew was told to start by so much earlier.
func handed(by int64, more []week.HandedTour) func() (*week.Week, *week.Plan) {
	return func() (*week.Week, *week.Plan) {
		w, p := survey()
		w.HandedOut = &week.HandedOut{Tours: append([]week.HandedTour{{Tour: "red0", Stops: []week.HandedStop{{Visit: "s.look", Start: at(0, 9, 0) - by}}}}, more...)}
		return w, p
	}
}
