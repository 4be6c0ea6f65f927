package estimate

import (
	"fmt"

	"ebbline/jobs"
)

// Zone is a group of lights that one output of the supply feeds.
type Zone struct {
	Number    int      `json:"number"`
	Lights    int      `json:"lights"`
	Positions []string `json:"positions,omitempty"`
	Power     int64    `json:"power"` // mW
}

// Supply is the supply chosen, its zones, its tap and what it draws.
type Supply struct {
	Light   string     `json:"light"` // key in the catalogue
	Lights  int        `json:"lights"`
	Zones   []Zone     `json:"zones"`
	Part    string     `json:"part,omitempty"` // key in the catalogue; empty while not known
	Name    string     `json:"name,omitempty"`
	Cost    jobs.Cents `json:"cost"`
	Power   Figure     `json:"power"`
	Loading Figure     `json:"loading"`
	Tap     Figure     `json:"tap"`
	Least   Figure     `json:"least"` // volts at the farthest light
	Most    Figure     `json:"most"`  // volts at the nearest light
	Primary Figure     `json:"primary"`

	enough bool // the tap found keeps every light inside its limits
	part   SupplyPart
}

// supply splits the lights into zones, picks the cheapest supply that carries
// them and the lowest tap that keeps every light inside its limits. It writes
// zone and volts into the cords.
func (c *calc) supply(cords []Cord) Supply {
	n, told, lack := c.lights()
	s := Supply{Light: c.light.Key, Lights: n}
	var power num
	switch {
	case !c.lit:
		power = unknown(Miss{Text: fmt.Sprintf("A light that the catalogue has; it has no %q", c.ask.Light)})
	case len(lack) > 0:
		power = unknown(lack...)
	default:
		s.Zones = c.zones(cords, n)
		total := int64(0)
		for _, z := range s.Zones {
			total += z.Power
		}
		text := plural(n, "light")
		if told {
			text += ", as told"
		}
		power = fixed(float64(total), Input{Name: "Lights", Text: text}, Input{Name: "Each", Text: show(c.light.Power, UnitPower) + " unless its position says otherwise"})
	}
	s.Power = figure("supply.power", "Power of all lights", "", UnitPower, power)
	s.Power.Formula, s.Power.Source = "sum over the lights", "catalogue"
	power = power.then(s.Power)
	loading := c.pick(&s, power)
	s.Loading = figure("supply.loading", "Loading of the supply", "", UnitMille, loading)
	s.Loading.Formula, s.Loading.Source = "power of all lights ÷ listed power", "the supply's listing governs; the planned part is a design margin"
	s.Loading.Margin = "planned to at most " + show(c.set.Supply.Loading, UnitMille)
	c.tap(&s, cords)
	c.primary(&s, power)
	return s
}

// zones splits the lights. Two zones follow the survey's wish, else the bodies
// of water (the first is zone 1, all others 2), else half and half.
func (c *calc) zones(cords []Cord, n int) []Zone {
	zones := make([]Zone, c.ask.Zones)
	for i := range zones {
		zones[i].Number = i + 1
	}
	if len(cords) == 0 {
		for i := range n {
			z := &zones[i*len(zones)/n]
			z.Lights++
			z.Power += c.light.Power
		}
	}
	bodies := map[string]bool{}
	for _, cord := range cords {
		bodies[cord.Body] = true
	}
	for i := range cords {
		pos, _ := c.survey.Subject(cords[i].Position)
		zone := 1
		switch wish, ok := pos.Base("zone"); {
		case len(zones) == 1:
		case ok:
			zone = int(min(wish, 2))
		case len(bodies) > 1:
			if cords[i].Body != cords[0].Body {
				zone = 2
			}
		case i >= (len(cords)+1)/2:
			zone = 2
		}
		power := c.light.Power
		if watts, ok := pos.Base("watts"); ok {
			power = watts
		}
		cords[i].Zone = zone
		z := &zones[zone-1]
		z.Lights++
		z.Positions = append(z.Positions, pos.ID)
		z.Power += power
	}
	return zones
}

// pick takes the cheapest supply whose outputs and total carry the zones at the
// planned loading.
func (c *calc) pick(s *Supply, power num) num {
	if !power.ok {
		return power
	}
	planned := c.set.Supply.Loading
	found := false
	for _, part := range c.set.Catalogue.Supplies {
		fits := part.Outputs >= len(s.Zones) && round(power.v)*1000 <= part.Total*planned
		for _, z := range s.Zones {
			fits = fits && z.Power*1000 <= part.Output*planned
		}
		if fits && (!found || part.Cost < s.Cost) {
			found = true
			s.Part, s.Name, s.Cost, s.part = part.Key, part.Name, part.Cost, part
		}
	}
	if !found {
		return unknown(Miss{Text: fmt.Sprintf("A supply that carries %s on %s; the catalogue has none, or two supplies are needed", show(round(power.v), UnitPower), plural(len(s.Zones), "output"))})
	}
	return fixed(power.v*1000/float64(s.part.Total), s.Power.input(), Input{Name: "Supply", Text: s.Name})
}

