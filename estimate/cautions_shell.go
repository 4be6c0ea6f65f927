package estimate

import (
	"math"

	"ebbline/jobs"
)

// Weights in pounds on the cubic foot: water, and the usual reinforced concrete.
const (
	waterPound    = 62.4
	concretePound = 150.0
)

// safeUplift is the least weight over uplift that counts as safe (structural
// notes on buoyancy: 1.2 or more), in thousandths.
const safeUplift = 1200

// hull is a concrete shell with an even slope between its ends, in feet.
type hull struct {
	area, around  float64 // inside
	corners       float64 // what the corners add outside, over thickness²: 4 square, π round
	thick         float64
	shallow, deep float64 // water depths below the deck, which is taken as level with the tile line
}

// outer is the area covered by the shell with its walls, in ft².
func (h hull) outer() float64 { return h.area + h.around*h.thick + h.corners*h.thick*h.thick }

// holds is the weight of shell and water left inside, in pounds, with the water
// standing below the deck by level feet.
func (h hull) holds(level float64) float64 {
	walls := (h.outer() - h.area) * (h.shallow + h.deep) / 2
	return concretePound*(h.outer()*h.thick+walls) + waterPound*h.area*overSlope(h.shallow, h.deep, level)
}

// lifts is the uplift of ground water that stands below the deck by ground feet
// (above the deck it is negative), in pounds.
func (h hull) lifts(ground float64) float64 {
	return waterPound * h.outer() * overSlope(h.shallow+h.thick, h.deep+h.thick, ground)
}

