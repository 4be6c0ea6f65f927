package estimate

import "fmt"

// Output is one output of the supply with the zone it feeds.
type Output struct {
	Zone    int    `json:"zone"`
	Lights  int    `json:"lights"`
	Loading Figure `json:"loading"` // of the output's own listed power
	Tap     Figure `json:"tap"`
	Least   Figure `json:"least"` // volts at the zone's farthest light
	Most    Figure `json:"most"`  // volts at the zone's nearest light
	Amps    Figure `json:"amps"`

	tap    int64
	enough bool
}

// tapped is a supply part with a tap for each zone.
type tapped struct {
	part   SupplyPart
	zone   []int   // by light, from 0
	taps   []int64 // by zone; 0: none is inside the limits
	enough []bool  // by zone: every light is above its least
	ok     bool    // every zone has a tap
}

// enoughAll says whether every light of every zone is inside its limits.
func (t tapped) enoughAll() bool {
	for _, e := range t.enough {
		if !e {
			return false
		}
	}
	return t.ok
}

// lowest is the lowest tap among the zones.
func (t tapped) lowest() int64 {
	low := t.taps[0]
	for _, tap := range t.taps {
		low = min(low, tap)
	}
	return low
}

// taps gives a part's zones their taps: each its own where the part allows it,
// else all the same.
func (c *calc) taps(part SupplyPart, cords []Cord, byZone [][]load, all []load, m mains) tapped {
	t := tapped{part: part, taps: make([]int64, len(byZone)), enough: make([]bool, len(byZone)), ok: true}
	if !part.TapsEach {
		tap, enough := c.tapFor(part, cords, all, m)
		for i := range byZone {
			t.taps[i], t.enough[i] = tap, enough
			if tap > 0 && !enough {
				least, _, ok := c.extremes(cords, byZone[i], tap, m)
				t.enough[i] = ok && least.lo >= float64(c.light.VoltsMin)
			}
		}
		t.ok = tap > 0
		return t
	}
	for i, loads := range byZone {
		t.taps[i], t.enough[i] = c.tapFor(part, cords, loads, m)
		t.ok = t.ok && t.taps[i] > 0
	}
	return t
}

// tapFor picks the lowest tap at which the farthest light is above its least
// and the nearest below its most, at low and high mains; without one, the
// highest tap inside the limits; 0 without any.
func (c *calc) tapFor(part SupplyPart, cords []Cord, loads []load, m mains) (chosen int64, enough bool) {
	for _, tap := range part.Taps {
		if !c.inContact(part, tap, m) {
			break
		}
		least, most, ok := c.extremes(cords, loads, tap, m)
		if most.hi > float64(c.light.VoltsMax) {
			break
		}
		chosen = tap
		if ok && (len(loads) == 0 || least.lo >= float64(c.light.VoltsMin)) {
			return tap, true
		}
	}
	return chosen, false
}

// outputs writes each zone's figures; lack says why no voltage can be given.
func (c *calc) outputs(s *Supply, cords []Cord, byZone [][]load, m mains, lack num) {
	for i, z := range s.Zones {
		o := Output{Zone: z.Number, Lights: z.Lights}
		if s.tapped.ok && lack.ok {
			o.tap, o.enough = s.tapped.taps[i], s.tapped.enough[i]
		}
		var loads []load
		if i < len(byZone) {
			loads = byZone[i]
		}
		name := func(text string) string { return zoneName(text, z.Number, len(s.Zones)) }
		loading := unknown(s.Loading.Missing...)
		if s.Part != "" {
			loading = fixed(float64(z.Power)*1000/float64(s.part.Output), Input{Name: "Power of the zone", Text: show(z.Power, UnitPower)}, Input{Name: "Listed for each output", Text: show(s.part.Output, UnitPower)})
		}
		o.Loading = figure("output.loading", name("Loading of the output"), "", UnitMille, loading)
		o.Loading.Formula, o.Loading.Source = "power of the zone ÷ the output's listed power", s.Loading.Source
		zone := lack
		if lack.ok && z.Lights == 0 {
			zone = unknown(Miss{Text: fmt.Sprintf("Lights for zone %d; all are in the other", z.Number)})
		}
		c.outputVolts(&o, name, cords, loads, m, zone)
		s.outputs = append(s.outputs, o)
	}
}

// outputVolts writes tap, volts and amperes of one output.
func (c *calc) outputVolts(o *Output, name func(string) string, cords []Cord, loads []load, m mains, lack num) {
	tap, least, most, amps := lack, lack, lack, lack
	none := Miss{}
	if lack.ok {
		in := []Input{{Name: "Tap", Text: show(o.tap, UnitVoltage)}, {Name: "Lights", Text: plural(o.Lights, "light")}, m.input()}
		tap = fixed(float64(o.tap), in[1])
		low, high, _ := c.extremes(cords, loads, o.tap, m)
		least, most = low, high
		least.in, most.in = in, in
		amps = num{ok: true, in: in}
		for _, l := range loads {
			v := c.at(cords[l.cord].needed, l.va, o.tap, m)
			if v.v <= 0 {
				none = c.most(cords[l.cord], o.tap, m)
				amps = unknown(none)
				break
			}
			amps.v += l.va / v.v * 1e6
			amps.lo += l.va / max(v.hi, v.v) * 1e6
			amps.hi += l.va / max(v.lo, v.v/2) * 1e6
		}
		amps.hi = max(amps.hi, amps.v)
	}
	o.Tap = figure("output.tap", name("Tap"), "", UnitVoltage, tap)
	o.Tap.Formula = "the lowest tap at which the farthest light is above its least and the nearest below its most"
	o.Least = c.volts("output.least", name("Volts at the farthest light"), "", least, none)
	o.Most = c.volts("output.most", name("Volts at the nearest light"), "", most, none)
	o.Amps = figure("output.amps", name("Current of the output"), "", UnitCurrent, amps)
	o.Amps.Formula, o.Amps.Source = "power ÷ power factor ÷ volts at the light, added up", o.Least.Source
}
