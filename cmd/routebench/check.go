package main

import (
	"fmt"
	"math"
)

// check follows the routes by the set's own numbers and gives their length; it
// shares nothing with the search. An error says which rule is broken where.
func (c convention) check(in instance, routes [][]int32) (float64, error) {
	const slack = 1e-6
	seen := make([]bool, len(in.places))
	if len(routes) > in.vehicles {
		return 0, fmt.Errorf("%d routes, %d vehicles", len(routes), in.vehicles)
	}
	length := 0.0
	drive := func(a, b place) float64 {
		d := math.Sqrt((a.x-b.x)*(a.x-b.x) + (a.y-b.y)*(a.y-b.y))
		if c.fewest {
			return d
		}
		return math.Floor(d*10+1e-9) / 10
	}
	depot := in.places[0]
	for k, route := range routes {
		at, clock, load := depot, depot.ready, 0.0
		for _, stop := range route {
			if stop < 1 || int(stop) >= len(in.places) || seen[stop] {
				return 0, fmt.Errorf("route %d: place %d unknown or served twice", k, stop)
			}
			seen[stop] = true
			to := in.places[stop]
			length += drive(at, to)
			clock = math.Max(clock+drive(at, to), to.ready)
			if clock > to.due+slack {
				return 0, fmt.Errorf("route %d: place %d reached at %.4f, due %.4f", k, stop, clock, to.due)
			}
			clock += to.service
			load += to.demand
			at = to
		}
		length += drive(at, depot)
		if clock+drive(at, depot) > depot.due+slack {
			return 0, fmt.Errorf("route %d: back at %.4f, due %.4f", k, clock+drive(at, depot), depot.due)
		}
		if load > float64(in.capacity) {
			return 0, fmt.Errorf("route %d: load %.0f over capacity %d", k, load, in.capacity)
		}
	}
	for i := 1; i < len(seen); i++ {
		if !seen[i] {
			return 0, fmt.Errorf("place %d is not served", i)
		}
	}
	if !c.fewest { // a sum of tenths
		length = math.Round(length*10) / 10
	}
	return length, nil
}
