package estimate

import (
	"fmt"

	"ebbline/jobs"
)

// placeChecks are distance and heights of the supply place, its wires and its
// box.
func (c *calc) placeChecks(e Estimate) []Check {
	place, ok := c.first(jobs.SubjectSupply)
	if !ok {
		check := Check{Key: "supply.place", Name: "Supply place", Source: c.set.Supply.Edition + ", 680.24(B)", Decides: decidesAuthority}
		return []Check{check.lacks(Miss{Text: "The supply place: distance and heights"})}
	}
	s := c.set.Supply
	source := s.Edition + ", 680.24(B): enclosure on a conduit that runs direct to the shell; the conduits are sealed there"
	list := []Check{
		c.distanceCheck(e, place),
		c.atLeastCheck("supply.above_deck", "Supply above the deck", place, "height_deck", s.AboveDeck, UnitLength, source, decidesAuthority),
		c.atLeastCheck("supply.above_water", "Supply above the highest water", place, "height_water", s.AboveWater, UnitLength, source, decidesAuthority),
		c.walkwayCheck(place),
		c.boolCheck("supply.others", "Low-voltage cords apart from other wires", place, "others_in_conduit", false,
			"no other wires in their conduits", "other wires share a conduit with them: they go elsewhere, unless one of the four exceptions holds", s.Edition+", 680.23(F)(3)", decidesLicensed),
		c.terminalsCheck(place),
		c.boolCheck("supply.strain_relief", "Strain relief for the cords", place, "strain_relief", true,
			"there is one at the supply", "none seen: one for each cord goes in", s.Edition+", 680.24(E)", decidesLicensed),
	}
	list = append(list, c.flexChecks(place)...)
	list = append(list, c.boxChecks(e, place)...)
	return append(list, c.protectionCheck(e, place), c.supplyBondCheck(place))
}

// distanceCheck is the supply's distance from the water: four feet for a supply
// listed for pools, or a solid barrier between; ten for any other low-voltage
// lighting supply.
func (c *calc) distanceCheck(e Estimate, place jobs.Subject) Check {
	s := c.set.Supply
	const key, name = "supply.distance", "Supply's distance from the water"
	if e.Supply.Part != "" && e.Supply.part.Listed == Not {
		return c.atLeastCheck(key, name, place, "distance", s.DistanceElse, UnitLength, "NEC 411.6(B) (2023): a low-voltage lighting supply that is not listed for pools", decidesAuthority)
	}
	check := c.atLeastCheck(key, name, place, "distance", s.Distance, UnitLength, s.Edition+", 680.24(B): enclosure on a conduit that runs direct to the shell", decidesAuthority)
	if check.Result == Short && place.Yes("barrier") {
		check.Result = Holds
		check.Text += "; a solid wall or barrier stands between, so the distance is not asked for"
	}
	return check
}

// walkwayCheck is that nobody falls over the box.
func (c *calc) walkwayCheck(place jobs.Subject) Check {
	check := Check{Key: "supply.walkway", Name: "Supply clear of the walkway", About: place.ID, Source: c.set.Supply.Edition + ", 680.24(C)", Decides: decidesAuthority}
	switch place.Choice("walkway") {
	case "":
		return check.lacks(missField(place, "walkway"))
	case "unprotected":
		check.Result, check.Text = Short, "it stands in a walkway without protection, as beside a fixed structure"
	case "protected":
		check.Result, check.Text = Holds, "in a walkway, protected by a fixed structure"
	default:
		check.Result, check.Text = Holds, "not in a walkway"
	}
	return check
}

// terminalsCheck is one grounding terminal more than conduits come in.
func (c *calc) terminalsCheck(place jobs.Subject) Check {
	check := Check{Key: "supply.terminals", Name: "Grounding terminals", About: place.ID, Source: c.set.Supply.Edition + ", 680.24(D): one more than conduits come in", Decides: decidesLicensed}
	have, conduits := c.read(place, "terminals"), c.read(place, "conduits_in")
	n := gather(have, conduits)
	if !n.ok {
		return check.lacks(n.miss...)
	}
	asked := round(conduits.v) + 1
	check.Result, check.Text = Holds, fmt.Sprintf("%d, at least %d asked", round(have.v), asked)
	if round(have.v) < asked {
		check.Result, check.Text = Short, fmt.Sprintf("%d, falls short of %d by %d", round(have.v), asked, asked-round(have.v))
	}
	return check
}

