package estimate

import (
	"ebbline/jobs"
)

// outflow is what may go, what can go, and how long the drop takes. Who lowers
// by others needs neither: the day they hand it over does.
func (c *calc) outflow(w *Water, body jobs.Subject) {
	if w.Way == jobs.LowByOthers {
		w.drain = fixed(0, Input{Name: "How it becomes low", Text: "by others", Subject: body.ID, Field: "becomes_low"})
		w.Drain = figure("water.drain", "Pumping time", body.ID, UnitSeconds, w.drain)
		w.Drain.Text = "none of ours"
		w.Drain.Formula, w.Drain.Source = "others lower it: planned by the days on which it stands low, without a pumping rate", "definition"
		return
	}
	allowed, allowedBy := c.allowed()
	w.Allowed = figure("water.allowed", "Rate allowed", body.ID, UnitFlow, allowed)
	w.Allowed.Source = allowedBy
	gives, formula, source := c.gives(body)
	w.Gives = figure("water.gives", "Rate that can go", body.ID, UnitFlow, gives)
	w.Gives.Formula, w.Gives.Source = formula, source
	flow := least(allowed.then(w.Allowed), gives.then(w.Gives))
	w.Flow = figure("water.flow", "Rate that sets the clock", body.ID, UnitFlow, flow)
	w.Flow.Formula = "the smaller of rate allowed and rate that can go"
	if flow.ok {
		w.Flow.Margin = "the rate that can go binds"
		if w.Allowed.Value < w.Gives.Value {
			w.Flow.Margin = "the rule of the place binds, not the pump: throttle it"
		}
	}
	if flow.ok && flow.lo <= 0 {
		flow = unknown(Miss{Subject: body.ID, Field: "read_rate", Text: body.Label() + ": a pump that lifts the water to the outlet; this one can't"})
		w.Flow.Known, w.Flow.Value, w.Flow.Low, w.Flow.High, w.Flow.Text, w.Flow.Missing, w.Flow.Margin = false, 0, 0, 0, NotKnown, flow.miss, ""
	}
	w.drain = quotient(w.volume, flow.then(w.Flow)).times(60)
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
	case jobs.LowByCustomer:
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
