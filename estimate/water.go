package estimate

import (
	"ebbline/jobs"
)

// Water is what one body of water takes: how far it must fall, how much that
// is, how fast it goes and comes back. A figure without a key does not apply.
type Water struct {
	Body       string `json:"body"`
	Name       string `json:"name"`
	Way        string `json:"way,omitempty"`  // how it becomes low, a choice of the survey
	Lowered    bool   `json:"lowered"`        // false: nothing in it asks for less water
	With       string `json:"with,omitempty"` // id of the body it lowers together with
	Why        string `json:"why,omitempty"`  // why it lowers with it, on its own or not at all
	Area       Figure `json:"area"`
	Drop       Figure `json:"drop"`    // from the level now to the working level
	Working    Figure `json:"working"` // working level below the tile line
	Volume     Figure `json:"volume"`
	Allowed    Figure `json:"allowed"`
	Gives      Figure `json:"gives"` // what pump, outlet or reading gives
	Flow       Figure `json:"flow"`
	Drain      Figure `json:"drain"`           // seconds of pumping
	Refill     Figure `json:"refill"`          // flow
	Loads      Figure `json:"loads,omitzero"`  // truck loads until the level is as before
	Cover      Figure `json:"cover"`           // seconds of filling until the lights are covered
	Fill       Figure `json:"fill"`            // seconds of filling until the level is as before
	Evaporates Figure `json:"evap,omitzero"`   // volume in a day, an allowance
	Rain       Figure `json:"rain,omitzero"`   // volume of an inch of rain, an allowance
	Uplift     Figure `json:"uplift,omitzero"` // weight that holds the shell down over what lifts it
	Floats     Figure `json:"floats,omitzero"` // ground water above the shell's underside that would just lift it

	drain, cover, fill, volume num
}

// figures lists what applies, in the order of the sheet, but for the area.
func (w Water) figures() []Figure {
	var list []Figure
	for _, f := range []Figure{w.Working, w.Drop, w.Volume, w.Evaporates, w.Rain, w.Allowed, w.Gives, w.Flow, w.Drain, w.Refill, w.Loads, w.Cover, w.Fill, w.Uplift, w.Floats} {
		if f.Key != "" {
			list = append(list, f)
		}
	}
	return list
}

// basin is a body of water with all that falls together with it.
type basin struct {
	body      jobs.Subject
	positions []jobs.Subject
	own, all  surface // its own, and with what shares its water
	level     num     // now, or the edge below which it no longer shares another's water
	beside    []num   // volumes that flow in from what shares its water down to an edge only
}

// water computes one body of water.
func (c *calc) water(body jobs.Subject) Water {
	p := basin{body: body, own: c.area(body), positions: c.survey.On(body.ID, jobs.SubjectPosition)}
	w := Water{Body: body.ID, Name: body.Label(), Way: body.Choice("becomes_low"), Area: p.own.Figure}
	shares, why := shared(body)
	_, edged := body.Base("spill_edge")
	w.Why = why
	if shares && !(edged && len(p.positions) > 0) {
		w.With = body.Of
		return w
	}
	for _, child := range c.survey.On(body.ID, jobs.SubjectBody) {
		if with, _ := shared(child); !with {
			continue
		} else if _, edged := child.Base("spill_edge"); !edged {
			p.positions = append(p.positions, c.survey.On(child.ID, jobs.SubjectPosition)...)
		}
	}
	lights, known := body.Base("lights")
	w.Lowered = len(p.positions) > 0 || !known || lights > 0
	if !w.Lowered {
		w.Why = "no light in it asks for less water"
		return w
	}
	p.level = c.levelNow(body, shares)
	working := c.working(&w, p)
	drop := w.fall(body, working, p.level)
	c.join(&p, working)
	wet, how := c.wet(body, working, p.level, drop)
	w.volume = sum(append([]num{product(p.all.area, wet).times(1e-6)}, p.beside...)...)
	w.Volume = figure("water.volume", "Water to move", body.ID, UnitVolume, w.volume)
	w.Volume.Formula, w.Volume.Source = "area × drop"+how, "231 cubic inches in a gallon, 7.48052 gallons in a cubic foot (NIST Handbook 44, appendix C)"
	w.Volume.Margin = "evaporation and rain are left out; they are shown apart"
	w.volume = w.volume.then(w.Volume)
	c.weather(&w, p)
	c.outflow(&w, body)
	c.inflow(&w, p, working, drop)
	c.shell(&w, p, working)
	return w
}

// levelNow is how far below the tile line the water stands before it is
// lowered.
func (c *calc) levelNow(body jobs.Subject, shares bool) num {
	if shares { // the body it shares with takes it down to the edge
		return c.read(body, "spill_edge")
	}
	if level := c.read(body, "level"); level.ok {
		return level
	}
	return fixed(0, Input{Name: "Water now", Text: "taken as at the tile line, nobody noted it"})
}

// working sets the working level: below the lowest fitting's lower edge by the
// margin.
func (c *calc) working(w *Water, p basin) num {
	n := c.workingLevel(p)
	w.Working = figure("water.working", "Working level below the tile line", p.body.ID, UnitLength, n)
	w.Working.Formula = "lowest of: depth of the fitting's centre + half its face + margin"
	w.Working.Source = "common practice, no source"
	w.Working.Margin = show(c.set.Water.BelowFitting, UnitLength) + " below the fitting's lower edge"
	return n.then(w.Working)
}

func (c *calc) workingLevel(p basin) num {
	if len(p.positions) == 0 {
		return unknown(Miss{Subject: p.body.ID, Text: p.body.Label() + ": where its lights are and how deep"})
	}
	var edges []num
	for _, pos := range p.positions {
		depth := c.read(pos, "depth")
		if of, ok := c.survey.Subject(pos.Of); ok && depth.ok {
			if deep, ok := of.Base("depth_deep"); ok && depth.v > float64(deep) {
				depth = unknown(Miss{Subject: pos.ID, Field: "depth", Text: pos.Label() + ": its depth again; noted " + show(round(depth.v), UnitLength) + ", but the water is only " + show(deep, UnitLength) + " deep"})
			}
		}
		edges = append(edges, sum(depth, c.face(pos).times(0.5), fixed(float64(c.set.Water.BelowFitting))))
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

// fall is how far the level must come down.
func (w *Water) fall(body jobs.Subject, working, level num) num {
	n := sum(working, minus(level))
	if n.ok {
		n = n.atLeast(0)
	}
	w.Drop = figure("water.drop", "Drop from the level now", body.ID, UnitLength, n)
	w.Drop.Formula, w.Drop.Source = "working level − level now", "definition"
	return n.then(w.Drop)
}