// flexChecks are the lengths of flexible metal conduit to the supply; none where
// there is none.
func (c *calc) flexChecks(place jobs.Subject) []Check {
	source := c.set.Supply.Edition + ", 680.23(F)(1), exception: liquidtight flexible metal conduit at a supply"
	var list []Check
	for _, one := range []struct {
		key, name, field string
		most             int64
	}{
		{"supply.flex", "Longest piece of flexible metal conduit", "flex_longest", c.set.Supply.FlexOne},
		{"supply.flex_all", "Flexible metal conduit in all", "flex_all", c.set.Supply.FlexAll},
	} {
		if _, ok := place.Base(one.field); ok {
			list = append(list, c.atMostCheck(one.key, one.name, place, one.field, one.most, UnitLength, source, decidesLicensed))
		}
	}
	return list
}

// protectionCheck is the ground-fault protection of the lights' circuit. The
// rule for the lights asks for it only above the contact limit; a supply's own
// instructions often do, and a receptacle that feeds the supply must have it.
func (c *calc) protectionCheck(e Estimate, place jobs.Subject) Check {
	s := c.set.Supply
	check := Check{Key: "supply.protection", Name: "Ground-fault protection of the circuit", About: place.ID, Decides: decidesLicensed,
		Source: s.Edition + ", 680.23(A)(3) asks for it above the contact limit; at or below it the supply's instructions may, and 680.22(A)(4) does where a receptacle within 20 ft of the water feeds it"}
	protection := place.Choice("protection")
	if protection != "" && protection != "none" {
		check.Result, check.Text = Holds, "a device is there; its trip test belongs to the connection"
		return check
	}
	asked := c.asksProtection(e, place)
	switch {
	case protection == "":
		return check.lacks(missField(place, "protection"))
	case asked == "":
		check.Result, check.Text = Holds, "none there, and none asked for: the taps stay within the contact limit, and this supply's instructions ask for none. Common practice puts one in"
	case asked == "?":
		check = check.lacks(Miss{Text: "Whether the supply's instructions ask for ground-fault protection, and the tap that it will stand at"})
		check.Text = "none there; at or below the contact limit the supply's instructions decide"
	default:
		check.Result, check.Text = Short, "no such device: to be put in, as "+asked
	}
	return check
}

// asksProtection says who asks for ground-fault protection; "" when nobody
// does, "?" when that is not known.
func (c *calc) asksProtection(e Estimate, place jobs.Subject) string {
	distance, known := place.Base("distance")
	switch {
	case place.Choice("switched") == "plug" && (!known || distance <= c.set.Supply.ReceptacleMost):
		return "a receptacle near the water feeds the supply"
	case e.Supply.Part == "":
		return "?"
	case e.Supply.part.Protection == Asked:
		return "this supply's instructions ask for it"
	case !e.Supply.Tap.Known || e.Supply.part.Protection == "" || e.Supply.part.Listed != Yes:
		return "?"
	}
	return ""
}

// supplyBondCheck is the bonding that was seen, against what this light asks
// for.
func (c *calc) supplyBondCheck(place jobs.Subject) Check {
	check := Check{Key: "supply.bonding", Name: "Bonding of the lights", About: place.ID, Decides: decidesLicensed,
		Source: c.set.Supply.Edition + ", 680.26: metal shells and brackets with 8 AWG solid copper; not a listed low-voltage light with a shell that is no metal"}
	bonded, seen := place.Base("bonding")
	switch {
	case c.light.Shell == ShellPlastic && c.light.Ungrounded == Yes:
		check.Result, check.Text = Holds, "not asked for this light; all other metal near the water keeps its bonding"
	case !seen:
		return check.lacks(missField(place, "bonding"))
	case c.light.Shell == "":
		return check.lacks(Miss{Text: "Whether the light's shell is metal, from its own sheet"})
	case bonded == 1:
		check.Result, check.Text = Holds, "a bonding conductor was seen; it is joined to the light's metal and tested"
	default:
		check.Result, check.Text = Short, "none seen: the light's metal must be bonded"
	}
	return check
}
