package dispatch_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
)

// tiny is a week on a half-hour grid: two crews, two days, jobs with up to five visits
// in all. Every drive, duration, hour and table value is a multiple of the grid and
// every cost is linear in the instants (no lunch, no lateness, nothing by the hour or
// day), so some cheapest plan lies on the grid and can be found by trying everything.
type tiny struct {
	w    *week.Week
	grid int64
}

func makeTiny(seed uint64) tiny {
	const g = int64(1800)
	r := rand.New(rand.NewPCG(seed, 5))
	w := &week.Week{Version: week.Version, Zone: "Etc/UTC", End: 2 * 86400, NextWorkday: week.NextWorkday{Day: 2, End: 3 * 86400},
		Days:   []week.Day{{Date: "2026-03-09"}, {Date: "2026-03-10", Start: 86400}},
		Skills: []week.Name{{ID: "electric"}}, Kinds: []week.Name{{ID: "drain"}, {ID: "convert"}},
		Homes: []week.Home{{ID: "home", Pumps: []int{1, 1}}}, Rates: week.Rates{LeftOutPermille: 1000, OwedCents: 100}}
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
			t := week.Tour{ID: fmt.Sprint(id, "-", d), Crew: id, Day: d, Start: yard, End: yard, Home: "home", Berths: 1, People: 1,
				ShiftFrom: at + 8*3600, ShiftTo: at + 12*3600, OvertimeTo: at + 13*3600, PayPerHour: 6000, OvertimePerHour: 9000, CostPerKm: 100}
			if c == 0 {
				t.Skills = []string{"electric"}
			}
			w.Tours = append(w.Tours, t)
		}
	}
	visit := func(j int, kind, at string, n int64) week.Visit {
		v := week.Visit{ID: fmt.Sprint("j", j, kind), Kind: kind, Place: at, Seconds: g * (1 + r.Int64N(n)), People: 1, Water: week.NeedNothing}
		if r.IntN(3) == 0 {
			v.Skills = []string{"electric"}
		}
		if from := 8*3600 + g*r.Int64N(4); r.IntN(3) == 0 {
			for d := range int64(2) {
				v.Allowed = append(v.Allowed, week.Span{From: d*86400 + from, To: d*86400 + from + g*r.Int64N(5)})
			}
		}
		return v
	}
	visits := 0
	for j := 0; visits < 4; j++ {
		at := place()
		job := week.Job{ID: fmt.Sprint("j", j), Value: 20000 + r.Int64N(40000), DueDay: 5}
		if r.IntN(2) == 0 {
			a, b := visit(j, "drain", at, 1), visit(j, "convert", at, 3)
			a.DropsPump, b.CollectsPump, b.Water = true, true, week.NeedLow
			after := func(s int64) week.Table { return week.Table{{X: 0, Y: s}, {X: 9 * 86400, Y: 9*86400 + s}} }
			low := g * (1 + r.Int64N(6))
			job.Visits = []week.Visit{a, b}
			job.Water = &week.Water{Way: week.WayPump, DrainVisit: a.ID, LowLate: after(low), LowEarly: after(low), Covered: after(g), LowLimit: after(g * (4 + r.Int64N(60)))}
		} else {
			job.Visits = []week.Visit{visit(j, "convert", at, 3)}
		}
		visits += len(job.Visits)
		w.Jobs = append(w.Jobs, job)
	}
	for i := range x {
		var s, m []int64
		for k := range x {
			d := max(x[i]-x[k], x[k]-x[i])
			s, m = append(s, d*g), append(m, d*10000)
		}
		w.Travel.Seconds, w.Travel.Metres = append(w.Travel.Seconds, s), append(w.Travel.Metres, m)
	}
	return tiny{w, g}
}

