package estimate

import (
	"fmt"
)

// Zone is a group of lights that one output of the supply feeds.
type Zone struct {
	Number    int      `json:"number"`
	Lights    int      `json:"lights"`
	Positions []string `json:"positions,omitempty"`
	Power     int64    `json:"power"` // mW
}

// split is a way to share the lights among the zones: each light's zone from 0,
// and why.
type split struct {
	zone []int
	why  string
}

// splits are the ways to share the lights, the one to prefer first: the
// survey's wish, else by body of water, else balanced. Balanced comes second
// where the bodies' own split may be too much for one output.
func (c *calc) splits(cords []Cord, powers []int64) []split {
	if c.ask.Zones <= 1 {
		return []split{{make([]int, len(powers)), "one zone was asked for"}}
	}
	if len(cords) == 0 {
		even := balanced(powers, "balanced")
		even.why += "; the positions are not noted yet"
		return []split{even}
	}
	if wished, ok := c.wished(cords, powers); ok {
		return []split{wished}
	}
	if kept, ok := byBody(cords, powers); ok {
		return []split{kept, balanced(powers, "balanced across the bodies of water, as no supply carries one zone for each")}
	}
	return []split{balanced(powers, "balanced")}
}

// balanced shares all lights as evenly as can be.
func balanced(powers []int64, why string) split {
	out := split{zone: make([]int, len(powers))}
	for i, second := range balance(powers, [2]int64{}) {
		if second {
			out.zone[i] = 1
		}
	}
	out.why = why + ": " + largestOf(out, powers)
	return out
}

// largestOf says what the larger zone carries.
func largestOf(s split, powers []int64) string {
	var carried [2]int64
	for i, z := range s.zone {
		carried[z] += powers[i]
	}
	text := "the larger zone carries " + show(max(carried[0], carried[1]), UnitPower)
	equal := true
	for _, p := range powers {
		equal = equal && p == powers[0]
	}
	if equal || len(powers) <= exactLights {
		return text + ", the least that any such split gives"
	}
	return text + ", shared largest first"
}

// wished follows the zones noted at the positions; lights without a wish fill up
// the emptier zone. False when nobody wished anything.
func (c *calc) wished(cords []Cord, powers []int64) (split, bool) {
	out := split{zone: make([]int, len(cords)), why: "as wished in the survey"}
	var carried [2]int64
	var free []int
	var loads []int64
	for i, cord := range cords {
		pos, _ := c.survey.Subject(cord.Position)
		wish, ok := pos.Base("zone")
		if !ok {
			free, loads = append(free, i), append(loads, powers[i])
			continue
		}
		out.zone[i] = int(min(max(wish, 1), 2)) - 1
		carried[out.zone[i]] += powers[i]
	}
	if len(free) == len(cords) {
		return out, false
	}
	for i, second := range balance(loads, carried) {
		if second {
			out.zone[free[i]] = 1
		}
	}
	if len(free) > 0 {
		out.why += "; " + plural(len(free), "light") + " without a wish balanced"
	}
	return out, true
}

// byBody keeps the lights of one body of water together, so that a spa is
// switched apart from its pool. False when there is only one body.
func byBody(cords []Cord, powers []int64) (split, bool) {
	index := map[string]int{}
	var loads []int64
	for i, cord := range cords {
		at, ok := index[cord.Body]
		if !ok {
			at = len(loads)
			index[cord.Body] = at
			loads = append(loads, 0)
		}
		loads[at] += powers[i]
	}
	if len(loads) < 2 {
		return split{}, false
	}
	second := make([]bool, len(loads))
	for i := range second {
		second[i] = i > 0
	}
	if len(loads) > 2 { // the first body stays in zone 1
		copy(second[1:], balance(loads[1:], [2]int64{loads[0], 0}))
	}
	out := split{zone: make([]int, len(cords)), why: "by body of water, so that each is switched by itself"}
	if len(loads) > 2 {
		out.why = "by body of water: each stays in one zone, the larger zone as small as can be"
	}
	for i, cord := range cords {
		if second[index[cord.Body]] {
			out.zone[i] = 1
		}
	}
	return out, true
}

// zones counts what each zone of a split carries.
func (c *calc) zones(s split, cords []Cord, powers []int64) []Zone {
	zones := make([]Zone, c.ask.Zones)
	for i := range zones {
		zones[i].Number = i + 1
	}
	for i, at := range s.zone {
		z := &zones[at]
		z.Lights++
		z.Power += powers[i]
		if len(cords) > 0 {
			z.Positions = append(z.Positions, cords[i].Position)
		}
	}
	return zones
}

// zoneName is what a figure of one zone is called; a single zone needs no
// number.
func zoneName(name string, zone, of int) string {
	if of <= 1 {
		return name
	}
	return fmt.Sprintf("%s of zone %d", name, zone)
}

// powers are the lights' powers in mW, of the positions or, before any is noted,
// of the number told.
func (c *calc) powers(cords []Cord, n int) []int64 {
	list := make([]int64, n)
	for i := range list {
		list[i] = c.light.Power
	}
	for i, cord := range cords {
		list[i] = c.powerOf(cord.Position)
	}
	return list
}
