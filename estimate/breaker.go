package estimate

import (
	"fmt"

	"ebbline/jobs"
)

// primary is the current that the supply draws from its circuit. What the
// supply delivers is each light's current at its tap, the cords' losses
// included.
func (c *calc) primary(s *Supply, power num) {
	place, ok := c.first(jobs.SubjectSupply)
	volts := unknown(Miss{Text: "The supply place and its circuit"})
	if ok {
		volts = c.read(place, "circuit_voltage")
	}
	n := gather(power, volts)
	if n.ok && s.Part == "" {
		n = unknown(s.Loading.Missing...)
	}
	margin := ""
	if n.ok {
		draw := s.secured
		if draw == 0 {
			draw = power.v / float64(c.light.PowerFactor)
			margin = "what the cords lose is not known yet and not in it; about a tenth more"
		}
		n = fixed(draw*(1+float64(s.part.Loss)/1000)*1e6/volts.v, append(n.in, Input{Name: "Supply", Text: s.Name})...)
		n.in = append(n.in, Input{Name: "Delivered at the taps", Text: tenth(draw) + " VA"})
	}
	s.Primary = figure("supply.primary", "Current on the primary side", "", UnitCurrent, n)
	s.Primary.Formula = "volt-amperes at the taps × (1 + the supply's own losses) ÷ circuit voltage"
	s.Primary.Source, s.Primary.Margin = "definition; the supply's nameplate governs", margin
}

// circuitCheck holds the primary current and what else is on the circuit
// against the breaker. The lights burn for three hours and more; the rest of
// the circuit is taken to do so too until it is known not to.
func (c *calc) circuitCheck(e Estimate) Check {
	check := Check{Key: "supply.circuit", Name: "Circuit carries the supply", Source: "NEC 210.19(A)(1) and 210.20(A) (2023): what burns for three hours and more counts 125 %, so a breaker carries " + show(c.set.Supply.Continuous, UnitMille) + " of its size", Decides: decidesLicensed}
	place, ok := c.first(jobs.SubjectSupply)
	if !ok {
		return check.lacks(Miss{Text: "The supply place and its circuit"})
	}
	check.About = place.ID
	breaker, other := c.read(place, "circuit_breaker"), c.read(place, "circuit_other")
	n := gather(breaker, other, num{ok: e.Supply.Primary.Known, miss: e.Supply.Primary.Missing})
	if !n.ok {
		return check.lacks(n.miss...)
	}
	long, short := e.Supply.Primary.Value+round(other.v), int64(0)
	if place.No("circuit_other_long") {
		long, short = e.Supply.Primary.Value, round(other.v)
	}
	size := round(breaker.v)
	may := (size - short) * c.set.Supply.Continuous / 1000
	check.Result, check.Text = Holds, fmt.Sprintf("%s of %s", show(long, UnitCurrent), show(max(may, 0), UnitCurrent))
	if long > may {
		check.Result, check.Text = Short, fmt.Sprintf("%s, over %s by %s", show(long, UnitCurrent), show(max(may, 0), UnitCurrent), show(long-max(may, 0), UnitCurrent))
	}
	if short > 0 {
		check.Text += fmt.Sprintf(", beside %s that burn for less than three hours", show(short, UnitCurrent))
	}
	return check
}

// circuitShort says whether the circuit is known not to carry the supply.
func (c *calc) circuitShort(e Estimate) bool { return c.circuitCheck(e).Result == Short }

// branchChecks are the limits of the circuit itself.
func (c *calc) branchChecks(place jobs.Subject) []Check {
	volts := c.atMostCheck("supply.circuit_volts", "Voltage of the lights' circuit", place, "circuit_voltage", c.set.Supply.CircuitVolts, UnitVoltage,
		c.set.Supply.Edition+", 680.23(A)(4): between conductors of the circuit that feeds the lights", decidesLicensed)
	branch := c.atMostCheck("supply.branch", "Breaker of a circuit for low-voltage lights", place, "circuit_breaker", c.set.Supply.BranchAmps, UnitCurrent,
		"NEC 411.8 (2023)", decidesLicensed)
	return []Check{volts, branch, c.mainsCheck(place)}
}

// mainsCheck holds the voltage read at the box against what a utility may
// deliver.
func (c *calc) mainsCheck(place jobs.Subject) Check {
	s := c.set.Supply
	check := Check{Key: "supply.mains", Name: "Voltage at the box", About: place.ID, Source: "ANSI C84.1, service voltage, range A: ± 5 %, from memory", Decides: decidesLicensed}
	m := c.mains()
	switch {
	case len(m.miss) > 0:
		return check.lacks(m.miss...)
	case !m.measured:
		lack := c.read(place, "voltage_box")
		return check.lacks(gather(lack, c.read(place, "circuit_voltage")).miss...)
	}
	part := round(m.mid * 1000)
	check.Result, check.Text = Holds, show(part, UnitMille)+" of the nominal voltage"
	if part < s.MainsLow || part > s.MainsHigh {
		check.Result, check.Text = Short, fmt.Sprintf("%s of the nominal voltage, outside %s to %s", show(part, UnitMille), show(s.MainsLow, UnitMille), show(s.MainsHigh, UnitMille))
	}
	return check
}
