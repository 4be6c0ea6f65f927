package estimate

import (
	"ebbline/jobs"
)

// Water is what one body of water takes: how far it must fall, how much that
// is, how fast it goes and comes back.
type Water struct {
	Body    string `json:"body"`
	Name    string `json:"name"`
	Way     string `json:"way,omitempty"`  // how it becomes low, a choice of the survey
	Lowered bool   `json:"lowered"`        // false: nothing in it asks for less water
	With    string `json:"with,omitempty"` // id of the body it lowers together with
	Area    Figure `json:"area"`
	Drop    Figure `json:"drop"`    // from the level now to the working level
	Working Figure `json:"working"` // working level below the tile line
	Volume  Figure `json:"volume"`
	Allowed Figure `json:"allowed"`
	Gives   Figure `json:"gives"` // what pump, outlet or reading gives
	Flow    Figure `json:"flow"`
	Drain   Figure `json:"drain"`  // seconds of pumping
	Refill  Figure `json:"refill"` // flow
	Cover   Figure `json:"cover"`  // seconds of filling until the lights are covered
	Fill    Figure `json:"fill"`   // seconds of filling until the level is as before

	drain, cover, fill num
}

// water computes one body of water.
func (c *calc) water(body jobs.Subject) Water {
	w := Water{Body: body.ID, Name: body.Label(), Way: body.Choice("becomes_low"), Area: c.area(body)}
	if body.Yes("lowers_with") {
		w.With = body.Of
	}
	positions := c.survey.On(body.ID, jobs.SubjectPosition)
	surface, _, _, _ := c.surface(body)
	surface = surface.then(w.Area)
	for _, child := range c.survey.On(body.ID, jobs.SubjectBody) {
		if child.Yes("lowers_with") {
			positions = append(positions, c.survey.On(child.ID, jobs.SubjectPosition)...)
			area := c.area(child)
			more, _, _, _ := c.surface(child)
			surface = sum(surface, more.then(area))
		}
	}
	lights, known := body.Base("lights")
	w.Lowered = w.With == "" && (len(positions) > 0 || !known || lights > 0)
	if !w.Lowered {
		return w
	}
	c.level(&w, body, positions)
	drop := w.dropNum(c, body, positions)
	volume := product(surface, drop).times(1e-6)
	w.Volume = figure("water.volume", "Water to move", body.ID, UnitVolume, volume)
	w.Volume.Formula, w.Volume.Source = "area × drop", "231 cubic inches in a gallon, 7.48052 gallons in a cubic foot (NIST Handbook 44, appendix C)"
	w.Volume.Margin = "evaporation (about 1/4 in a day) and rain are left out: about 1 % of a usual drop"
	volume = volume.then(w.Volume)
	c.outflow(&w, body, volume)
	c.inflow(&w, body, positions, surface, volume, drop)
	return w
}

// level sets the working level: below the lowest fitting's lower edge by the
// margin.
func (c *calc) level(w *Water, body jobs.Subject, positions []jobs.Subject) {
	n := c.workingLevel(body, positions)
	w.Working = figure("water.working", "Working level below the tile line", body.ID, UnitLength, n)
	w.Working.Formula = "lowest of: depth of the fitting's centre + half its face + margin"
	w.Working.Source = "common practice, no source"
	w.Working.Margin = show(c.set.Water.BelowFitting, UnitLength) + " below the fitting's lower edge"
}

func (c *calc) workingLevel(body jobs.Subject, positions []jobs.Subject) num {
	if len(positions) == 0 {
		return unknown(Miss{Subject: body.ID, Text: body.Label() + ": where its lights are and how deep"})
	}
	var edges []num
	for _, pos := range positions {
		edges = append(edges, sum(c.read(pos, "depth"), c.face(pos).times(0.5), fixed(float64(c.set.Water.BelowFitting))))
	}
	return greatest(edges...)
}

// face is the height of a fitting's face; where nobody measured it, the usual
// large one, which asks for more water to go: the safe side.
func (c *calc) face(pos jobs.Subject) num {
	if n := c.read(pos, "fitting_size"); n.ok {
		return n
	}
	assumed := c.set.Water.FaceAssumed
	return fixed(float64(assumed), Input{Name: "Height of the fitting's face, " + pos.Label(), Text: "taken as " + show(assumed, UnitLength) + ", nobody measured it"})
}

