package estimate

import (
	"math"
	"strconv"

	"ebbline/jobs"
)

// Ends that a conduit is pulled from.
const (
	PullAtSupply = "supply" // fed in at the water: the only way of a cord that is fixed to its light
	PullAtWater  = "water"
	PullAtEither = "either" // the places of the bends are not known, so both ways come out the same
)

// Way is what a pull takes, one way through.
type Way struct {
	PullAt   string `json:"pull_at"`
	Dry      Figure `json:"dry"`       // largest tension, nothing lubricated
	Wet      Figure `json:"wet"`       // largest tension, lubricated
	DryPress Figure `json:"dry_press"` // largest side-wall pressure
	WetPress Figure `json:"wet_press"`
}

// Figures lists what the way holds.
func (w Way) figures() [4]Figure { return [4]Figure{w.Dry, w.Wet, w.DryPress, w.WetPress} }

// ways computes the pull both ways; none while nothing is known of the bends.
func (c *calc) ways(run jobs.Subject, cords int, s course, b bore) []Way {
	if !s.known || cords == 0 {
		return nil
	}
	if s.pieces == nil {
		return []Way{c.way(run, cords, s, b, PullAtEither)}
	}
	return []Way{c.way(run, cords, s, b, PullAtSupply), c.way(run, cords, s, b, PullAtWater)}
}

func (c *calc) way(run jobs.Subject, cords int, s course, b bore, at string) Way {
	set := c.set.conduits()
	w := Way{PullAt: at}
	name := map[string]string{PullAtSupply: "Pull at the supply", PullAtWater: "Pull at the water", PullAtEither: "Pull"}[at]
	bends := s.bends
	if s.pieces != nil {
		bends.in = nil // they come from the same value as the length
	}
	lack := gather(s.length, bends)
	if !c.lit {
		lack = gather(lack, unknown(Miss{Text: "A light from the catalogue"}))
	}
	pressLack := gather(lack, b.num)
	if cords > 1 {
		lack = pressLack // side by side they press by how wide the conduit is
	}
	in := c.pullInputs(cords, s, b, lack, set)
	for i, lubricated := range [...]bool{false, true} {
		friction, least, how := set.DryFriction, set.DryFrictionLeast, "dry"
		if lubricated {
			friction, least, how = set.WetFriction, set.WetFrictionLeast, "lubricated"
		}
		tension, press := num{miss: lack.miss}, num{miss: pressLack.miss}
		if lack.ok {
			tension, press = c.pulled(s, b, cords, at == PullAtWater, float64(friction)/1000, float64(least)/1000)
			tension.in = append(in[:len(in):len(in)], Input{Name: "Friction, " + how, Text: ratio(friction) + ", at best " + ratio(least)})
			press.miss, press.ok = pressLack.miss, press.ok && pressLack.ok
			press.in = tension.in
			if !finite(tension.hi) {
				tension = unknown(Miss{Subject: run.ID, Text: run.Label() + ": a conduit wider than the cord"})
			}
			if press.ok && !finite(press.hi) {
				press = unknown(Miss{Subject: run.ID, Field: "run", Text: run.Label() + ": a radius of the bends that the conduit can have"})
			}
		}
		f := figure("conduit.pull."+at+"."+how, name+", "+how, run.ID, UnitForce, tension)
		f.Formula = "straight T + L·w·(sin A + f·cos A), bend T·e^(f·a), one after the other from where the cord is fed in; the largest on the way"
		f.Source = "a utility's pulling-tension appendix; bend as in a published conduit construction manual; frictions of both, of a lubricant guide and of calculator pages"
		f.Margin = s.how + "; the old bundle that leaves ahead of the cord is not counted, its drag is what the tug test shows"
		if s.pieces == nil {
			f.Margin += "; taken as level"
		}
		p := figure("conduit.press."+at+"."+how, name+", "+how+": on the side wall", run.ID, UnitPress, press)
		p.Formula = "tension behind the bend ÷ inside radius of the bend"
		p.Source = "cable-engineering text; limit " + show(set.SideWall, UnitPress) + ": ICEA-based technical guide"
		p.Margin = "bends of the least radius of NEC chapter 9, table 2, where no other was noted"
		if i == 0 {
			w.Dry, w.DryPress = f, p
		} else {
			w.Wet, w.WetPress = f, p
		}
	}
	return w
}

