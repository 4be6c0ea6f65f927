package estimate

import (
	"math"
	"slices"

	"ebbline/jobs"
)

// path is a conduit as drawn on the plan, from its end at the water; nil where
// none was drawn. Where the places of its ends are on the plan too and say that
// it was drawn from the supply, it is turned round.
func (c *calc) path(run jobs.Subject) []jobs.Point {
	points := points(run, "path")
	if len(points) < 2 {
		return nil
	}
	first, last := points[0], points[len(points)-1]
	for _, id := range run.Ends {
		end, _ := c.survey.Subject(id)
		at := pointOf(end)
		if at == nil {
			continue
		}
		fromSupply := apart(*at, first) < apart(*at, last)
		if end.Kind != jobs.SubjectSupply {
			fromSupply = apart(*at, last) < apart(*at, first)
		}
		if fromSupply {
			slices.Reverse(points)
		}
		break
	}
	return points
}

func points(sub jobs.Subject, name string) []jobs.Point {
	v, ok := sub.Value(name)
	if !ok {
		return nil
	}
	list, err := jobs.ParsePoints(v.Text, v.Unit)
	if err != nil {
		return nil
	}
	return list
}

func pointOf(sub jobs.Subject) *jobs.Point {
	list := points(sub, "place")
	if len(list) != 1 {
		return nil
	}
	return &list[0]
}

func apart(a, b jobs.Point) float64 {
	return math.Hypot(float64(a.X)-float64(b.X), float64(a.Y)-float64(b.Y))
}
