package estimate

import (
	"fmt"

	"ebbline/jobs"
)

// Supply is the supply chosen, its zones, its taps and what it draws.
type Supply struct {
	Light   string     `json:"light"` // key in the catalogue
	Lights  int        `json:"lights"`
	Zones   []Zone     `json:"zones"`
	Split   string     `json:"split,omitempty"` // why the lights are shared this way
	Part    string     `json:"part,omitempty"`  // key in the catalogue; empty while not known
	Name    string     `json:"name,omitempty"`
	Cost    jobs.Cents `json:"cost"`
	Power   Figure     `json:"power"`
	Loading Figure     `json:"loading"`
	Tap     Figure     `json:"tap"`
	Least   Figure     `json:"least"` // volts at the farthest light
	Most    Figure     `json:"most"`  // volts at the nearest light
	Primary Figure     `json:"primary"`
	Amps    Figure     `json:"amps"`              // of all outputs
	Outputs []Output   `json:"outputs,omitempty"` // one for each zone, where there are several

	outputs []Output // one for each zone, even where there is one only
	part    SupplyPart
	tapped  tapped
	beyond  bool    // only the full listed power carries it, not the planned part
	ohmic   float64 // mW that stay in the cords; 0 while not known
	secured float64 // VA that the outputs deliver; 0 while not known
}

