package estimate

import (
	"fmt"
	"math"

	"ebbline/jobs"
)

// loadVolts is the voltage at a light that draws the same power whatever the
// voltage: from V = Vs - I*R and I = P/V, the upper root of V² - Vs*V + P*R = 0.
// False when the run can't deliver that power at all.
func loadVolts(source, watts, ohms float64) (float64, bool) {
	inside := source*source - 4*watts*ohms
	if inside < 0 {
		return 0, false
	}
	return (source + math.Sqrt(inside)) / 2, true
}

// mostWatts is the most power that a run can deliver: Vs²/(4R), where the cord
// takes as much as the light.
func mostWatts(source, ohms float64) float64 { return source * source / (4 * ohms) }

// mains is how the circuit's voltage stands to its nominal one; every tap rises
// and falls with it.
type mains struct {
	measured      bool
	low, mid, top float64
	miss          []Miss // the reading contradicts the nominal voltage
}

// mains compares the voltage measured at the box with the nominal one. Measured,
// it may be what it was and what it should be; not measured, anything that a
// utility may deliver.
func (c *calc) mains() mains {
	s := c.set.Supply
	m := mains{low: float64(s.MainsLow) / 1000, mid: 1, top: float64(s.MainsHigh) / 1000}
	place, _ := c.first(jobs.SubjectSupply)
	box, measured := place.Base("voltage_box")
	nominal, ok := place.Base("circuit_voltage")
	if !measured || !ok || nominal <= 0 {
		return m
	}
	ratio := float64(box) / float64(nominal)
	if ratio < .8 || ratio > 1.2 {
		again := missField(place, "voltage_box")
		again.Text += fmt.Sprintf(", again and live: %s is not what a circuit of %s has", show(box, UnitVoltage), show(nominal, UnitVoltage))
		m.miss = []Miss{again}
		return m
	}
	return mains{measured: true, low: min(ratio, 1), mid: ratio, top: max(ratio, 1)}
}

// input says how the circuit stands to its nominal voltage, as a tap stands to
// its own.
func (m mains) input() Input {
	if m.measured {
		return Input{Name: "Circuit", Text: show(round(m.mid*1000), UnitMille) + " of its nominal voltage as read at the box"}
	}
	return Input{Name: "Circuit", Text: "taken at its nominal voltage, " + show(round(m.low*1000), UnitMille) + " to " + show(round(m.top*1000), UnitMille) + " of it; nobody read it"}
}

// load is one light as the supply sees it.
type load struct {
	cord  int     // index of its cord
	watts float64 // real power
	va    float64 // power over power factor
}

// loads are the lights' powers in the order of the cords.
func (c *calc) loads(cords []Cord) []load {
	list := make([]load, len(cords))
	for i, cord := range cords {
		power := float64(c.powerOf(cord.Position)) / 1000
		list[i] = load{cord: i, watts: power, va: power * 1000 / float64(max(c.light.PowerFactor, 1))}
	}
	return list
}

// powerOf is a position's power in mW: its own where one is noted.
func (c *calc) powerOf(position string) int64 {
	pos, _ := c.survey.Subject(position)
	if watts, ok := pos.Base("watts"); ok {
		return watts
	}
	return c.light.Power
}

// at is the voltage in mV at a light with the given volt-amperes: with the
// mains as it stands and hot copper; at the low end a longer cord and low mains,
// at the high end a shorter cord, cool copper and high mains. An end is 0 where
// the run can't deliver the power.
func (c *calc) at(needed num, va float64, tap int64, m mains) num {
	of := func(um, part, copper float64) float64 {
		ohms, ok := loopOhms(c.light.AWG, c.light.wire(), max(um, 0)/umPerFoot)
		if !ok {
			return 0
		}
		v, _ := loadVolts(float64(tap)/1000*part, va, ohms*copper)
		return v * 1000
	}
	cool := atCelsius(float64(c.set.Supply.Cool) / 1000)
	return num{ok: true, v: of(needed.v, m.mid, 1), lo: of(needed.hi, m.low, 1), hi: of(needed.lo, m.top, cool)}
}

// extremes are the lowest and the highest voltage among some lights, each end
// of the band for itself; false when a run can't deliver its power.
func (c *calc) extremes(cords []Cord, loads []load, tap int64, m mains) (lowest, highest num, ok bool) {
	lowest, highest, ok = num{ok: true}, num{ok: true}, true
	for i, l := range loads {
		v := c.at(cords[l.cord].needed, l.va, tap, m)
		ok = ok && v.lo > 0
		if i == 0 {
			lowest, highest = v, v
			continue
		}
		lowest.v, lowest.lo, lowest.hi = min(lowest.v, v.v), min(lowest.lo, v.lo), min(lowest.hi, v.hi)
		highest.v, highest.lo, highest.hi = max(highest.v, v.v), max(highest.lo, v.lo), max(highest.hi, v.hi)
	}
	return lowest, highest, ok
}

// most says what a run delivers at most, for a light whose voltage has no
// solution.
func (c *calc) most(cord Cord, tap int64, m mains) Miss {
	ohms, _ := loopOhms(c.light.AWG, c.light.wire(), max(cord.needed.v, 0)/umPerFoot)
	watts := mostWatts(float64(tap)/1000*m.mid, ohms) * float64(c.light.PowerFactor) / 1000
	return Miss{Subject: cord.Position, Text: fmt.Sprintf("%s: a heavier cord, a higher tap or a nearer supply place. At %s its %s of %d AWG deliver at most %s, and it draws %s: no solution",
		cord.Name, show(tap, UnitVoltage), cord.Needed.Text, c.light.AWG, show(round(watts*1000), UnitPower), show(c.powerOf(cord.Position), UnitPower))}
}

// volts makes a figure of a voltage, or says that there is none.
func (c *calc) volts(key, name, about string, n num, none Miss) Figure {
	if n.ok && n.v <= 0 {
		n = unknown(none)
	}
	if n.ok {
		n.hi = max(n.hi, n.v)
	}
	f := figure(key, name, about, UnitVoltage, n)
	f.Formula = "V = (Vs + √(Vs² − 4·P/pf·R)) / 2, R = 2 × length × ohms per foot: the light draws the same power at any voltage"
	f.Source = fmt.Sprintf("%d AWG %s at 75 °C, NEC chapter 9, table 8 (2017); the light's own least voltage governs", c.light.AWG, c.light.wire())
	f.Margin = "low end: longer cord, low mains; high end: shorter cord, high mains, copper at " + tenth(float64(c.set.Supply.Cool)/1000) + " °C. A cord left uncut drops more"
	if f.Known && f.Low <= 0 {
		f.Margin = "at the low end the cord can't deliver the light's power at all; " + f.Margin
	}
	return f
}
