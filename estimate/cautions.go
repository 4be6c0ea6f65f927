package estimate

import (
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
		list = append(list, c.sizes(body, w)...)
		if !w.Lowered {
			continue
		}
		list = append(list, c.uplift(body, w)...)
		list = append(list, c.floor(body, w)...)
		list = append(list, c.finish(body)...)
		if body.Yes("filler") {
			list = append(list, Caution{Key: "filler", About: body.ID, Text: "Close the automatic filler before pumping and leave it closed until the refill.", Why: "an open filler refills while the pump lowers", Source: "common practice, no source"})
		}
		switch body.Choice("becomes_low") {
		case jobs.LowByCrewPump, jobs.LowByOutlet, jobs.LowByCustomer:
			list = append(list, Caution{Key: "unattended", About: body.ID, Text: "The drain runs unattended: set the intake at the working level, so that it stops by itself there, and say who looks after it.", Why: "nobody stands beside it for " + w.Drain.Text, Source: "common practice, no source"})
		}
		list = append(list, Caution{Key: "guard", About: body.ID, Text: "Guard the low pool: barrier, notice, nobody left alone beside it; pump, heater and lights off while it is low.", Why: "a partly empty pool is a drop, and lights must not run dry", Source: "NEC 680.23(A)(7) for the lights; common practice for the rest"})
	}
	for _, d := range c.survey.OfKind(jobs.SubjectDischarge) {
		for _, body := range c.survey.OfKind(jobs.SubjectBody) {
			if body.Yes("salt") && d.Choice("where") != jobs.DischargeCleanout {
				list = append(list, Caution{Key: "salt", About: body.ID, Text: "Salt water: most agencies allow it into the sewer clean-out only.", Why: "the body is salted and the water goes elsewhere", Source: "agency discharge rules"})
			}
		}
	}
	if site, ok := c.first(jobs.SubjectSite); ok && site.Yes("rain_season") {
		list = append(list, Caution{Key: "rain", Text: "Do not lower right before or after heavy rain; rain lifts the level and the ground water.", Why: "the work falls into the rain season", Source: "trade pages", SignOff: true})
	}
	return list
}

// uplift holds the ground water against the water that stays inside.
func (c *calc) uplift(body jobs.Subject, w Water) []Caution {
	const source = "statics: a shell floats when the water outside lifts more than shell and water inside weigh"
	ground := c.read(body, "ground_water")
	if !ground.ok {
		return []Caution{{Key: "uplift", About: body.ID, Text: "Ask or look for ground water before lowering; the empty shell could float.", Why: "the ground water's depth is not known yet", Source: source, SignOff: true}}
	}
	if !w.Working.Known {
		return nil
	}
	// both below the deck, which is taken as level with the tile line
	above := w.Working.High - round(ground.lo)
	if above <= 0 {
		return nil
	}
	return []Caution{{Key: "uplift", About: body.ID, Text: "Ground water may stand " + show(above, UnitLength) + " above the lowered water: keep more water, lower in steps, open the relief valve only where it is known to work.", Why: "ground water " + show(round(ground.v), UnitLength) + " below the deck, working level " + w.Working.Text + " below the tile line", Source: source, SignOff: true}}
}

// floor warns when the working level comes near the floor.
func (c *calc) floor(body jobs.Subject, w Water) []Caution {
	shallow, known := body.Base("depth_shallow")
	deep, deepKnown := body.Base("depth_deep")
	switch {
	case !w.Working.Known:
	case deepKnown && w.Working.High >= deep:
		return []Caution{{Key: "empty", About: body.ID, Text: "The working level lies at or below the floor: the pool would be empty. Look at depth and light positions again.", Why: "working level " + w.Working.Text + ", deep end " + show(deep, UnitLength), Source: "plane geometry", SignOff: true}}
	case known && w.Working.High >= shallow:
		return []Caution{{Key: "floor", About: body.ID, Text: "The shallow end runs dry; the area shrinks there and the drain may end earlier than computed.", Why: "working level " + w.Working.Text + ", shallow end " + show(shallow, UnitLength), Source: "plane geometry"}}
	}
	return nil
}

// finish warns of finishes that suffer when low.
func (c *calc) finish(body jobs.Subject) []Caution {
	switch body.Choice("finish") {
	case "":
		return []Caution{{Key: "finish", About: body.ID, Text: "Find out the finish before lowering: vinyl and fibreglass need a sign-off.", Why: "the finish is not known yet", Source: "trade articles", SignOff: true}}
	case jobs.FinishVinyl:
		return []Caution{{Key: "liner", About: body.ID, Text: "A liner can float, shift, shrink or tear: keep the water inside above the ground water, refill at once.", Why: "vinyl liner", Source: "trade articles", SignOff: true}}
	case jobs.FinishFibreglass:
		return []Caution{{Key: "fibreglass", About: body.ID, Text: "A fibreglass shell can bulge or float: never in the wet season, lower by thirds where the ground water is near, sign-off first.", Why: "fibreglass shell", Source: "trade pages: not with ground water under 1 m deep, with care to 2 m", SignOff: true}}
	case "plaster", "aggregate", "paint":
		return []Caution{{Key: "heat", About: body.ID, Text: "Bare plaster dries and cracks in heat: avoid days of 85 °F and more, never over 100 °F; shade and wet the wall.", Why: "finish " + body.Choice("finish"), Source: "trade pages"}}
	}
	return nil
}

// sizes warns when an area that is known beside the shape's sizes contradicts
// them by more than a quarter.
func (c *calc) sizes(body jobs.Subject, w Water) []Caution {
	area, ok := body.Base("area")
	if !ok || !w.Area.Known || body.Choice("shape") == jobs.ShapeArea {
		return nil
	}
	if area*4 >= w.Area.Value*3 && area*4 <= w.Area.Value*5 {
		return nil
	}
	return []Caution{{Key: "sizes", About: body.ID, Text: "The area noted and the sizes noted contradict each other; measure again.", Why: show(area, UnitArea) + " noted, " + w.Area.Text + " from shape and sizes", Source: "plane geometry"}}
}
