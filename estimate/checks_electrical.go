package estimate

import (
	"fmt"

	"ebbline/jobs"
)

// electricalChecks are voltage, loading and circuit.
func (c *calc) electricalChecks(e Estimate) []Check {
	list := []Check{c.contactCheck(e.Supply)}
	list = append(list, c.voltsChecks(e.Supply)...)
	list = append(list, c.loadingCheck(e.Supply))
	list = append(list, c.outputChecks(e)...)
	list = append(list, c.ampacityCheck(e), c.circuitCheck(e))
	if place, ok := c.first(jobs.SubjectSupply); ok {
		list = append(list, c.branchChecks(place)...)
	}
	return list
}

// contactCheck holds the highest tap, at the voltage of the circuit, against the
// contact limit.
func (c *calc) contactCheck(s Supply) Check {
	check := Check{Key: "supply.contact", Name: "Tap within the contact limit", Source: s.Tap.Source, Decides: decidesLicensed}
	if !s.Tap.Known {
		return check.lacks(s.Tap.Missing...)
	}
	limit, counts := c.set.Supply.contactLimit(s.part)
	at := round(s.part.counted(s.Tap.Value, c.mains().rated()))
	check.Result, check.Text = Holds, fmt.Sprintf("%s, %s, at the voltage of the circuit; at most %s", show(at, UnitVoltage), counts, show(limit, UnitVoltage))
	if at > limit { // taps are picked inside it
		check.Result, check.Text = Short, fmt.Sprintf("%s, %s, over %s by %s", show(at, UnitVoltage), counts, show(limit, UnitVoltage), show(at-limit, UnitVoltage))
	}
	return check
}

// voltsChecks hold each zone's farthest light against its least voltage and the
// nearest against its most.
func (c *calc) voltsChecks(s Supply) []Check {
	var list []Check
	for _, o := range s.outputs {
		if o.Lights == 0 {
			continue
		}
		list = append(list, c.leastCheck(s, o), c.mostCheck(s, o))
	}
	if len(list) == 0 {
		check := Check{Key: "supply.volts", Name: "Volts at the farthest light", Source: "the light's own least voltage", Decides: decidesLicensed}
		list = append(list, check.lacks(s.Tap.Missing...))
	}
	return list
}

func (c *calc) leastCheck(s Supply, o Output) Check {
	check := Check{Key: "supply.volts", Name: zoneName("Volts at the farthest light", o.Zone, len(s.outputs)), Source: "the light's own least voltage; " + o.Least.Source, Decides: decidesLicensed}
	least := show(c.light.VoltsMin, UnitVoltage)
	switch {
	case o.tap == 0:
		return check.lacks(o.Least.Missing...)
	case !o.Least.Known:
		check.Result, check.Text = Short, o.Least.Missing[0].Text
	case o.enough:
		check.Result, check.Text = Holds, o.Least.Text+", at least "+least+" asked"
	case o.Least.Low <= 0:
		check.Result, check.Text = Short, fmt.Sprintf("%s, but no solution at the long end of the cord's band: it can't deliver the light's power at %s; at least %s asked", o.Least.Text, o.Tap.Text, least)
	default:
		check.Result, check.Text = Short, fmt.Sprintf("down to %s at the highest fitting tap, falls short of %s by %s", show(o.Least.Low, UnitVoltage), least, show(c.light.VoltsMin-o.Least.Low, UnitVoltage))
	}
	return check
}

func (c *calc) mostCheck(s Supply, o Output) Check {
	check := Check{Key: "supply.volts_most", Name: zoneName("Volts at the nearest light", o.Zone, len(s.outputs)), Source: "the light's own highest voltage; " + o.Most.Source, Decides: decidesLicensed}
	most := show(c.light.VoltsMax, UnitVoltage)
	switch {
	case !o.Most.Known:
		return check.lacks(o.Most.Missing...)
	case o.Most.High <= c.light.VoltsMax:
		check.Result, check.Text = Holds, fmt.Sprintf("up to %s, at most %s", show(o.Most.High, UnitVoltage), most)
	default:
		check.Result, check.Text = Short, fmt.Sprintf("up to %s, over %s by %s", show(o.Most.High, UnitVoltage), most, show(o.Most.High-c.light.VoltsMax, UnitVoltage))
	}
	return check
}

// loadingCheck holds the supply's loading, in all and of each output, against
// the listed power. The part that is planned is the office's own margin.
func (c *calc) loadingCheck(s Supply) Check {
	check := Check{Key: "supply.loading", Name: "Loading of the supply", Source: s.Loading.Source, Decides: decidesOffice}
	if !s.Loading.Known {
		check = check.lacks(s.Loading.Missing...)
		if s.Power.Known {
			check.Result, check.Text, check.Missing = Short, s.Loading.Missing[0].Text, nil
		}
		return check
	}
	largest := s.Loading.Value
	check.Text = s.Loading.Text + " of the listed power"
	if len(s.outputs) > 1 {
		for _, o := range s.outputs {
			largest = max(largest, o.Loading.Value)
			check.Text += fmt.Sprintf(", %s of output %d", o.Loading.Text, o.Zone)
		}
	}
	check.Text += ", " + s.Loading.Margin
	check.Result = Holds
	if s.beyond {
		check.Result = Short
		check.Text += "; the listing carries it, the planned margin falls short by " + show(largest-c.set.Supply.Loading, UnitMille)
	}
	return check
}
