package estimate

import (
	"math"

	"ebbline/jobs"
)

// insideThousandths are whole inside areas in 1/1000 square inch, by trade size:
// NEC chapter 9, table 4 (2017). For ENT the older, smaller figures; HDPE has
// those of schedule 40. RMC, IMC and LFNC (the smaller of its kinds A and B) are
// from memory and agree with a quarter of pi times the square of their inside.
var insideThousandths = map[string][6]int64{
	"pvc_40": {285, 508, 832, 1453, 1986, 3291},
	"pvc_80": {217, 409, 688, 1237, 1711, 2874},
	"hdpe":   {285, 508, 832, 1453, 1986, 3291},
	"emt":    {304, 533, 864, 1496, 2036, 3356},
	"ent":    {246, 454, 785, 1410, 1936, 3205},
	"rmc":    {314, 549, 887, 1526, 2071, 3408},
	"imc":    {342, 586, 959, 1647, 2225, 3630},
	"lfnc":   {312, 535, 854, 1502, 1981, 3246},
}

// jumperArea is an 8 AWG bonding jumper with THHN or THWN-2 insulation, in
// square inches: NEC chapter 9, table 5.
const jumperArea = .0366

// nippleLength is the length up to which a conduit counts as a nipple.
const nippleLength = 24 * 25_400

// fillLimit is the part of a conduit that conductors may take, in thousandths:
// NEC chapter 9, table 1. A cord counts as one conductor (note 9), a bonding
// jumper as another (note 3); a nipple of at most 24 in may be filled to 60 %
// (note 4).
func fillLimit(conductors int, nipple bool) int64 {
	switch {
	case nipple:
		return 600
	case conductors <= 1:
		return 530
	case conductors == 2:
		return 310
	}
	return 400
}

// bore is the narrower end of a conduit.
type bore struct {
	size   int     // index in jobs.TradeSizes
	area   float64 // square inches
	inside float64 // inches
	num    num     // the area, with what it came from or what is missing for it
}

// bore finds the narrower end of a conduit: it binds.
func (c *calc) bore(run jobs.Subject) bore {
	b := bore{size: len(jobs.TradeSizes)}
	lack := num{}
	material, known := run.Value("material")
	areas, listed := insideThousandths[material.Text]
	switch {
	case !known:
		lack.miss = append(lack.miss, missField(run, "material"))
	case !listed:
		lack.miss = append(lack.miss, Miss{Subject: run.ID, Field: "material", Text: run.Label() + ": inside of the " + conduitName(material.Text) + ", which no code table lists"})
	}
	in := make([]Input, 0, 3)
	for _, name := range [...]string{"size_supply", "size_water"} {
		size, ok := run.Value(name)
		i := tradeSize(size.Text)
		if !ok || i < 0 {
			lack.miss = append(lack.miss, missField(run, name))
			continue
		}
		b.size = min(b.size, i)
		spec, _ := jobs.FieldOf(run.Kind, name)
		in = append(in, Input{Name: spec.Label, Text: size.Text + " in", Known: size.Known, Subject: run.ID, Field: name})
	}
	if len(lack.miss) > 0 {
		b.num = lack
		return b
	}
	b.area = float64(areas[b.size]) / 1000
	b.inside = math.Sqrt(4 * b.area / math.Pi)
	b.num = fixed(b.area, in...)
	return b
}

func tradeSize(text string) int {
	for i, trade := range jobs.TradeSizes {
		if trade == text {
			return i
		}
	}
	return -1
}

// fillPart is the part of an area that cords of an outside diameter and, where
// one stays, a bonding jumper take. Lengths in inches, area in square inches.
func fillPart(cords int, outside float64, jumper bool, area float64) float64 {
	taken := float64(cords) * math.Pi / 4 * outside * outside
	if jumper {
		taken += jumperArea
	}
	return taken / area
}

// fill is the part of the conduit that its cords take and the part they may.
func (c *calc) fill(run jobs.Subject, cords int, b bore) (Figure, int64) {
	jumper := run.Yes("jumper") || c.light.Ungrounded == Not && nonmetallic(run.Choice("material"))
	conductors := max(cords, 1)
	if jumper {
		conductors++
	}
	length, known := run.Base("length")
	nipple := known && length <= nippleLength
	limit := fillLimit(conductors, nipple)
	part := gather(b.num)
	switch {
	case cords == 0:
		part = gather(part, unknown(Miss{Subject: run.ID, Text: run.Label() + ": which light positions it serves"}))
	case !c.lit:
		part = gather(part, unknown(Miss{Text: "A light from the catalogue"}))
	}
	if part.ok {
		od := float64(c.light.CordOuter) / umPerInch
		in := append(part.in[:len(part.in):len(part.in)], Input{Name: "Cords", Text: plural(cords, "cord") + " of " + tenth(float64(c.light.CordOuter)/1000) + " mm"})
		if jumper {
			in = append(in, Input{Name: "Bonding jumper that stays", Text: "8 AWG, 0.0366 in²", Subject: run.ID, Field: "jumper"})
		}
		part = fixed(1000*fillPart(cords, od, jumper, b.area), in...)
	}
	f := figure("conduit.fill", "Part of the conduit that cords take", run.ID, UnitMille, part)
	f.Formula = "cords × π/4 × larger outside² ÷ inside area at the smaller end"
	f.Source = "NEC chapter 9, tables 1 and 4, notes 3, 4, 5 and 9 (2017): a cord counts as one conductor"
	if m := run.Choice("material"); m == "rmc" || m == "imc" || m == "lfnc" {
		f.Source += "; area of this kind from memory"
	}
	f.Margin = "limit " + show(limit, UnitMille)
	switch {
	case nipple:
		f.Margin += " of a nipple up to 24 in"
	case !jumper && run.No("jumper"):
	case !jumper:
		f.Margin += "; no bonding jumper is counted, none is known to stay"
	}
	return f, limit
}

// nonmetallic conduits need a bonding jumper inside for a light that needs
// grounding: NEC 680.23(B)(2)(b).
func nonmetallic(material string) bool {
	switch material {
	case "", "rmc", "imc", "emt":
		return false
	}
	return true
}

func fillCheck(conduit Conduit) Check {
	check := Check{Key: "conduit.fill", Name: "Cords in the conduit", About: conduit.Conduit, Source: conduit.Fill.Source, Decides: decidesLicensed}
	switch {
	case !conduit.Fill.Known:
		check.Result, check.Text, check.Missing = Unknown, NotKnown, conduit.Fill.Missing
	case conduit.Fill.Value <= conduit.Limit:
		check.Result, check.Text = Holds, conduit.Fill.Text+" of the inside, at most "+show(conduit.Limit, UnitMille)
	default:
		check.Result, check.Text = Short, conduit.Fill.Text+" of the inside, over "+show(conduit.Limit, UnitMille)+" by "+show(conduit.Fill.Value-conduit.Limit, UnitMille)
	}
	return check
}
