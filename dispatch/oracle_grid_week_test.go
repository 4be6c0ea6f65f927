package dispatch_test

import (
	"fmt"
	"math/rand/v2"

	"ebbline/dispatch/week"
)

// quarter is the grid of these weeks: every drive, duration, hour, lag and value of a
// table is a multiple of it. With orders fixed, all rules are then differences of
// instants against such multiples and all costs change at such multiples only, so some
// cheapest plan lies on the grid.
const quarter = int64(900)

// makeGrid is a week on the grid: two crews, two days, up to 8 visits; skills, people,
// one pump, lags, two crews at once, water, limits, closures, promises, what may be
// owed, overtime, waiting, lateness and lying low.
func makeGrid(seed uint64, most int) *week.Week {
	r := rand.New(rand.NewPCG(seed, 15))
	w := &week.Week{Version: week.Version, Zone: "Etc/UTC", End: 2 * 86400, NextWorkday: week.NextWorkday{Day: 2, End: 3 * 86400},
		Days:   []week.Day{{Date: "2026-03-09"}, {Date: "2026-03-10", Start: 86400}},
		Skills: []week.Name{{ID: "electric"}}, Kinds: []week.Name{{ID: "drain"}, {ID: "convert"}, {ID: "commission"}},
		Homes: []week.Home{{ID: "home", Pumps: []int{1, 1}}},
		Rates: week.Rates{LeftOutPermille: 1000, OwedCents: 3000, PromiseCents: 3000, WaitingPermille: 10, LateCents: 2000, LowCents: 500, LowFreeSeconds: 7200}}
	var x []int64
	place := func() string {
		id := fmt.Sprint("p", len(w.Places))
		w.Places = append(w.Places, week.Place{ID: id})
		x = append(x, r.Int64N(4))
		return id
	}
	yard := place()
	for c := range 2 {
		id := fmt.Sprint("c", c)
		w.Crews = append(w.Crews, week.Name{ID: id})
		for d := range 2 {
			at := int64(d) * 86400
			t := week.Tour{ID: fmt.Sprint(id, "-", d), Crew: id, Day: d, Start: yard, End: yard, Home: "home", Berths: 1, People: 1 + c,
				ShiftFrom: at + 8*3600, ShiftTo: at + 12*3600, OvertimeTo: at + 13*3600, PayPerHour: 6000, OvertimePerHour: 9000, CostPerKm: 100}
			if c == 0 {
				t.Skills = []string{"electric"}
			}
			w.Tours = append(w.Tours, t)
		}
	}
	shift := func(s int64) week.Table { return week.Table{{X: 0, Y: s}, {X: 9 * 86400, Y: 9*86400 + s}} }
	total := most - r.IntN(4)
	for j := 0; total > 0; j++ {
		at := place()
		job := week.Job{ID: fmt.Sprint("j", j), Value: 20000 + 100*r.Int64N(400), DueDay: r.IntN(3) - 1}
		visit := func(kind string, n int64) *week.Visit {
			v := week.Visit{ID: fmt.Sprint(job.ID, "-", len(job.Visits)), Kind: kind, Place: at, Seconds: quarter * (1 + r.Int64N(n)), People: 1, Water: week.NeedNothing}
			if r.IntN(4) == 0 {
				v.Skills = []string{"electric"}
			} else if r.IntN(5) == 0 {
				v.People = 2
			}
			if from := 8*3600 + quarter*r.Int64N(8); r.IntN(4) == 0 {
				v.EndInside = r.IntN(2) == 0
				for d := range int64(2) {
					v.Allowed = append(v.Allowed, week.Span{From: d*86400 + from, To: d*86400 + from + v.Seconds + quarter*r.Int64N(6)})
				}
			}
			job.Visits = append(job.Visits, v)
			return &job.Visits[len(job.Visits)-1]
		}
		link := func(fromEnd bool, lo, hi int64) {
			n := len(job.Visits)
			job.Links = append(job.Links, week.Link{From: job.Visits[n-2].ID, FromEnd: fromEnd, To: job.Visits[n-1].ID, Lo: &lo, Hi: &hi})
		}
		switch k := r.IntN(10); {
		case k < 3 && total > 1: // drained by a pump, or at the outlet
			drain := visit("drain", 2)
			drain.DropsPump = k < 2
			low := quarter * (1 + r.Int64N(10))
			job.Water = &week.Water{Way: week.WayPump, DrainVisit: drain.ID, LowLate: shift(low), LowEarly: shift(low / 2 / quarter * quarter),
				Covered: shift(quarter * (1 + r.Int64N(4))), LowLimit: shift(quarter * (26 + r.Int64N(90)))}
			v := visit("convert", 5)
			v.CollectsPump, v.Water = k < 2, week.NeedLow
			if k == 2 {
				job.Water.Way = week.WayOutlet
			}
			if total > 2 && r.IntN(2) == 0 {
				c := visit("commission", 2)
				c.Water, c.MayOwe = week.NeedCovered, true
				link(true, 0, int64(1+r.IntN(4))*86400)
			}
		case k < 5 && total > 1:
			visit("convert", 5)
			visit("convert", 5)
			if k == 3 {
				link(false, 0, 0) // two crews at once
			} else {
				lo := quarter * r.Int64N(8)
				link(r.IntN(2) == 0, lo, lo+quarter*r.Int64N(30))
			}
		default:
			visit("convert", 6)
		}
		if r.IntN(6) == 0 {
			at := 86400 + quarter*(4*9+r.Int64N(12))
			if r.IntN(2) == 0 {
				job.NotBefore = &at
			} else {
				job.NotAfter = &at
			}
		}
		if r.IntN(4) == 0 {
			from := int64(r.IntN(2))*86400 + 8*3600 + quarter*r.Int64N(12)
			w.Promises = append(w.Promises, week.Promise{ID: "promise-" + job.ID, Visit: job.Visits[0].ID, From: from, To: from + 4*quarter})
		}
		total -= len(job.Visits)
		w.Jobs = append(w.Jobs, job)
	}
	if from := int64(r.IntN(2))*86400 + 8*3600 + quarter*r.Int64N(12); r.IntN(2) == 0 {
		w.Closures = append(w.Closures, week.Closure{ID: "storm", All: true, From: from, To: from + quarter*(1+r.Int64N(4))})
	}
	for i := range x {
		var s, m []int64
		for k := range x {
			d := max(x[i]-x[k], x[k]-x[i])
			s, m = append(s, d*quarter), append(m, d*10000)
		}
		w.Travel.Seconds, w.Travel.Metres = append(w.Travel.Seconds, s), append(w.Travel.Metres, m)
	}
	return w
}
