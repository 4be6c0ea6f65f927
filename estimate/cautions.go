package estimate

import (
	"strings"

	"ebbline/jobs"
)

// Caution is a danger that follows from what is known, or from what is not,
// with its reason and who must agree to it.
type Caution struct {
	Key     string `json:"key"`
	About   string `json:"about,omitempty"`
	Text    string `json:"text"`
	Why     string `json:"why"`
	Source  string `json:"source"`
	SignOff bool   `json:"sign_off"` // somebody must accept it by name before the pool is lowered
}

// cautions computes the dangers of each body that is lowered.
func (c *calc) cautions(e Estimate) []Caution {
	list := []Caution{}
	for _, w := range e.Bodies {
		body, _ := c.survey.Subject(w.Body)
		list = append(list, c.sizes(body)...)
		if !w.Lowered {
			continue
		}
		list = append(list, c.uplift(body, w)...)
		list = append(list, c.floor(body, w)...)
		list = append(list, c.finish(body, w)...)
		if body.Yes("filler") {
			list = append(list, Caution{Key: "filler", About: body.ID, Text: "Close the automatic filler before pumping and leave it closed until the refill." + valve(body), Why: "an open filler refills while the pump lowers", Source: "common practice, no source"})
		}
		list = append(list, unattended(body, w)...)
		list = append(list, c.guard(body))
		list = append(list, c.chemistry(body)...)
	}
	return append(list, c.siteCautions(e)...)
}

// siteCautions are those of the whole job.
func (c *calc) siteCautions(e Estimate) []Caution {
	var list []Caution
	if len(e.Clock.Ways) > 1 {
		ways := make([]string, len(e.Clock.Ways))
		for i, way := range e.Clock.Ways {
			ways[i] = strings.ReplaceAll(way, "_", " ")
		}
		list = append(list, Caution{Key: "ways", Text: "The bodies of water become low in different ways; the week plans by the first of them, the others must be low by then too.", Why: strings.Join(ways, ", "), Source: "common practice, no source"})
	}
	if site, ok := c.first(jobs.SubjectSite); ok && site.Yes("rain_season") {
		list = append(list, Caution{Key: "rain", Text: "Do not lower right before or after heavy rain; rain lifts the level and the ground water. Lead the water well away from the pool and downhill.", Why: "the work falls into the rain season", Source: "trade pages", SignOff: true})
	}
	return list
}

func valve(body jobs.Subject) string {
	if at := body.Choice("filler_valve"); at != "" {
		return " Its valve: " + at + "."
	}
	return " Where its valve is, is not known yet."
}

// unattended warns of a drain beside which nobody stands, the more where nothing
// stops it.
func unattended(body jobs.Subject, w Water) []Caution {
	switch body.Choice("becomes_low") {
	case jobs.LowByCrewPump, jobs.LowByOutlet, jobs.LowByCustomer:
	default:
		return nil
	}
	caution := Caution{Key: "unattended", About: body.ID, Source: "common practice, no source"}
	switch by := body.Choice("stops_by"); by {
	case "watched":
		return nil
	case "":
		caution.Text = "The drain runs unattended: set the intake at the working level, so that it stops by itself there, and say who looks after it."
		caution.Why = "nobody stands beside it for " + w.Drain.Text + ", and what stops it is not known yet"
		if !w.Drain.Known {
			caution.Why = "nobody stands beside it, and what stops it is not known yet"
		}
	case jobs.StopsByNothing:
		caution.Text = "Nothing stops the drain at its level: set the intake at the working level or fit a float switch, else somebody stays beside it to the end."
		caution.Why, caution.SignOff = "left alone it would go on below "+w.Working.Text+" and could empty the shell", true
	case "timer":
		caution.Text = "A timer stops the drain by the clock, not at its level: set the intake at the working level as well, and have somebody read the level half way."
		caution.Why = "pumping may be done after " + show(w.Drain.Low, UnitSeconds) + " or only after " + show(w.Drain.High, UnitSeconds)
		if !w.Drain.Known {
			caution.Why = "how long the pumping takes is not known yet"
		}
	default:
		return nil
	}
	return []Caution{caution}
}

