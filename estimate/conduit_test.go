package estimate

import (
	"math"
	"testing"

	"ebbline/jobs"
)

// Inside diameters of NEC chapter 9, table 4 (2017; ENT the older figures):
// areas are a quarter of pi times their square.
func TestConduitAreas(t *testing.T) {
	for material, ids := range map[string][6]float64{
		"pvc_40": {.602, .804, 1.029, 1.360, 1.590, 2.047},
		"pvc_80": {.526, .722, .936, 1.255, 1.476, 1.913},
		"emt":    {.622, .824, 1.049, 1.380, 1.610, 2.067},
		"ent":    {.560, .760, 1.000, 1.340, 1.570, 2.020},
	} {
		for i, id := range ids {
			if got, want := float64(insideThousandths[material][i])/1000, math.Pi/4*id*id; math.Abs(got-want) > .0011 {
				t.Errorf("%s %s: %v, want %v", material, jobs.TradeSizes[i], got, want)
			}
		}
	}
}

// Limits of NEC chapter 9, table 1; a cord counts as one conductor (note 9).
// The cases are arithmetic from tables 1 and 4.
func TestFill(t *testing.T) {
	for _, c := range []struct {
		cords  int
		outer  float64 // inches
		size   string
		part   float64 // per cent
		result string
	}{
		{1, .45, "1/2", 55.8, Short},
		{1, .45, "3/4", 31.3, Holds},
		{2, .45, "3/4", 62.6, Short},
		{2, .45, "1", 38.2, Short},
		{2, .45, "1-1/4", 21.9, Holds},
		{1, .60, "3/4", 55.7, Short},
		{1, .60, "1", 34.0, Holds},
		{3, .45, "1-1/4", 32.8, Holds},
	} {
		set := DefaultSettings()
		set.Catalogue.Lights[0].CordOuter = round(c.outer * umPerInch)
		calc := &calc{set: set, light: set.Catalogue.Lights[0]}
		run := jobs.Subject{ID: "c", Kind: jobs.SubjectConduit, Values: map[string]jobs.Value{
			"material": {Text: "pvc_40", Known: jobs.KnownRead}, "size_supply": {Text: "2", Known: jobs.KnownRead}, "size_water": {Text: c.size, Known: jobs.KnownRead}}}
		conduit := Conduit{Conduit: "c"}
		conduit.Fill, conduit.Limit = calc.fill(run, c.cords)
		if got := float64(conduit.Fill.Value) / 10; math.Abs(got-c.part) > .11 {
			t.Errorf("%d of %v in %s: %v %%, want %v", c.cords, c.outer, c.size, got, c.part)
		}
		if got := fillCheck(conduit).Result; got != c.result {
			t.Errorf("%d of %v in %s: %s, want %s", c.cords, c.outer, c.size, got, c.result)
		}
	}
}
