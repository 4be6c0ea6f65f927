package estimate

import "fmt"

// cordAmps is what a flexible cord's copper may carry, in mA, by AWG size, for
// three and for two current-carrying conductors: NEC table 400.5(A)(1) (2023).
var cordAmps = map[int][2]int64{
	18: {7_000, 10_000}, 16: {10_000, 13_000}, 14: {15_000, 18_000},
	12: {20_000, 25_000}, 10: {25_000, 30_000}, 8: {35_000, 40_000},
}

// ampacity is what the light's cord may carry. A cord of two conductors has two
// that carry current; of any other, or one whose count is not on its sheet,
// three are taken, the safe side.
func (l Light) ampacity() (milliamps int64, conductors int) {
	if l.Conductors == 2 {
		return cordAmps[l.AWG][1], 2
	}
	return cordAmps[l.AWG][0], 3
}

// ampacityCheck holds the light that draws most against its cord.
func (c *calc) ampacityCheck(e Estimate) Check {
	may, conductors := c.light.ampacity()
	check := Check{Key: "cord.amps", Name: "Current in a light's cord", Decides: decidesLicensed,
		Source: fmt.Sprintf("NEC table 400.5(A)(1) (2023): %d AWG, %d current-carrying conductors", c.light.AWG, conductors)}
	lack := num{ok: len(e.Cords) > 0}
	if !lack.ok {
		lack.miss = []Miss{{Text: "The light positions and their conduits"}}
	}
	most := int64(0)
	for i, l := range c.loads(e.Cords) {
		cord := e.Cords[i]
		if !cord.Volts.Known {
			lack = num{miss: appendMiss(lack.miss, cord.Volts.Missing...)}
			continue
		}
		// with the lowest volts, but never below half the source's: there the
		// run delivers its most
		most = max(most, round(l.va*1e6/float64(max(cord.Volts.Low, cord.Volts.Value/2, 1))))
	}
	switch {
	case most > may:
		check.Result, check.Text = Short, fmt.Sprintf("%s, over %s by %s", show(most, UnitCurrent), show(may, UnitCurrent), show(most-may, UnitCurrent))
	case !lack.ok:
		return check.lacks(lack.miss...)
	default:
		check.Result, check.Text = Holds, fmt.Sprintf("up to %s, at most %s", show(most, UnitCurrent), show(may, UnitCurrent))
	}
	return check
}

// class2 is what a Class 2 source of up to 20 V AC may be named for: 5 A, and
// five volt-amperes for each volt. NEC chapter 9, table 11(A) (2017).
func class2(tap int64) (milliwatts, milliamps int64) { return 5 * tap, 5_000 }

// outputChecks hold each output's current against the limit of a low-voltage
// lighting circuit, and of a Class 2 source where the supply is one.
func (c *calc) outputChecks(e Estimate) []Check {
	var list []Check
	for _, o := range e.Supply.outputs {
		if o.Lights == 0 {
			continue
		}
		name := zoneName("Current of the output", o.Zone, len(e.Supply.outputs))
		check := Check{Key: "output.amps", Name: name, Source: "NEC 411.4 (2023): a low-voltage lighting circuit, under all loads", Decides: decidesLicensed}
		may := c.set.Supply.OutputAmps
		if e.Supply.part.Class2 {
			_, may = class2(o.tap)
			check.Source = "NEC chapter 9, table 11(A) (2017): a Class 2 source"
		}
		switch {
		case !o.Amps.Known:
			check = check.lacks(o.Amps.Missing...)
		case o.Amps.High > may:
			check.Result, check.Text = Short, fmt.Sprintf("up to %s, over %s by %s", show(o.Amps.High, UnitCurrent), show(may, UnitCurrent), show(o.Amps.High-may, UnitCurrent))
		default:
			check.Result, check.Text = Holds, fmt.Sprintf("up to %s, at most %s", show(o.Amps.High, UnitCurrent), show(may, UnitCurrent))
		}
		list = append(list, check)
		if e.Supply.part.Class2 && o.tap > 0 {
			list = append(list, c.class2Check(e, o))
		}
	}
	return list
}

// class2Check says what a Class 2 source may be named for at its tap: the
// lights' volt-amperes, which a power factor makes more than their watts.
func (c *calc) class2Check(e Estimate, o Output) Check {
	may, _ := class2(o.tap)
	check := Check{Key: "output.class2", Name: zoneName("Class 2 output", o.Zone, len(e.Supply.outputs)), Decides: decidesLicensed,
		Source: "NEC chapter 9, table 11(A) (2017): 5 VA for each volt up to 20 V AC"}
	power := round(float64(e.Supply.Zones[o.Zone-1].Power) * 1000 / float64(max(c.light.PowerFactor, 1)))
	va := func(mille int64) string { return tenth(float64(mille)/1000) + " VA" }
	check.Result, check.Text = Holds, fmt.Sprintf("%s of %s at %s", va(power), va(may), show(o.tap, UnitVoltage))
	if power > may {
		check.Result, check.Text = Short, fmt.Sprintf("%s, over %s at %s by %s", va(power), va(may), show(o.tap, UnitVoltage), va(power-may))
	}
	return check
}