func (w *Water) dropNum(c *calc, body jobs.Subject, positions []jobs.Subject) num {
	level := c.read(body, "level")
	if !level.ok {
		level = fixed(0, Input{Name: "Water now", Text: "taken as at the tile line, nobody noted it"})
	}
	working := c.workingLevel(body, positions).then(w.Working)
	n := sum(working, minus(level))
	if n.ok {
		n = n.atLeast(0)
	}
	w.Drop = figure("water.drop", "Drop from the level now", body.ID, UnitLength, n)
	w.Drop.Formula, w.Drop.Source = "working level − level now", "definition"
	return n.then(w.Drop)
}

// outflow is what may go, what can go, and how long the drop takes.
func (c *calc) outflow(w *Water, body jobs.Subject, volume num) {
	allowed, allowedBy := c.allowed()
	w.Allowed = figure("water.allowed", "Rate allowed", body.ID, UnitFlow, allowed)
	w.Allowed.Source = allowedBy
	gives, formula, source := c.gives(body)
	w.Gives = figure("water.gives", "Rate that can go", body.ID, UnitFlow, gives)
	w.Gives.Formula, w.Gives.Source = formula, source
	flow := least(allowed.then(w.Allowed), gives.then(w.Gives))
	w.Flow = figure("water.flow", "Rate that sets the clock", body.ID, UnitFlow, flow)
	w.Flow.Formula = "the smaller of rate allowed and rate that can go"
	if flow.ok && flow.lo <= 0 {
		flow = unknown(Miss{Subject: body.ID, Field: "read_rate", Text: body.Label() + ": a pump that lifts the water to the outlet; this one can't"})
		w.Flow.Known, w.Flow.Value, w.Flow.Low, w.Flow.High, w.Flow.Text, w.Flow.Missing = false, 0, 0, 0, NotKnown, flow.miss
	}
	w.drain = quotient(volume, flow.then(w.Flow)).times(60)
	w.Drain = figure("water.drain", "Pumping time", body.ID, UnitSeconds, w.drain)
	w.Drain.Formula, w.Drain.Source = "water to move ÷ rate", "definition"
	w.Drain.Margin = "counted in water hours only"
}

// place is the discharge that will be used: the first that is not refused.
func (c *calc) place() (jobs.Subject, bool) {
	for _, d := range c.survey.OfKind(jobs.SubjectDischarge) {
		if d.Choice("permission") != "refused" && !d.No("reachable") {
			return d, true
		}
	}
	return jobs.Subject{}, false
}

// allowed is the highest rate that rules let into the discharge place, in
// mL/min.
func (c *calc) allowed() (num, string) {
	d, ok := c.place()
	if !ok {
		return unknown(Miss{Text: "A discharge place that may be used, and the rate allowed there"}), ""
	}
	if limit := c.read(d, "rate_limit"); limit.ok {
		limit.lo, limit.hi = limit.v, limit.v // a rule, not a measurement
		return limit, "rule of the place, as noted in the survey"
	}
	where := d.Choice("where")
	if where == "" {
		return unknown(missField(d, "where"), missField(d, "rate_limit")), ""
	}
	rate := c.set.Water.RateByPlace[where]
	if rate <= 0 {
		return unknown(Miss{Subject: d.ID, Field: "where", Text: d.Label() + ": another place; the branch's rules do not allow " + where}), "branch rules"
	}
	spec, _ := jobs.FieldOf(d.Kind, "where")
	v, _ := d.Value("where")
	return fixed(float64(rate), Input{Name: spec.Label, Text: spec.Show(v), Known: v.Known, Subject: d.ID, Field: "where"}),
		"branch rule for this kind of place; the agency's own current text governs"
}

// gives is the rate that can leave the body the way it becomes low, in mL/min.
func (c *calc) gives(body jobs.Subject) (n num, formula, source string) {
	read := c.read(body, "read_rate")
	outlet := c.read(body, "outlet_rate")
	switch body.Choice("becomes_low") {
	case "":
		return unknown(missField(body, "becomes_low")), "", ""
	case jobs.LowByOutlet:
		if outlet.ok {
			return outlet, "rate of the pool's own outlet", "read on site"
		}
		if read.ok {
			return read, "rate read on site", "read on site"
		}
		return outlet, "", ""
	case jobs.LowByCustomer, jobs.LowByOthers:
		if !read.ok && outlet.ok {
			return outlet, "rate of the pool's own outlet", "read on site"
		}
		return read, "rate read on site", "read on site"
	}
	if read.ok {
		return read, "rate read on site", "read on site"
	}
	return c.pumped()
}