// floats is how high ground water must stand above the deepest underside to
// lift the shell, in feet. Found by halving.
func (h hull) floats(level float64) float64 {
	bottom := h.deep + h.thick
	low, high := 0.0, 1.0
	weight := h.holds(level)
	for h.lifts(bottom-high) < weight && high < 1e6 {
		high *= 2
	}
	for range 60 {
		if mid := (low + high) / 2; h.lifts(bottom-mid) < weight {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// overSlope is the mean over a floor, even from one depth to the other, of the
// height from it up to a level below the deck; nothing where the floor is higher.
func overSlope(shallow, deep, level float64) float64 {
	up := func(d float64) float64 { return math.Max(0, d-level) }
	if deep-shallow < 1e-9 {
		return up(shallow)
	}
	return (up(deep)*up(deep) - up(shallow)*up(shallow)) / (2 * (deep - shallow))
}

// shell holds a concrete shell's weight against ground water where depths and
// thickness are known. Where the length of its edge does not follow from the
// shape, the least wall that can enclose the area is taken: the safe side.
func (c *calc) shell(w *Water, p basin, working num) {
	switch p.body.Choice("finish") {
	case jobs.FinishVinyl, jobs.FinishFibreglass, "stainless":
		return // light shells: no weight to count on
	}
	shallow, deep, thick := c.read(p.body, "depth_shallow"), c.read(p.body, "depth_deep"), c.read(p.body, "shell_thickness")
	if !gather(shallow, deep, thick, working, p.own.area).ok || shallow.v > deep.v {
		return
	}
	const squareMM = 92_903.04 // mm² in a ft²
	// sizes are taken as noted: a thicker shell weighs more and is lifted more,
	// so their band has no safe side; level and ground water have one
	h := hull{area: p.own.area.v / squareMM, around: p.own.around / umPerFoot, corners: math.Pi, thick: thick.v / umPerFoot, shallow: shallow.v / umPerFoot, deep: deep.v / umPerFoot}
	if h.around <= 0 {
		h.around = 2 * math.Sqrt(math.Pi*h.area)
	}
	if p.body.Choice("shape") == jobs.ShapeRectangle {
		h.corners = 4
	}
	floats := gather(p.own.area, shallow, deep, thick, working)
	floats.v, floats.lo, floats.hi = umPerFoot*h.floats(working.v/umPerFoot), umPerFoot*h.floats(working.hi/umPerFoot), umPerFoot*h.floats(working.lo/umPerFoot)
	w.Floats = figure("water.floats", "Ground water above its underside that would lift the lowered shell", p.body.ID, UnitLength, floats)
	w.Floats.Formula = "the height at which uplift = concrete + water left inside"
	ground := c.read(p.body, "ground_water")
	factor := func(level, ground float64) float64 {
		return 1000 * h.holds(level/umPerFoot) / h.lifts(ground/umPerFoot)
	}
	if ground.ok && h.lifts(ground.hi/umPerFoot) > 0 && factor(working.lo, ground.hi) < 1e6 { // else it hardly touches the shell
		n := gather(floats, ground)
		n.v, n.lo, n.hi = factor(working.v, ground.v), factor(working.hi, ground.lo), factor(working.lo, ground.hi)
		w.Uplift = figure("water.uplift", "Weight over uplift, lowered", p.body.ID, UnitRatio, n)
		w.Uplift.Formula = "(concrete + water left inside) ÷ (62.4 lb/ft³ × area outside × ground water above the underside)"
	}
	for _, f := range []*Figure{&w.Floats, &w.Uplift} {
		if f.Key != "" {
			f.Source = "statics: a shell floats when the water it displaces outweighs it; concrete 150 lb/ft³, floor an even slope, sizes as noted"
			f.Margin = "1.2 or more is asked for; walls above the tile line and ground on top are not counted; a relief valve may be stuck"
		}
	}
}

// uplift holds the ground water against the water that stays inside.
func (c *calc) uplift(body jobs.Subject, w Water) []Caution {
	const source = "statics: a shell floats when the water outside lifts more than shell and water inside weigh"
	one := func(text, why string) []Caution {
		return []Caution{{Key: "uplift", About: body.ID, Text: text, Why: why, Source: source, SignOff: true}}
	}
	ground := c.read(body, "ground_water")
	if !ground.ok {
		why := "the ground water's depth is not known yet"
		if w.Floats.Known {
			why += "; " + w.Floats.Text + " of it above the shell's underside would lift it"
		}
		return one("Ask or look for ground water before lowering; the lowered shell could float.", why)
	}
	if !w.Working.Known {
		return nil
	}
	// both below the deck, which is taken as level with the tile line
	above := w.Working.High - round(ground.lo)
	if above <= 0 && (!w.Uplift.Known || w.Uplift.Low >= safeUplift) {
		return nil
	}
	why := "ground water " + show(round(ground.v), UnitLength) + " below the deck, working level " + w.Working.Text + " below the tile line"
	if w.Uplift.Known {
		why += "; weight over uplift " + w.Uplift.Text + ", at worst " + show(w.Uplift.Low, UnitRatio)
		if w.Uplift.Low >= safeUplift {
			return one("Ground water stands above the lowered water, but shell and water left inside outweigh it. Keep to the working level, measure the ground water again on the day, refill at once.", why)
		}
		return one("Do not lower to the working level with the ground water as it is: weight over uplift may fall below 1.2, and the shell could float. Lower the ground water first, keep more water, or wait.", why)
	}
	return one("Ground water may stand "+show(above, UnitLength)+" above the lowered water: keep more water, lower in steps, open the relief valve only where it is known to work.",
		why+"; depths and thickness of the shell would tell whether it holds")
}

// Limits of light shells: a ground water that stands higher than the water
// inside lifts a liner from 4 in on; under a fibreglass shell it must be 1 m
// deep at least, and calls for care to 2 m (trade articles), in µm.
const (
	linerLift  = 4 * umPerInch
	glassNever = 1_000_000
	glassCare  = 2_000_000
)

// finish warns of finishes that suffer when low.
func (c *calc) finish(body jobs.Subject, w Water) []Caution {
	ground := c.read(body, "ground_water")
	site, _ := c.first(jobs.SubjectSite)
	switch finish := body.Choice("finish"); finish {
	case "":
		return []Caution{{Key: "finish", About: body.ID, Text: "Find out the finish before lowering: vinyl and fibreglass need a sign-off.", Why: "the finish is not known yet", Source: "trade articles", SignOff: true}}
	case jobs.FinishVinyl:
		out := Caution{Key: "liner", About: body.ID, Text: "A liner can float, shift, shrink or tear: keep the water inside above the ground water, refill at once.", Why: "vinyl liner", Source: "trade articles: 4 in of ground water above the water inside can lift a liner", SignOff: true}
		if ground.ok && w.Working.Known && float64(w.Working.High)-ground.lo >= linerLift {
			out.Text = "Do not lower the liner as planned: the ground water would stand above the water inside and lift it. Lower the ground water first, or keep more water."
			out.Why = "vinyl liner, ground water " + show(round(ground.v), UnitLength) + " below the deck, working level " + w.Working.Text
		}
		if age, ok := body.Base("finish_age"); ok && age >= 10 {
			out.Why += "; " + grouped(age) + " years old, old liners shrink and tear"
		}
		return []Caution{out}
	case jobs.FinishFibreglass:
		out := Caution{Key: "fibreglass", About: body.ID, Text: "A fibreglass shell can bulge or float: never in the wet season, lower by thirds where the ground water is near, sign-off first.", Why: "fibreglass shell", Source: "trade pages: not with ground water under 1 m deep, with care to 2 m", SignOff: true}
		switch {
		case site.Yes("rain_season"):
			out.Text, out.Why = "Do not lower the fibreglass shell in the rain season; wait for dry ground.", "fibreglass shell, and the work falls into the rain season"
		case !ground.ok:
			out.Why = "fibreglass shell, and the ground water's depth is not known yet"
		case ground.lo < glassNever:
			out.Text, out.Why = "Do not lower the fibreglass shell: the ground water is too near, it could bulge or float.", "fibreglass shell, ground water "+show(round(ground.v), UnitLength)+" below the deck, less than 3' 3 3/8\" (1 m) is too near"
		case ground.lo < glassCare:
			out.Text, out.Why = "Lower the fibreglass shell by thirds and leave it overnight between them; look for bulges each time.", "fibreglass shell, ground water "+show(round(ground.v), UnitLength)+" below the deck, between 1 and 2 m"
		}
		return []Caution{out}
	case "plaster", "aggregate", "paint":
		return []Caution{{Key: "heat", About: body.ID, Text: "Bare plaster dries and cracks in heat: avoid days of 85 °F and more, never over 100 °F; shade and wet the wall.", Why: "finish " + finish, Source: "trade pages"}}
	}
	return nil
}
