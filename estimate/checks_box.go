package estimate

import (
	"fmt"

	"ebbline/jobs"
)

// boxChecks are the rules for a junction box between supply and water; one
// question while nobody said whether there is one.
func (c *calc) boxChecks(e Estimate, place jobs.Subject) []Check {
	source := c.set.Supply.Edition + ", 680.24(A)(2)"
	box := Check{Key: "box", Name: "Junction box on the way to the water", About: place.ID, Source: source, Decides: decidesAuthority}
	s := c.set.Supply
	switch place.Choice("box") {
	case "":
		return []Check{box.lacks(missField(place, "box"))}
	case "none":
		box.Result, box.Text = Holds, "there is none"
		return []Check{box}
	case "flush_potted":
		distance := c.boxDistance(place, source+"(c): flush in the deck, potted, at or below the contact limit only")
		switch {
		case !e.Supply.Tap.Known:
			box = box.lacks(e.Supply.Tap.Missing...)
		default:
			box.Result, box.Text = Holds, "flush in the deck and potted, as lights within the contact limit may have"
		}
		return []Check{box, distance}
	case "flush":
		box.Result, box.Text = Short, "flush in the deck and not potted: to be raised, or potted where the lights stay within the contact limit"
		return []Check{box, c.boxDistance(place, source+"(b)")}
	}
	return []Check{
		c.atLeastCheck("box.above_deck", "Box's inside above the deck", place, "box_deck", s.AboveDeck, UnitLength, source+"(a): whichever of deck and water asks for more", decidesAuthority),
		c.atLeastCheck("box.above_water", "Box's inside above the highest water", place, "box_water", s.AboveWater, UnitLength, source+"(a): whichever of deck and water asks for more", decidesAuthority),
		c.boxDistance(place, source+"(b)"),
	}
}

// boxDistance is the box's distance from the pool wall, unless a solid barrier
// stands between.
func (c *calc) boxDistance(place jobs.Subject, source string) Check {
	check := c.atLeastCheck("box.distance", "Box's distance from the pool wall", place, "box_distance", c.set.Supply.Distance, UnitLength, source, decidesAuthority)
	if check.Result == Short && place.Yes("barrier") {
		check.Result = Holds
		check.Text += "; a solid wall or barrier stands between"
	}
	return check
}

// outletChecks are the rules for the receptacle that our pump runs from; none
// where no pump of ours runs.
func (c *calc) outletChecks(e Estimate) []Check {
	place, ok := c.first(jobs.SubjectSupply)
	pumped, _ := c.holds(e, "our_pump")
	if !ok || !pumped {
		return nil
	}
	edition, s := c.set.Supply.Edition, c.set.Supply
	list := []Check{
		c.atLeastCheck("outlet.distance", "Our pump's outlet away from the water", place, "outlet_water", s.ReceptacleLeast, UnitLength, edition+", 680.22(A): along the shortest way of a cord", decidesAuthority),
	}
	guard := c.boolCheck("outlet.protection", "Ground-fault protection of our pump's outlet", place, "outlet_protected", true,
		"a device is there; tested before the pump runs", "none: the pump runs from a protected outlet or its own portable device", edition+fmt.Sprintf(", 680.22(A)(4): receptacles within %s of the water", show(s.ReceptacleMost, UnitLength)), decidesLicensed)
	if far, known := place.Base("outlet_water"); known && far > s.ReceptacleMost && guard.Result == Short {
		guard.Text = "none, and farther than " + show(s.ReceptacleMost, UnitLength) + ": not asked for there, yet a pump that stands in water runs from a protected outlet (common practice)"
	}
	return append(list, guard)
}