// guard warns of the fall into a low pool.
func (c *calc) guard(body jobs.Subject) Caution {
	g := Caution{Key: "guard", About: body.ID, Text: "Guard the low pool: barrier, notice, nobody left alone beside it; pump, heater and lights off while it is low.",
		Why: "a partly empty pool is a drop, and lights must not run dry", Source: "NEC 680.23(A)(7) for the lights; common practice for the rest"}
	site, ok := c.first(jobs.SubjectSite)
	if ok && site.No("fenced") {
		g.Text = "The pool can't be closed off: bring a barrier and a notice, and leave it alone at no time until it is covered again; pump, heater and lights off while it is low."
		g.Why, g.SignOff = "no fence, and a partly empty pool is a drop that people and pets fall into", true
	} else if ok && site.Yes("pets") {
		g.Why = "a partly empty pool is a drop, there are pets on site, and lights must not run dry"
	}
	return g
}

// chemistry holds chlorine, pH and salt against what the discharge place takes.
func (c *calc) chemistry(body jobs.Subject) []Caution {
	d, ok := c.place()
	if !ok {
		return nil
	}
	const source = "agency discharge rules; the agency's own current text governs"
	var list []Caution
	if chlorine, limit := c.read(body, "chlorine"), c.chlorineLimit(d); chlorine.ok && chlorine.v > limit.v {
		list = append(list, Caution{Key: "chlorine", About: body.ID, Text: "Do not pump before the chlorine is down: stop dosing, wait or use a neutraliser where it is allowed, and measure again.",
			Why: "free chlorine " + ppm(round(chlorine.v)) + ", allowed " + ppm(round(limit.v)), Source: source})
	}
	low, high := c.set.Water.PHLow, c.set.Water.PHHigh
	if v, ok := d.Base("ph_low"); ok {
		low = v
	}
	if v, ok := d.Base("ph_high"); ok {
		high = v
	}
	if v, ok := body.Base("ph"); ok && (v < low || v > high) {
		list = append(list, Caution{Key: "ph", About: body.ID, Text: "Bring the pH inside the limits before pumping, and measure again.",
			Why: "pH " + tenth(float64(v)/1000) + ", allowed " + tenth(float64(low)/1000) + " to " + tenth(float64(high)/1000), Source: source})
	}
	if body.Yes("salt") && d.Choice("where") != jobs.DischargeCleanout {
		list = append(list, Caution{Key: "salt", About: body.ID, Text: "Salt water: most agencies allow it into the sewer clean-out only.", Why: "the body is salted and the water goes elsewhere", Source: "agency discharge rules"})
	}
	return list
}

// floor warns when the working level comes near the floor.
func (c *calc) floor(body jobs.Subject, w Water) []Caution {
	shallow, known := body.Base("depth_shallow")
	deep, deepKnown := body.Base("depth_deep")
	switch {
	case !w.Working.Known:
	case deepKnown && w.Working.High >= deep:
		return []Caution{{Key: "empty", About: body.ID, Text: "The working level lies at or below the floor: the pool would be empty. Look at depth and light positions again.", Why: "working level " + w.Working.Text + ", deep end " + show(deep, UnitLength), Source: "plane geometry", SignOff: true}}
	case known && w.Working.High >= shallow && deepKnown:
		return []Caution{{Key: "floor", About: body.ID, Text: "The shallow end runs dry; less water is left there, and the drain may end early. The time counts an even slope; the late value counts the whole area.", Why: "working level " + w.Working.Text + ", shallow end " + show(shallow, UnitLength), Source: "plane geometry"}}
	case known && w.Working.High >= shallow:
		return []Caution{{Key: "floor", About: body.ID, Text: "The shallow end runs dry; how much less water that is, is not known without the depth at the deep end. The drain may end earlier than computed.", Why: "working level " + w.Working.Text + ", shallow end " + show(shallow, UnitLength), Source: "plane geometry"}}
	case !known && w.Working.High >= usualShallow:
		return []Caution{{Key: "floor", About: body.ID, Text: "The shallow end may run dry; ask for the depths. The time counts the whole area, so the drain may end earlier than computed.", Why: "working level " + w.Working.Text + ", and the depth at the shallow end is not known yet", Source: "common practice, no source: a shallow end of 3 ft"}}
	}
	return nil
}

// sizes warns of sizes that contradict each other.
func (c *calc) sizes(body jobs.Subject) []Caution {
	odd := c.area(body).odd
	if len(odd) == 0 {
		return nil
	}
	why := make([]string, len(odd))
	for i, m := range odd {
		why[i] = strings.TrimPrefix(m.Text, body.Label()+": ")
	}
	return []Caution{{Key: "sizes", About: body.ID, Text: "What was noted of its size can't all be true; measure again.", Why: strings.Join(why, "; "), Source: "plane geometry"}}
}