// best tries every set of jobs, tour, order and start on the grid and returns the least
// cost in cents. It shares nothing with search and knows only what tiny weeks have.
func (y tiny) best() int64 {
	w := y.w
	type at struct {
		tour       int
		start, end int64
	}
	drive := func(a, b string) (s, m int64) {
		var i, k int
		for n := range w.Places {
			if w.Places[n].ID == a {
				i = n
			}
			if w.Places[n].ID == b {
				k = n
			}
		}
		return w.Travel.Seconds[i][k], w.Travel.Metres[i][k]
	}
	var visits []*week.Visit
	var job []int
	for j := range w.Jobs {
		for n := range w.Jobs[j].Visits {
			visits, job = append(visits, &w.Jobs[j].Visits[n]), append(job, j)
		}
	}
	spots := make([]at, len(visits))
	best := int64(1) << 60
	// cost of the tours as they stand (half-done ones cost no more than done), or false
	cost := func(n int, final bool) (int64, bool) {
		sum := int64(0)
		loads := [2]int{}
		for t := range w.Tours {
			tour := &w.Tours[t]
			var order []int
			for v := range n {
				if spots[v].tour == t {
					order = append(order, v)
				}
			}
			if len(order) == 0 {
				continue
			}
			for i := range order {
				for k := i; k > 0 && spots[order[k]].start < spots[order[k-1]].start; k-- {
					order[k], order[k-1] = order[k-1], order[k]
				}
			}
			place, free, metres, on, least := tour.Start, int64(-1), int64(0), 0, 0
			depart, ret := int64(0), int64(0)
			for i, v := range order {
				s, m := drive(place, visits[v].Place)
				if i == 0 {
					depart = spots[v].start - s
				} else if free+s > spots[v].start {
					return 0, false
				}
				metres += m
				place, free = visits[v].Place, spots[v].end
				if visits[v].CollectsPump {
					on++
				}
				if on-least > 1 && final {
					return 0, false // more pumps than berths
				}
				if visits[v].DropsPump {
					on--
					least = min(least, on)
				}
			}
			s, m := drive(place, tour.End)
			ret, metres = free+s, metres+m
			if depart < tour.ShiftFrom || ret > tour.OvertimeTo {
				return 0, false
			}
			if final && -least > tour.Berths {
				return 0, false
			}
			loads[tour.Day] -= least
			sum += metres*tour.CostPerKm/1000 + (min(ret, tour.ShiftTo)-depart)*tour.PayPerHour/3600 + max(0, ret-tour.ShiftTo)*tour.OvertimePerHour/3600
		}
		out := [2]int{}
		for v := range n {
			if final && visits[v].DropsPump && spots[v].tour >= 0 && w.Tours[spots[v].tour].Day == 0 && w.Tours[spots[v+1].tour].Day == 1 {
				out[1]++
			}
		}
		for d := range loads {
			if final && loads[d] > 0 && loads[d] > w.Homes[0].Pumps[d]-out[d] {
				return 0, false
			}
		}
		return sum, true
	}
	var try func(v int, left int64)
	try = func(v int, left int64) {
		if sum, ok := cost(v, v == len(visits)); !ok || sum+left >= best {
			return
		} else if v == len(visits) {
			best = sum + left
			return
		}
		x, j := visits[v], &w.Jobs[job[v]]
		second := v > 0 && job[v-1] == job[v]
		if second && spots[v-1].tour < 0 || !second {
			spots[v] = at{tour: -1}
			add := int64(0)
			if !second {
				add = j.Value
			}
			try(v+1, left+add)
			if second {
				return
			}
		}
		for t := range w.Tours {
			tour := &w.Tours[t]
			if len(x.Skills) > 0 && len(tour.Skills) == 0 {
				continue
			}
			for s := tour.ShiftFrom; s+x.Seconds <= tour.OvertimeTo; s += y.grid {
				ok := len(x.Allowed) == 0
				for _, a := range x.Allowed {
					ok = ok || a.From <= s && s <= a.To
				}
				if second && ok {
					d := spots[v-1].end
					shift := func(t week.Table, z int64) int64 { return z + t[0].Y }
					ok = s >= shift(j.Water.LowLate, d) &&
						shift(j.Water.Covered, s+x.Seconds) <= shift(j.Water.LowLimit, shift(j.Water.LowEarly, d))
				}
				if ok {
					spots[v] = at{t, s, s + x.Seconds}
					try(v+1, left)
				}
			}
		}
		spots[v] = at{tour: -1}
	}
	try(0, 0)
	return best
}

// Tiny weeks: search is never dearer than trying everything, and never cheaper (that
// would be a rule that one of the two does not know).
func TestTinyWeeksEqualTheExhaustiveOptimum(t *testing.T) {
	seeds := uint64(150)
	if testing.Short() {
		seeds = 10
	}
	dearer := 0
	for seed := range seeds {
		y := makeTiny(seed)
		p := solved(t, y.w, dispatch.Options{Seed: 1, Strands: 2, Rounds: 3, NoReasons: true})
		want := y.best()
		switch {
		case p.Cost.Total < want:
			t.Errorf("seed %d: search finds %d, trying everything %d", seed, p.Cost.Total, want)
		case p.Cost.Total > want:
			dearer++
			t.Logf("seed %d: search finds %d, trying everything %d", seed, p.Cost.Total, want)
		}
	}
	if dearer > 0 {
		t.Errorf("%d of %d tiny weeks are dearer than the optimum", dearer, seeds)
	}
}
