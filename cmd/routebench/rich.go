package main

import (
	"context"
	"fmt"
	"math"
	"strconv"

	"ebbline/cmd/internal/budget"
	"ebbline/dispatch"
	"ebbline/dispatch/week"
)

// richWeek writes a set as a week of one day: each vehicle a crew that is paid for
// distance only, each customer a job of one visit, a tenth of a unit a metre and a
// second. Loads are the truck's room, a unit a litre. A visit lasts at least a second in a
// week; the sets have no shorter service.
func richWeek(in instance) *week.Week {
	depot := in.places[0]
	end := int64(depot.due*10) + 1
	day := (end/86400 + 1) * 86400
	w := &week.Week{Version: week.Version, Zone: "Etc/UTC", Days: []week.Day{{Date: "2026-03-09"}}, End: day,
		NextWorkday: week.NextWorkday{Day: 1, End: day + 86400}, Kinds: []week.Name{{ID: "visit"}},
		Rates: week.Rates{LeftOutPermille: 1000}}
	for i, a := range in.places {
		w.Places = append(w.Places, week.Place{ID: fmt.Sprint("p", i)})
		var m []int64
		for _, b := range in.places {
			m = append(m, int64(math.Floor(10*math.Hypot(a.x-b.x, a.y-b.y)+1e-9)))
		}
		w.Travel.Metres, w.Travel.Seconds = append(w.Travel.Metres, m), append(w.Travel.Seconds, m)
		if i == 0 {
			continue
		}
		w.Jobs = append(w.Jobs, week.Job{ID: fmt.Sprint("j", i), Value: 100_000_000, Visits: []week.Visit{{ID: strconv.Itoa(i), Kind: "visit",
			Place: fmt.Sprint("p", i), Seconds: max(1, int64(a.service*10)), People: 1, Room: int64(a.demand), Water: week.NeedNothing,
			Allowed: []week.Span{{From: int64(a.ready * 10), To: int64(a.due * 10)}}}}})
	}
	for k := range in.vehicles {
		id := fmt.Sprint("k", k)
		w.Crews = append(w.Crews, week.Name{ID: id})
		w.Tours = append(w.Tours, week.Tour{ID: id, Crew: id, Start: "p0", End: "p0", ShiftFrom: int64(depot.ready * 10), ShiftTo: int64(depot.due * 10),
			OvertimeTo: int64(depot.due * 10), People: 1, Room: int64(in.capacity), CostPerKm: 1000})
	}
	return w
}

// solveRich solves a set through the week engine; the routes are checked like the
// kernel's.
func (b bench) solveRich(ctx context.Context, c convention, in instance) (result, [][]int32, error) {
	if c.fewest {
		return result{}, nil, fmt.Errorf("the week engine knows distances only: use -convention dimacs")
	}
	w := richWeek(in)
	p, r, err := b.solveWeek(ctx, w)
	if err != nil {
		return result{}, nil, err
	}
	r.Instance = in.name
	var routes [][]int32
	for _, t := range p.Tours {
		var route []int32
		for _, s := range t.Stops {
			n, err := strconv.Atoi(s.Visit)
			if err != nil {
				return result{}, nil, err
			}
			route = append(route, int32(n))
		}
		routes = append(routes, route)
	}
	return r, routes, nil
}

// solveWeek has the week engine solve a set that was written as a week.
func (b bench) solveWeek(ctx context.Context, w *week.Week) (*week.Plan, result, error) {
	took := budget.Start()
	until, cancel := b.budget(ctx)
	defer cancel()
	iterations := 0
	p, err := dispatch.Solve(until, w, dispatch.Options{Seed: int64(b.seed), Strands: b.strands, Cores: b.cores, NoReasons: true,
		Progress: func(x dispatch.Progress) { iterations = int(x.Iterations) }})
	if err != nil {
		return nil, result{}, err
	}
	r := result{Vehicles: len(p.Tours), Iterations: iterations}
	r.took(took)
	return p, r, nil
}
