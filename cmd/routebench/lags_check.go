package main

import (
	"fmt"
	"math"
	"slices"
)

// check follows every worker's visits by the set's own numbers and gives the objective,
// a third of distance, lateness and largest lateness together. It takes the starts as
// given and shares nothing with the search. An error says which rule is broken where.
func (set lagSet) check(routes [][]lagVisit) (float64, error) {
	const slack = 1e-6
	type served struct {
		worker int
		start  float64
	}
	by := map[[2]int]served{}
	distance, late, worst := 0.0, 0.0, 0.0
	for c, route := range routes {
		worker, at, free := set.Workers[c], 0, 0.0
		for _, v := range route {
			if v.patient < 0 || v.patient >= len(set.Patients) || v.service < 0 || v.service >= len(set.Patients[v.patient].Services) {
				return 0, fmt.Errorf("%s: visit %d.%d is none of the set's", worker.ID, v.patient, v.service)
			}
			p := set.Patients[v.patient]
			s, key := p.Services[v.service], [2]int{v.patient, v.service}
			if _, twice := by[key]; twice {
				return 0, fmt.Errorf("%s: %s has %s twice", worker.ID, p.ID, s.Service)
			}
			by[key] = served{c, v.start}
			if !slices.Contains(worker.Skills, s.Service) {
				return 0, fmt.Errorf("%s: %s needs %s, which the worker can't do", worker.ID, p.ID, s.Service)
			}
			road := set.Distances[at][v.patient+1]
			if v.start < free+road-slack {
				return 0, fmt.Errorf("%s: %s begins at %.3f, there at %.3f", worker.ID, p.ID, v.start, free+road)
			}
			if v.start < p.Window[0]-slack {
				return 0, fmt.Errorf("%s: %s begins at %.3f, its window at %.3f", worker.ID, p.ID, v.start, p.Window[0])
			}
			by := math.Max(0, v.start-p.Window[1])
			late, worst = late+by, math.Max(worst, by)
			distance += road
			at, free = v.patient+1, v.start+s.Duration
		}
		distance += set.Distances[at][0]
	}
	for i, p := range set.Patients {
		for k, s := range p.Services {
			if _, ok := by[[2]int{i, k}]; !ok {
				return 0, fmt.Errorf("%s does not get %s", p.ID, s.Service)
			}
		}
		if p.Together == nil {
			continue
		}
		first, second := by[[2]int{i, 0}], by[[2]int{i, 1}]
		lo, hi := p.Together.Lag[0], p.Together.Lag[1]
		if p.Together.Type == "simultaneous" {
			lo, hi = 0, 0
		}
		if lag := second.start - first.start; lag < lo-slack || lag > hi+slack {
			return 0, fmt.Errorf("%s: the second begins %.3f after the first, %.3f to %.3f asked", p.ID, lag, lo, hi)
		}
		if first.worker == second.worker {
			return 0, fmt.Errorf("%s: one worker makes both visits", p.ID)
		}
	}
	return (distance + late + worst) / 3, nil
}
