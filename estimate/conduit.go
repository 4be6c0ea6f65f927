package estimate

import (
	"math"

	"ebbline/jobs"
)

// Conduit is what is thought of one conduit before anybody pulls.
type Conduit struct {
	Conduit string `json:"conduit"`
	Name    string `json:"name"`
	Lights  int    `json:"lights"`
	Verdict string `json:"verdict"` // pull, help, open or unknown
	Text    string `json:"text"`
	Fill    Figure `json:"fill"`  // part of the inside that cords take
	Limit   int64  `json:"limit"` // thousandths allowed
}

// Verdicts on a conduit.
const (
	VerdictPull    = "pull"
	VerdictHelp    = "help"
	VerdictOpen    = "open"
	VerdictUnknown = "unknown"
)

// conduit judges one conduit: the tug test first, then fill.
func (c *calc) conduit(run jobs.Subject, cords []Cord) Conduit {
	out := Conduit{Conduit: run.ID, Name: run.Label()}
	for _, cord := range cords {
		if cord.Through(run.ID) {
			out.Lights++
		}
	}
	switch run.Choice("tug") {
	case jobs.TugMoves:
		out.Verdict, out.Text = VerdictPull, "The bundle moves: pull."
	case jobs.TugMovesHard:
		out.Verdict, out.Text = VerdictHelp, "The bundle moves hard: lubricant and a second person."
	case jobs.TugStuck, jobs.TugBroken:
		out.Verdict, out.Text = VerdictOpen, "Open up first: the bundle is "+run.Choice("tug")+"."
	default:
		out.Verdict, out.Text = VerdictUnknown, "No tug test yet: not known yet whether it pulls."
	}
	if out.Lights > 1 || run.Yes("shared") || run.Yes("tee") {
		out.Text += " Shared or a tee suspected: all of its lights at once or none."
	}
	out.Fill, out.Limit = c.fill(run, out.Lights)
	return out
}

// insideThousandths are whole inside areas in 1/1000 square inch: NEC chapter
// 9, table 4 (2017). For ENT the older, smaller figures; HDPE has those of
// schedule 40.
var insideThousandths = map[string][6]int64{
	"pvc_40": {285, 508, 832, 1453, 1986, 3291},
	"pvc_80": {217, 409, 688, 1237, 1711, 2874},
	"hdpe":   {285, 508, 832, 1453, 1986, 3291},
	"emt":    {304, 533, 864, 1496, 2036, 3356},
	"ent":    {246, 454, 785, 1410, 1936, 3205},
}

// fillLimit is the part of a conduit that cords may take, in thousandths: NEC
// chapter 9, table 1. A cord counts as one conductor (note 9).
func fillLimit(cords int) int64 {
	switch cords {
	case 1:
		return 530
	case 2:
		return 310
	}
	return 400
}

// inside is a conduit's inside area in square inches at its smaller end; what is
// missing for it otherwise.
func inside(run jobs.Subject) num {
	material, ok := run.Value("material")
	areas, listed := insideThousandths[material.Text]
	lack := unknown()
	if !ok || !listed {
		lack.miss = appendMiss(lack.miss, missField(run, "material"))
	}
	least := math.MaxInt
	var in []Input
	for _, name := range []string{"size_supply", "size_water"} {
		size, ok := run.Value(name)
		if !ok {
			lack.miss = appendMiss(lack.miss, missField(run, name))
			continue
		}
		for i, trade := range jobs.TradeSizes {
			if trade == size.Text {
				least = min(least, i)
			}
		}
		spec, _ := jobs.FieldOf(run.Kind, name)
		in = append(in, Input{Name: spec.Label, Text: spec.Show(size) + " in", Known: size.Known, Subject: run.ID, Field: name})
	}
	if len(lack.miss) > 0 {
		return lack
	}
	return fixed(float64(areas[least])/1000, in...)
}

func (c *calc) fill(run jobs.Subject, cords int) (Figure, int64) {
	area := inside(run)
	limit := fillLimit(max(cords, 1))
	part := gather(area)
	if part.ok {
		od := float64(c.light.CordOuter) / umPerInch
		part = fixed(1000*float64(cords)*math.Pi/4*od*od/area.v, area.in...)
		part.in = append(part.in, Input{Name: "Cords", Text: plural(cords, "cord") + " of " + tenth(float64(c.light.CordOuter)/1000) + " mm"})
	}
	f := figure("conduit.fill", "Part of the conduit that cords take", run.ID, UnitMille, part)
	f.Formula = "cords × π/4 × outside² ÷ inside area at the smaller end"
	f.Source = "NEC chapter 9, tables 1 and 4, notes 5 and 9 (2017): a cord counts as one conductor"
	f.Margin = "limit " + show(limit, UnitMille)
	return f, limit
}
