package estimate

import (
	"math"

	"ebbline/jobs"
)

// along is the length of one conduit: as noted, else along its drawn path. A
// drawing is no better than told, however its corners were placed.
func (c *calc) along(run jobs.Subject) (length num, drawn bool) {
	if length = c.read(run, "length"); length.ok {
		return length, false
	}
	um, ok := drawnLength(run)
	if !ok {
		return length, false
	}
	factor := 1 + float64(c.set.Bands.Length[jobs.KnownTold])/1000
	in := Input{Name: "Length along the drawn path", Text: show(round(um), UnitLength), Known: jobs.KnownTold, Subject: run.ID, Field: "path"}
	return num{v: um, lo: um / factor, hi: um * factor, ok: true, in: []Input{in}}, true
}

// drawnLength is the length of a conduit's drawn path on the plan, in µm.
func drawnLength(run jobs.Subject) (float64, bool) {
	path, ok := run.Value("path")
	if !ok {
		return 0, false
	}
	points, err := jobs.ParsePoints(path.Text, path.Unit)
	if err != nil || len(points) < 2 {
		return 0, false
	}
	um := 0.0
	for i, p := range points[1:] {
		um += math.Hypot(float64(p.X-points[i].X), float64(p.Y-points[i].Y))
	}
	return um, um > 0
}

// planChecks hold what was measured against what was drawn: a cord can't run
// shorter than the straight line on the plan.
func (c *calc) planChecks(cords []Cord) []Check {
	var list []Check
	place, ok := c.first(jobs.SubjectSupply)
	if !ok {
		return nil
	}
	supply, ok := placed(place)
	if !ok {
		return nil
	}
	for _, cord := range cords {
		pos, _ := c.survey.Subject(cord.Position)
		at, ok := placed(pos)
		if !ok || !cord.Run.Known {
			continue
		}
		straight := round(math.Hypot(float64(at.X-supply.X), float64(at.Y-supply.Y)))
		check := Check{Key: "cord.plan", Name: "Run against the plan", About: cord.Position, Result: Holds, Source: "geometry: no run is shorter than the straight line", Decides: decidesOffice,
			Text: cord.Run.Text + " along the conduit, " + show(straight, UnitLength) + " in a straight line on the plan"}
		if cord.Run.High < straight {
			check.Result = Short
			check.Text += ": one of them is wrong; measure again before a set is ordered"
		}
		list = append(list, check)
	}
	return list
}

// placed is where a subject was set on the plan.
func placed(sub jobs.Subject) (jobs.Point, bool) {
	place, ok := sub.Value("place")
	if !ok {
		return jobs.Point{}, false
	}
	points, err := jobs.ParsePoints(place.Text, place.Unit)
	if err != nil || len(points) != 1 {
		return jobs.Point{}, false
	}
	return points[0], true
}