// pulled computes tension in mN and side-wall pressure in mN/m: planned friction
// with the lengths as known and at their high end, the best friction with the
// lengths at their low end.
func (c *calc) pulled(s course, b bore, cords int, back bool, friction, least float64) (tension, press num) {
	set := c.set.conduits()
	weight := float64(set.CordWeight)
	if c.light.CordWeight > 0 {
		weight = float64(c.light.CordWeight)
	}
	p := pulling{feed: float64(set.Feed) / mNPerPound, weight: weight * float64(cords) * poundsPerMgPerM * feetInMetre, friction: friction, scale: 1}
	if b.num.ok {
		p.weight *= weightCorrection(cords, b.inside/12, float64(c.light.CordOuter)/umPerFoot)
		p.radius, p.inside = float64(shoeRadius[b.size])/12_000, b.inside/12
	}
	feet := s.length
	feet.v, feet.lo, feet.hi = feet.v/umPerFoot, feet.lo/umPerFoot, feet.hi/umPerFoot
	var at [3][]piece
	var scale [3]float64
	if s.pieces != nil {
		total := 0.0
		for _, piece := range s.pieces {
			total += piece.feet
		}
		at = [3][]piece{s.pieces, s.pieces, s.pieces}
		scale = [3]float64{feet.lo / total, feet.v / total, feet.hi / total}
	} else {
		low, mid, high := s.bends.lo*math.Pi/180_000, s.bends.v*math.Pi/180_000, s.bends.hi*math.Pi/180_000
		at = [3][]piece{{{bend: low}, {feet: feet.lo}}, evenly(feet.v, mid, s.count), {{feet: feet.hi}, {bend: high}}}
		scale = [3]float64{1, 1, 1}
	}
	var t, w [3]float64
	for i := range at {
		p.scale, p.friction = scale[i], friction
		if i == 0 {
			p.friction = least
		}
		t[i], w[i] = p.pull(at[i], back)
	}
	tension = num{v: t[1] * mNPerPound, lo: math.Min(t[0], t[1]) * mNPerPound, hi: math.Max(t[1], t[2]) * mNPerPound, ok: true}
	const press0 = mNPerPound / .3048 // pounds for each foot in mN/m
	press = num{v: w[1] * press0, lo: math.Min(w[0], w[1]) * press0, hi: math.Max(w[1], w[2]) * press0, ok: true}
	return tension, press
}

// A milligram for each metre, in pounds for each metre and each foot.
const (
	poundsPerMgPerM = 1 / 453_592.37 // the pound is 453.59237 g exactly (NIST SP 811)
	feetInMetre     = .3048
)

func (c *calc) pullInputs(cords int, s course, b bore, lack num, set ConduitSettings) []Input {
	if !lack.ok {
		return nil
	}
	weight := set.CordWeight
	if c.light.CordWeight > 0 {
		weight = c.light.CordWeight
	}
	in := make([]Input, 0, len(lack.in)+5)
	in = append(in, lack.in...)
	in = append(in,
		Input{Name: "Cords pulled at once", Text: plural(cords, "cord") + ", each " + hundredth(float64(weight)*poundsPerMgPerM*feetInMetre) + " lb/ft"},
		Input{Name: "Tension at the feeding end", Text: show(set.Feed, UnitForce)})
	if cords > 1 && b.num.ok {
		in = append(in, Input{Name: "Weight correction", Text: hundredth(weightCorrection(cords, b.inside, float64(c.light.CordOuter)/umPerInch))})
	}
	return in
}

// bears are the most pull by one person and by two: the least of conductors,
// joint and hand.
func (c *calc) bears(run jobs.Subject, cords int) (one, two Figure) {
	set := c.set.conduits()
	lack := gather()
	if !c.lit {
		lack = unknown(Miss{Text: "A light from the catalogue"})
	}
	each := 2
	if c.light.Conductors > 0 {
		each = c.light.Conductors
	}
	copper := conductorLimit(c.light.AWG, each*max(cords, 1)) * mNPerPound
	for i, hand := range [...]int64{set.OnePerson, set.TwoPeople} {
		n := lack
		if lack.ok {
			n = fixed(math.Min(copper, float64(min(hand, set.Joint))),
				Input{Name: "Conductors", Text: plural(each*max(cords, 1), "conductor") + " of " + strconv.Itoa(c.light.AWG) + " AWG: " + show(round(copper), UnitForce)},
				Input{Name: "Cord jacket and joint to the pull line", Text: show(set.Joint, UnitForce)},
				Input{Name: "By hand", Text: show(hand, UnitForce)})
		}
		f := figure([...]string{"conduit.bears.one", "conduit.bears.two"}[i], [...]string{"Most pull, one person", "Most pull, two people"}[i], run.ID, UnitForce, n)
		f.Formula = "the least of 0.008 lb for each circular mil of copper (eight tenths of it above three conductors), joint and hand"
		f.Source = "published pulling-tension pages; joint and hand: common practice, no source"
		if i == 0 {
			one = f
		} else {
			two = f
		}
	}
	return one, two
}

// ratio writes thousandths as a plain number: 500 is 0.5.
func ratio(thousandths int64) string {
	return strconv.FormatFloat(float64(thousandths)/1000, 'f', -1, 64)
}

func hundredth(v float64) string { return strconv.FormatFloat(v, 'f', 2, 64) }
