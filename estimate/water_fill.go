package estimate

import (
	"math"

	"ebbline/jobs"
)

// inflow is how fast the water comes back and how long that takes.
func (c *calc) inflow(w *Water, p basin, working, drop num) {
	body := p.body
	flow, formula, source := c.refillFlow()
	w.Refill = figure("water.refill", "Refill rate", body.ID, UnitFlow, flow)
	w.Refill.Formula, w.Refill.Source = formula, source
	if flow.ok && flow.lo <= 0 {
		flow = unknown(Miss{Text: "A refill that gives water"})
	}
	flow = flow.then(w.Refill)
	rise, top := c.coverRise(p.positions, drop, w.Working)
	from, start, back := greatest(top, p.level), working, w.volume
	from.lo = least(top, p.level).lo
	bare := c.bare(body, top)
	if bare { // the level now is no goal, and the water may begin below the working level
		from, start = top, greatest(working, p.level)
		rise = sum(greatest(c.workingLevelOf(w.Working), p.level), minus(top)).atLeast(0)
	}
	wet, how := c.wet(body, start, from, rise)
	covers := product(p.all.area, wet).times(1e-6)
	if bare {
		back = greatest(w.volume, covers)
	}
	w.fill, w.cover = quotient(back, flow).times(60), quotient(covers, flow).times(60)
	fillBy, coverBy := "water to move ÷ refill rate", "area × rise from the working level to above the highest fitting"+how+" ÷ refill rate"
	if load, every, ok := c.truck(); ok {
		loads := quotient(back, load).whole()
		w.Loads = figure("water.loads", "Truck loads to the level before", body.ID, UnitCount, loads)
		w.Loads.Formula, w.Loads.Source = "water to move ÷ one load, rounded up", "definition"
		w.fill, w.cover = product(loads.then(w.Loads), every), product(quotient(covers, load).whole(), every)
		fillBy, coverBy = "truck loads × time from one load to the next", "truck loads until above the highest fitting × time from one load to the next"
	}
	w.Fill = figure("water.fill", "Filling time to the level before", body.ID, UnitSeconds, w.fill)
	w.Fill.Formula, w.Fill.Source = fillBy, "definition"
	w.Cover = figure("water.cover", "Filling time until the lights are covered", body.ID, UnitSeconds, w.cover)
	w.Cover.Formula = coverBy
	w.Cover.Source, w.Cover.Margin = "definition", show(c.set.Water.Cover, UnitLength)+" of water above the fitting's upper edge, or the level before where that is lower"
	if bare {
		w.Fill.Margin = "lights lie bare at the level now: at least until they are covered"
		w.Cover.Margin = show(c.set.Water.Cover, UnitLength) + " of water above the fitting's upper edge; lights lie bare at the level now"
	}
}

// bare says that the water is known to stand below the upper edge of the highest
// fitting already, so that coming back to the level now covers nothing. top is
// the level at which all lights count as covered. What shares another's water
// is covered by that one's refill.
func (c *calc) bare(body jobs.Subject, top num) bool {
	if shares, _ := shared(body); shares || !top.ok {
		return false
	}
	level := c.read(body, "level")
	return level.ok && level.v > top.v+float64(c.set.Water.Cover)
}

// whole rounds up to whole pieces; a load that is begun is driven.
func (n num) whole() num {
	n.v, n.lo, n.hi = math.Ceil(n.v-1e-9), math.Ceil(n.lo-1e-9), math.Ceil(n.hi-1e-9)
	return n
}

// coverRise is how far the water must rise until every light is covered, and the
// level where that is.
func (c *calc) coverRise(positions []jobs.Subject, drop num, working Figure) (rise, top num) {
	if len(positions) == 0 {
		return unknown(drop.miss...), unknown(drop.miss...)
	}
	var edges []num
	for _, pos := range positions {
		edges = append(edges, sum(c.read(pos, "depth"), minus(c.face(pos).times(0.5)), fixed(-float64(c.set.Water.Cover))))
	}
	top = least(edges...)
	rise = sum(c.workingLevelOf(working), minus(top))
	if !rise.ok || !drop.ok {
		return gather(rise, drop), top
	}
	return least(rise.atLeast(0), drop), top
}

// workingLevelOf is the working level as a number for the rise: its band is in
// the drop already.
func (c *calc) workingLevelOf(working Figure) num {
	if !working.Known {
		return unknown(working.Missing...)
	}
	return fixed(float64(working.Value), working.input())
}

// truck is one load and the time from one to the next, where a truck brings the
// water and both are known.
func (c *calc) truck() (load, every num, ok bool) {
	r, found := c.first(jobs.SubjectRefill)
	if !found || r.Choice("source") != jobs.RefillTruck {
		return num{}, num{}, false
	}
	load, every = c.read(r, "truck_load"), c.read(r, "truck_every")
	return load, every, load.ok && every.ok
}

// refillFlow is the flow of the refill in mL/min.
func (c *calc) refillFlow() (n num, formula, source string) {
	r, ok := c.first(jobs.SubjectRefill)
	if !ok {
		return unknown(Miss{Text: "Where the refill comes from and its flow"}), "", ""
	}
	if load, every, ok := c.truck(); ok {
		return quotient(load, every).times(60), "one load ÷ time from one load to the next", "as stated"
	}
	if flow := c.read(r, "flow"); flow.ok {
		return flow, "as measured or stated", "read on site"
	}
	if r.Choice("source") == jobs.RefillTruck {
		return gather(c.read(r, "truck_load"), c.read(r, "truck_every")), "", ""
	}
	pressure, length, inside := c.read(r, "pressure"), c.read(r, "hose_length"), c.read(r, "hose_inside")
	n = gather(pressure, length, inside)
	if !n.ok {
		return unknown(missField(r, "flow")), "", ""
	}
	at := func(pa, length, inside float64) float64 {
		return mlPerGallon * freeFlow(pa/pascalPerPSI, length/umPerFoot, inside/umPerInch, float64(c.set.Water.HoseSmooth))
	}
	n.v = at(pressure.v, length.v, inside.v)
	n.lo, n.hi = at(pressure.lo, length.hi, inside.lo), at(pressure.hi, length.lo, inside.hi)
	return n.spread(1 + float64(c.set.Bands.Pump)/1000), "the flow at which the hose's friction takes the whole pressure (Hazen-Williams, C " + grouped(c.set.Water.HoseSmooth) + ")",
		"Hazen-Williams formula; agrees with the hose table of an agricultural extension service (Iowa State University, 1996); the tap's own line may give less"
}