// tap picks the lowest tap at which the farthest light is above its least and
// the nearest below its most; without one, the highest tap inside the limits.
func (c *calc) tap(s *Supply, cords []Cord) {
	lack := gather()
	if s.Part == "" {
		lack = unknown(s.Loading.Missing...)
	}
	for _, cord := range cords {
		lack = gather(lack, num{ok: cord.needed.ok, miss: cord.needed.miss})
	}
	if len(cords) == 0 && lack.ok {
		lack = unknown(Miss{Text: "The light positions and their conduits"})
	}
	chosen := int64(0)
	if lack.ok {
		high := c.mainsHigh()
		for _, tap := range s.part.Taps {
			if float64(tap)*high > float64(c.set.Supply.ContactLimit) {
				break
			}
			least, most, ok := c.extremes(cords, tap)
			if most.hi*high > float64(c.light.VoltsMax) {
				break
			}
			chosen = tap
			if ok && least.lo >= float64(c.light.VoltsMin) {
				s.enough = true
				break
			}
		}
		if chosen == 0 {
			lack = unknown(Miss{Text: "A supply with a tap inside the contact limit and below the light's most"})
		}
	}
	tap := lack
	if lack.ok {
		tap = fixed(float64(chosen), Input{Name: "Supply", Text: s.Name})
	}
	s.Tap = figure("supply.tap", "Tap of the supply", "", UnitVoltage, tap)
	s.Tap.Formula = "the lowest tap at which the farthest light is above its least and the nearest below its most"
	s.Tap.Source = "contact limit " + show(c.set.Supply.ContactLimit, UnitVoltage) + " RMS: NEC article 100 (2023), 680.2 before"
	least, most := lack, lack
	if lack.ok {
		least, most, _ = c.extremes(cords, chosen)
	}
	s.Least = c.volts("supply.least", "Volts at the farthest light", "", least)
	s.Most = c.volts("supply.most", "Volts at the nearest light", "", most)
	for i := range cords {
		v := lack
		if lack.ok {
			v = c.at(cords[i], chosen)
		}
		cords[i].Volts = c.volts("cord.volts", "Volts at the light", cords[i].Position, v)
	}
}

// mainsHigh is how far the voltage measured at the box stands above nominal; 1
// where it does not, or nobody measured it. A tap rises with it.
func (c *calc) mainsHigh() float64 {
	place, _ := c.first(jobs.SubjectSupply)
	box, measured := place.Base("voltage_box")
	nominal, ok := place.Base("circuit_voltage")
	if !measured || !ok || box <= nominal {
		return 1
	}
	return float64(box) / float64(nominal)
}

func (c *calc) volts(key, name, about string, n num) Figure {
	f := figure(key, name, about, UnitVoltage, n)
	f.Formula = "V = (Vs + √(Vs² − 4·P/pf·R)) / 2, R = 2 × length × ohms per foot: the light draws the same power at any voltage"
	f.Source = fmt.Sprintf("%d AWG stranded at 75 °C, NEC chapter 9, table 8 (2017); the light's own least voltage governs", c.light.AWG)
	f.Margin = "cord at its full length; cooler copper drops about a seventh less"
	return f
}

// at is the voltage at one light; 0 where the run can't deliver its power.
func (c *calc) at(cord Cord, tap int64) num {
	watts := c.watts(cord)
	of := func(um float64) float64 {
		ohms, ok := loopOhms(c.light.AWG, max(um, 0)/umPerFoot)
		if !ok {
			return 0
		}
		v, _ := loadVolts(float64(tap)/1000, watts, ohms)
		return v * 1000
	}
	n := num{v: of(cord.needed.v), lo: of(cord.needed.hi), hi: of(cord.needed.lo), ok: true}
	n.in = []Input{{Name: "Tap", Text: show(tap, UnitVoltage)}, {Name: "Cord", Text: cord.Needed.Text}, {Name: "Power drawn", Text: show(round(watts*1000), UnitPower) + " with its power factor"}}
	return n
}

// watts is what a light draws in volt-amperes: power over power factor.
func (c *calc) watts(cord Cord) float64 {
	power := c.light.Power
	pos, _ := c.survey.Subject(cord.Position)
	if watts, ok := pos.Base("watts"); ok {
		power = watts
	}
	return float64(power) / float64(c.light.PowerFactor)
}

// extremes are the lowest and the highest voltage among the lights; false when
// a run can't deliver its power.
func (c *calc) extremes(cords []Cord, tap int64) (lowest, highest num, ok bool) {
	ok = true
	for i, cord := range cords {
		v := c.at(cord, tap)
		ok = ok && v.lo > 0
		if i == 0 || v.lo < lowest.lo {
			lowest = v
		}
		if i == 0 || v.hi > highest.hi {
			highest = v
		}
	}
	return lowest, highest, ok
}

// primary is the current that the supply draws from its circuit.
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
	if n.ok {
		draw := power.v / (float64(c.light.PowerFactor) / 1000) * (1 + float64(s.part.Loss)/1000)
		n = fixed(draw/volts.v*1000, append(n.in, Input{Name: "Supply", Text: s.Name})...)
	}
	s.Primary = figure("supply.primary", "Current on the primary side", "", UnitCurrent, n)
	s.Primary.Formula = "power ÷ power factor × (1 + the supply's own losses) ÷ circuit voltage"
	s.Primary.Source = "definition; the supply's nameplate governs"
}
