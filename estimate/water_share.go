package estimate

import (
	"math"

	"ebbline/jobs"
)

// shared says whether a body loses its water together with the body it hangs
// on, and why it is taken so. A raised spa keeps its water behind its wall; what
// spills over at the same level falls with the pool, down to its edge.
func shared(body jobs.Subject) (bool, string) {
	_, noted := body.Value("lowers_with")
	switch {
	case body.Of == "":
		return false, ""
	case noted && body.Yes("lowers_with"):
		return true, "noted so"
	case noted:
		return false, "noted as keeping its own water"
	case body.Choice("use") == jobs.UseSpillOver:
		return true, "a spill-over at the same level"
	case body.Choice("use") == "":
		return false, "taken as keeping its own water, nobody noted whether they share it"
	}
	return false, "it keeps its own water"
}

// join adds what shares the body's water to its surface; what shares it only
// down to an edge gives its water above that edge.
func (c *calc) join(p *basin, working num) {
	areas := []num{p.own.area}
	for _, child := range c.survey.On(p.body.ID, jobs.SubjectBody) {
		if with, _ := shared(child); !with {
			continue
		}
		area := c.area(child).area
		edge := c.read(child, "spill_edge")
		if !edge.ok {
			areas = append(areas, area)
			continue
		}
		depth := sum(least(edge, working), minus(p.level))
		if depth.ok {
			depth = depth.atLeast(0)
		}
		p.beside = append(p.beside, product(area, depth).times(1e-6))
	}
	p.all = p.own
	p.all.area = sum(areas...)
}

// usualShallow is the depth of a shallow end that nobody measured, in µm: 3 ft,
// common practice, no source.
const usualShallow = 3 * umPerFoot

// wet turns a drop into the depth of water that leaves from the whole area: less
// than the drop where the shallow end runs dry on the way. Between the ends the
// floor is taken as an even slope; the band reaches from a floor of which half
// is as shallow as the shallow end to a floor that never comes up.
func (c *calc) wet(body jobs.Subject, working, from, drop num) (num, string) {
	if !working.ok || !from.ok || !drop.ok {
		return gather(drop, working, from), ""
	}
	shallow, deep := c.read(body, "depth_shallow"), c.read(body, "depth_deep")
	out := drop
	switch {
	case shallow.ok && deep.ok:
		if working.hi <= shallow.lo {
			return drop, ""
		}
		slope, _ := dryPart(working.v, from.v, shallow.v, deep.v)
		_, half := dryPart(working.hi, from.lo, shallow.lo, deep.lo)
		out.v, out.lo = math.Max(0, drop.v-slope), math.Max(0, drop.lo-half)
		out.in = append(append(append([]Input{}, drop.in...), shallow.in...), deep.in...)
		return out, ", less where the shallow end runs dry (floor taken as an even slope)"
	case shallow.ok:
		_, half := dryPart(working.hi, from.lo, shallow.lo, math.Inf(1))
		out.lo = math.Max(0, drop.lo-half)
	default:
		_, half := dryPart(working.hi, from.lo, usualShallow, math.Inf(1))
		out.lo = math.Max(0, drop.lo-half)
	}
	return out, ""
}

// dryPart is the depth that a drop from one level to a working level loses
// because floor lies bare: for an even slope between the two depths, and for a
// floor of which half is as shallow as the shallow end. All in µm.
func dryPart(working, from, shallow, deep float64) (slope, half float64) {
	a, b := math.Max(shallow, from), math.Min(working, deep)
	if b > a {
		if deep > shallow && !math.IsInf(deep, 1) {
			slope = ((b-shallow)*(b-shallow) - (a-shallow)*(a-shallow)) / (2 * (deep - shallow))
		}
		half = (b-a)/2 + slope/2
	}
	below := math.Max(0, working-math.Max(deep, from)) // under the floor there is nothing to pump
	return slope + below, half + below
}
