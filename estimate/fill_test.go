package estimate

import (
	"math"
	"testing"

	"ebbline/jobs"
)

// NEC chapter 9, table 4 (2017; ENT the older figures), all cells: inside
// diameter, then square inches at 100, 53, 31 and 40 %. HDPE has those of
// schedule 40. RMC, IMC and LFNC are from memory, 100 % only.
var table4 = map[string][6][5]float64{
	"pvc_40": {{.602, .285, .151, .088, .114}, {.804, .508, .269, .157, .203}, {1.029, .832, .441, .258, .333}, {1.360, 1.453, .770, .450, .581}, {1.590, 1.986, 1.052, .616, .794}, {2.047, 3.291, 1.744, 1.020, 1.316}},
	"pvc_80": {{.526, .217, .115, .067, .087}, {.722, .409, .217, .127, .164}, {.936, .688, .365, .213, .275}, {1.255, 1.237, .656, .383, .495}, {1.476, 1.711, .907, .530, .684}, {1.913, 2.874, 1.523, .891, 1.150}},
	"hdpe":   {{.602, .285, .151, .088, .114}, {.804, .508, .269, .157, .203}, {1.029, .832, .441, .258, .333}, {1.360, 1.453, .770, .450, .581}, {1.590, 1.986, 1.052, .616, .794}, {2.047, 3.291, 1.744, 1.020, 1.316}},
	"emt":    {{.622, .304, .161, .094, .122}, {.824, .533, .283, .165, .213}, {1.049, .864, .458, .268, .346}, {1.380, 1.496, .793, .464, .598}, {1.610, 2.036, 1.079, .631, .814}, {2.067, 3.356, 1.778, 1.040, 1.342}},
	"ent":    {{.560, .246, .131, .076, .099}, {.760, .454, .240, .141, .181}, {1.000, .785, .416, .243, .314}, {1.340, 1.410, .747, .437, .564}, {1.570, 1.936, 1.026, .600, .774}, {2.020, 3.205, 1.699, .993, 1.282}},
	"rmc":    {{.632, .314}, {.836, .549}, {1.063, .887}, {1.394, 1.526}, {1.624, 2.071}, {2.083, 3.408}},
	"imc":    {{.660, .342}, {.864, .586}, {1.105, .959}, {1.448, 1.647}, {1.683, 2.225}, {2.150, 3.630}},
	"lfnc":   {{.630, .312}, {.825, .535}, {1.043, .854}, {1.383, 1.502}, {1.588, 1.981}, {2.033, 3.246}},
}

// Areas are a quarter of pi times the square of the inside; the other columns
// are the parts of table 1.
func TestConduitTable(t *testing.T) {
	if len(table4) != len(insideThousandths) {
		t.Errorf("%d kinds, %d in the table", len(insideThousandths), len(table4))
	}
	for material, rows := range table4 {
		for i, row := range rows {
			area := float64(insideThousandths[material][i]) / 1000
			if math.Abs(area-row[1]) > 1e-9 {
				t.Errorf("%s %s: %v, the table says %v", material, jobs.TradeSizes[i], area, row[1])
			}
			if want := math.Pi / 4 * row[0] * row[0]; math.Abs(area-want) > .0013 {
				t.Errorf("%s %s: %v, from its inside %v", material, jobs.TradeSizes[i], area, want)
			}
			for j, conductors := range []int{1, 2, 3} {
				if row[2+j] == 0 {
					continue
				}
				if want := area * float64(fillLimit(conductors, false)) / 1000; math.Abs(row[2+j]-want) > .0012 {
					t.Errorf("%s %s for %d: %v, the table says %v", material, jobs.TradeSizes[i], conductors, want, row[2+j])
				}
			}
		}
	}
}

// NEC chapter 9, table 1 and note 4.
func TestFillLimits(t *testing.T) {
	for conductors, want := range map[int]int64{1: 530, 2: 310, 3: 400, 4: 400, 40: 400} {
		if got := fillLimit(conductors, false); got != want {
			t.Errorf("%d: %d, want %d", conductors, got, want)
		}
		if got := fillLimit(conductors, true); got != 600 {
			t.Errorf("%d in a nipple: %d", conductors, got)
		}
	}
}