// pumped is what our pump gives against rise and hose.
func (c *calc) pumped() (n num, formula, source string) {
	s := c.set.Water
	rise := fixed(float64(s.RiseAssumed), Input{Name: "Rise to the outlet", Text: "taken as " + show(s.RiseAssumed, UnitLength) + ", nobody measured it"})
	length := fixed(float64(s.HoseLength), Input{Name: "Discharge hose length", Text: "our " + show(s.HoseLength, UnitLength)})
	inside := fixed(float64(s.HoseInside), Input{Name: "Discharge hose inside width", Text: "our " + show(s.HoseInside, UnitLength)})
	if d, ok := c.place(); ok {
		rise = c.readOr(d, "rise", rise)
		length = c.readOr(d, "hose_length", length)
		inside = c.readOr(d, "hose_inside", inside)
	}
	n = gather(rise, length, inside)
	at := func(rise, length, inside float64) float64 {
		return mlPerGallon * pumpFlow(float64(s.Pump.Head)/umPerFoot, float64(s.Pump.Flow)/mlPerGallon, rise/umPerFoot, length/umPerFoot, inside/umPerInch, float64(s.HoseSmooth))
	}
	n.v = at(rise.v, length.v, inside.v)
	n.lo, n.hi = at(rise.hi, length.hi, inside.lo), at(rise.lo, length.lo, inside.hi)
	n.in = append(n.in, Input{Name: "Pump", Text: s.Pump.Name})
	return n.spread(1 + float64(c.set.Bands.Pump)/1000), "the flow at which the pump's head equals rise + hose friction (Hazen-Williams, C " + grouped(s.HoseSmooth) + ")",
		"Hazen-Williams formula, any hydraulics handbook; pump curve from the catalogue"
}

// readOr is a survey value, or what is taken where nobody noted one.
func (c *calc) readOr(sub jobs.Subject, name string, taken num) num {
	if n := c.read(sub, name); n.ok {
		return n
	}
	return taken
}

// inflow is how fast the water comes back and how long that takes.
func (c *calc) inflow(w *Water, body jobs.Subject, positions []jobs.Subject, surface, volume, drop num) {
	flow, formula, source := c.refillFlow()
	w.Refill = figure("water.refill", "Refill rate", body.ID, UnitFlow, flow)
	w.Refill.Formula, w.Refill.Source = formula, source
	if flow.ok && flow.lo <= 0 {
		flow = unknown(Miss{Text: "A refill that gives water"})
	}
	flow = flow.then(w.Refill)
	w.fill = quotient(volume, flow).times(60)
	w.Fill = figure("water.fill", "Filling time to the level before", body.ID, UnitSeconds, w.fill)
	w.Fill.Formula, w.Fill.Source = "water to move ÷ refill rate", "definition"
	rise := c.coverRise(positions, drop, w.Working)
	w.cover = quotient(product(surface, rise).times(1e-6), flow).times(60)
	w.Cover = figure("water.cover", "Filling time until the lights are covered", body.ID, UnitSeconds, w.cover)
	w.Cover.Formula = "area × rise from the working level to above the highest fitting ÷ refill rate"
	w.Cover.Source, w.Cover.Margin = "definition", show(c.set.Water.Cover, UnitLength)+" of water above the fitting's upper edge, or the level before where that is lower"
}

// coverRise is how far the water must rise until every light is covered.
func (c *calc) coverRise(positions []jobs.Subject, drop num, working Figure) num {
	if len(positions) == 0 {
		return unknown(drop.miss...)
	}
	var edges []num
	for _, pos := range positions {
		edges = append(edges, sum(c.read(pos, "depth"), minus(c.face(pos).times(0.5)), fixed(-float64(c.set.Water.Cover))))
	}
	top := least(edges...)
	n := c.workingLevelOf(working)
	rise := sum(n, minus(top))
	if !rise.ok || !drop.ok {
		return gather(rise, drop)
	}
	return least(rise.atLeast(0), drop)
}

// workingLevelOf is the working level as a number for the rise: its band is in
// the drop already.
func (c *calc) workingLevelOf(working Figure) num {
	if !working.Known {
		return unknown(working.Missing...)
	}
	return fixed(float64(working.Value), working.input())
}

// refillFlow is the flow of the refill in mL/min.
func (c *calc) refillFlow() (n num, formula, source string) {
	r, ok := c.first(jobs.SubjectRefill)
	if !ok {
		return unknown(Miss{Text: "Where the refill comes from and its flow"}), "", ""
	}
	if flow := c.read(r, "flow"); flow.ok {
		return flow, "as measured or stated", "read on site"
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
		"Hazen-Williams formula; agrees with the hose table of an agricultural extension service (Iowa State University, 1996)"
}