// supply shares the lights among zones, picks the cheapest supply that carries
// them with volts enough at every light, and the lowest taps. It writes zone
// and volts into the cords.
func (c *calc) supply(cords []Cord) Supply {
	n, told, lack := c.lights()
	s := Supply{Light: c.light.Key, Lights: n}
	var power num
	var powers []int64
	switch {
	case !c.lit:
		power = unknown(Miss{Text: fmt.Sprintf("A light that the catalogue has; it has no %q", c.ask.Light)})
	case len(lack) > 0:
		power = unknown(lack...)
	default:
		powers = c.powers(cords, n)
		total := int64(0)
		for _, p := range powers {
			total += p
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
	m := c.mains()
	volts := c.voltsLack(cords, m)
	loads := c.loads(cords)
	loading := c.pick(&s, power, powers, cords, loads, m, volts.ok)
	s.Loading = figure("supply.loading", "Loading of the supply", "", UnitMille, loading)
	s.Loading.Formula, s.Loading.Source = "power of all lights ÷ listed power", "the supply's listing governs; the planned part is a design margin"
	s.Loading.Margin = "planned to at most " + show(c.set.Supply.Loading, UnitMille)
	if s.Part == "" {
		volts = unknown(s.Loading.Missing...)
	}
	if volts.ok && !s.tapped.ok {
		volts = unknown(Miss{Text: "A supply with a tap inside the contact limit and below the light's most"})
	}
	c.outputs(&s, cords, s.byZone(loads), m, volts)
	if len(s.outputs) > 1 {
		s.Outputs = s.outputs
	}
	c.overall(&s, volts)
	for i := range cords {
		c.cordVolts(&s, &cords[i], loads[i], m, volts)
	}
	c.primary(&s, power)
	return s
}

// voltsLack is what is missing for any voltage: the cords, or a reading that
// makes sense.
func (c *calc) voltsLack(cords []Cord, m mains) num {
	lack := num{ok: true}
	if len(m.miss) > 0 {
		lack = unknown(m.miss...)
	}
	for _, cord := range cords {
		if !cord.needed.ok {
			lack.ok = false
			lack.miss = appendMiss(lack.miss, cord.needed.miss...)
		}
	}
	if len(cords) == 0 {
		lack = gather(lack, unknown(Miss{Text: "The light positions and their conduits"}))
	}
	return lack
}

// byZone sorts the lights of known positions by the zone they are in.
func (s Supply) byZone(loads []load) [][]load {
	list := make([][]load, len(s.Zones))
	at := map[int]int{}
	if len(s.tapped.zone) == len(loads) {
		for i, z := range s.tapped.zone {
			at[i] = z
		}
	}
	for i, l := range loads {
		if z := at[i]; z < len(list) {
			list[z] = append(list[z], l)
		}
	}
	return list
}

// overall are the figures over all outputs: the taps in one line, the worst
// volts on both sides.
func (c *calc) overall(s *Supply, lack num) {
	tap, least, most := lack, lack, lack
	text := ""
	if lack.ok {
		highest, lowest := int64(0), int64(0)
		for i, o := range s.outputs {
			if o.Lights == 0 {
				continue
			}
			highest = max(highest, o.tap)
			if lowest == 0 || o.tap < lowest {
				lowest = o.tap
			}
			if text != "" {
				text += ", "
			}
			text += fmt.Sprintf("zone %d at %s", s.Zones[i].Number, show(o.tap, UnitVoltage))
		}
		if lowest == highest {
			text = ""
		}
		tap = fixed(float64(highest), Input{Name: "Supply", Text: s.Name})
		least, most = worst(s.outputs)
	}
	s.Tap = figure("supply.tap", "Tap of the supply", "", UnitVoltage, tap)
	if s.Tap.Known && text != "" {
		s.Tap.Text = text
	}
	limit, counts := c.set.Supply.contactLimit(s.part)
	s.Tap.Formula = "the lowest tap at which the farthest light is above its least and the nearest below its most"
	s.Tap.Source = "contact limit " + show(limit, UnitVoltage) + " " + counts + ": NEC article 100 (2023), 680.2 before"
	s.Least = c.volts("supply.least", "Volts at the farthest light", "", least, Miss{})
	s.Most = c.volts("supply.most", "Volts at the nearest light", "", most, Miss{})
	amps := lack
	if lack.ok {
		amps = num{ok: true}
		for _, o := range s.outputs {
			if o.Lights == 0 {
				continue
			}
			v, lo, hi := amps.v, amps.lo, amps.hi
			amps = gather(amps, num{ok: o.Amps.Known, miss: o.Amps.Missing, in: []Input{o.Amps.input()}})
			// all lights feel the same mains, so the ends add up
			amps.v, amps.lo, amps.hi = v+float64(o.Amps.Value), lo+float64(o.Amps.Low), hi+float64(o.Amps.High)
		}
	}
	s.Amps = figure("supply.amps", "Current of the low-voltage side", "", UnitCurrent, amps)
	s.Amps.Formula, s.Amps.Source = "power ÷ power factor ÷ volts at the light, added up", "definition"
}

// worst are the lowest of the least and the highest of the most volts among the
// outputs, each end of the band for itself.
func worst(outputs []Output) (lowest, highest num) {
	var lows, highs []num
	for _, o := range outputs {
		if o.Lights > 0 {
			lows, highs = append(lows, o.Least.num()), append(highs, o.Most.num())
		}
	}
	return least(lows...), greatest(highs...)
}

// num is a figure as a number that others are compared with; its inputs stay.
func (f Figure) num() num {
	return num{v: float64(f.Value), lo: float64(f.Low), hi: float64(f.High), ok: f.Known, in: f.Inputs, miss: f.Missing}
}

// cordVolts writes one cord's zone and volts, and counts what it draws and what
// stays in it.
func (c *calc) cordVolts(s *Supply, cord *Cord, l load, m mains, lack num) {
	v, none := lack, Miss{}
	zone := 0
	if l.cord < len(s.tapped.zone) {
		zone = s.tapped.zone[l.cord]
	}
	cord.Zone = zone + 1
	if lack.ok {
		tap := s.outputs[zone].tap
		v = c.at(cord.needed, l.va, tap, m)
		v.in = []Input{{Name: "Tap", Text: show(tap, UnitVoltage)}, {Name: "Cord", Text: cord.Needed.Text}, {Name: "Drawn", Text: tenth(l.va) + " VA, its power ÷ power factor"}, m.input()}
		if v.v > 0 {
			amps := l.va / v.v * 1000
			ohms, _ := loopOhms(c.light.AWG, c.light.wire(), max(cord.needed.v, 0)/umPerFoot)
			s.ohmic += amps * amps * ohms * 1000
			s.secured += amps * float64(tap) / 1000
		} else {
			none = c.most(*cord, tap, m)
		}
	}
	cord.Volts = c.volts("cord.volts", "Volts at the light", cord.Position, v, none)
}
