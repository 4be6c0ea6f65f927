package estimate

import (
	"fmt"
	"sort"
)

// pick takes the cheapest supply whose outputs and total carry the zones at the
// planned loading and whose taps keep every light inside its limits. Where none
// keeps them all, the one with the highest tap; where none carries them at the
// planned part, one that does at its full listed power.
func (c *calc) pick(s *Supply, power num, powers []int64, cords []Cord, loads []load, m mains, volts bool) num {
	if !power.ok {
		return power
	}
	parts := make([]SupplyPart, len(c.set.Catalogue.Supplies))
	copy(parts, c.set.Catalogue.Supplies)
	sort.SliceStable(parts, func(i, j int) bool { return parts[i].Cost < parts[j].Cost })
	splits := c.splits(cords, powers)
	for _, planned := range []int64{c.set.Supply.Loading, 1000} {
		for i, way := range splits {
			s.Zones, s.Split = c.zones(way, cords, powers), way.why
			s.tapped.zone = way.zone
			if c.pickFor(s, parts, planned, cords, loads, m, volts) {
				s.beyond = planned > c.set.Supply.Loading
				return fixed(power.v*1000/float64(s.part.Total), s.Power.input(), Input{Name: "Supply", Text: s.Name})
			}
			if i == len(splits)-1 && i > 0 { // none carries it: show the way to prefer
				s.Zones, s.Split = c.zones(splits[0], cords, powers), splits[0].why
				s.tapped.zone = splits[0].zone
			}
		}
	}
	return unknown(Miss{Text: fmt.Sprintf("A supply that carries %s on %s; the catalogue has none, or two supplies are needed", show(round(power.v), UnitPower), plural(len(s.Zones), "output"))})
}

// pickFor looks for a part that carries the zones of one split; parts come
// cheapest first.
func (c *calc) pickFor(s *Supply, parts []SupplyPart, planned int64, cords []Cord, loads []load, m mains, volts bool) bool {
	byZone := s.byZone(loads)
	var best tapped
	found := false
	for _, part := range parts {
		fits := part.Outputs >= len(s.Zones) && s.Power.Value*1000 <= part.Total*planned
		for _, z := range s.Zones {
			fits = fits && z.Power*1000 <= part.Output*planned
		}
		if !fits {
			continue
		}
		t := tapped{part: part}
		if volts {
			t = c.taps(part, cords, byZone, loads, m)
		}
		switch {
		case !volts, t.enoughAll():
			best, found = t, true
		case !found || t.ok && (!best.ok || t.lowest() > best.lowest()):
			best, found = t, true
			continue
		default:
			continue
		}
		break
	}
	if found {
		best.zone = s.tapped.zone
		s.tapped, s.part = best, best.part
		s.Part, s.Name, s.Cost = best.part.Key, best.part.Name, best.part.Cost
	}
	return found
}