// Fill cases: arithmetic from tables 1 and 4.
func TestFill(t *testing.T) {
	for _, c := range []struct {
		cords  int
		outer  float64 // inches
		size   string
		more   string
		part   float64 // per cent
		limit  int64
		result string
	}{
		{1, .45, "1/2", "", 55.8, 530, Short},
		{1, .45, "3/4", "", 31.3, 530, Holds},
		{2, .45, "3/4", "", 62.6, 310, Short},
		{2, .45, "1", "", 38.2, 310, Short},
		{2, .45, "1-1/4", "", 21.9, 310, Holds},
		{1, .60, "3/4", "", 55.7, 530, Short},
		{1, .60, "1", "", 34.0, 530, Holds},
		{3, .45, "1-1/4", "", 32.8, 400, Holds},
		{1, .45, "1/2", "length=2|ft", 55.8, 600, Holds},         // a nipple of 24 in
		{1, .45, "1/2", "length=2.01|ft", 55.8, 530, Short},      // just none
		{1, .45, "3/4", "jumper=yes", 31.3 + 7.2, 310, Short},    // two conductors with the jumper
		{2, .45, "1-1/4", "jumper=yes", 21.9 + 2.52, 400, Holds}, // three with it
	} {
		set := DefaultSettings()
		set.Catalogue.Lights[0].CordOuter = round(c.outer * umPerInch)
		for _, larger := range []string{"size_supply", "size_water"} { // either end binds
			smaller := map[string]string{"size_supply": "size_water", "size_water": "size_supply"}[larger]
			list := []string{"material=pvc_40", larger + "=2", smaller + "=" + c.size}
			if c.more != "" {
				list = append(list, c.more)
			}
			e := Make(oneConduit(t, c.cords, dry(list...)), set, Ask{})
			conduit := e.Conduits[0]
			if got := float64(conduit.Fill.Value) / 10; math.Abs(got-c.part) > .11 || conduit.Limit != c.limit {
				t.Errorf("%d of %v in %s %s: %v %% of %d, want %v of %d", c.cords, c.outer, c.size, c.more, got, conduit.Limit, c.part, c.limit)
			}
			if got := fillCheck(conduit).Result; got != c.result {
				t.Errorf("%d of %v in %s %s: %s, want %s", c.cords, c.outer, c.size, c.more, got, c.result)
			}
		}
	}
}

// A public electrical trade forum's example (thread 146118): cables of 0.5 in
// three times, 0.625 in twice and 0.75 in once take 1.644 in²; as a nipple 1-1/2
// in fails and 2 in passes, by the whole area 1-1/2 in is wide enough. And three
// 6 AWG of NEC chapter 9, table 5 take 0.1521 in²: 3/4 in EMT at 40 %.
func TestFillOfMixedCables(t *testing.T) {
	total := 0.0
	for _, od := range []float64{.5, .5, .5, .625, .625, .75} {
		total += fillPart(1, od, false, 1)
	}
	near(t, "in²", total, 1.6444, .0001)
	area := func(material string, size int) float64 { return float64(insideThousandths[material][size]) / 1000 }
	nipple := float64(fillLimit(6, true)) / 1000
	if total <= nipple*area("pvc_40", 4) || total > nipple*area("pvc_40", 5) || total > area("pvc_40", 4) {
		t.Errorf("%v in², nipples take %v and %v", total, nipple*area("pvc_40", 4), nipple*area("pvc_40", 5))
	}
	if three := 3 * .0507; three > .4*area("emt", 1) || three <= .4*area("emt", 0) {
		t.Errorf("%v in² of 6 AWG", three)
	}
	near(t, "8 AWG jumper, in² (NEC chapter 9, table 5)", fillPart(0, 1, true, 1), .0366, 1e-9)
}
