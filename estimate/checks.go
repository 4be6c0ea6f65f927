package estimate

import (
	"fmt"

	"ebbline/jobs"
)

// Results of a check.
const (
	Holds   = "holds"
	Short   = "short"   // falls short; Text says by how much
	Unknown = "unknown" // not known yet; Missing says what to find out
)

// Check is one rule held against what is known. A check that falls short blocks
// nothing: it says by how much, by which source, and who decides.
type Check struct {
	Key     string `json:"key"`
	Name    string `json:"name"`
	About   string `json:"about,omitempty"`
	Result  string `json:"result"`
	Text    string `json:"text"`
	Source  string `json:"source"`
	Decides string `json:"decides"`
	Missing []Miss `json:"missing,omitempty"`
}

const (
	decidesAuthority = "the authority having jurisdiction"
	decidesLicensed  = "the licensed person"
	decidesOffice    = "the office"
)

// checks holds the rules that are cheap against the estimate.
func (c *calc) checks(e Estimate) []Check {
	list := []Check{}
	list = append(list, c.placeChecks()...)
	list = append(list, c.electricalChecks(e)...)
	for _, cord := range e.Cords {
		pos, _ := c.survey.Subject(cord.Position)
		list = append(list, c.lensCheck(pos), c.fitCheck(pos))
	}
	for _, conduit := range e.Conduits {
		run, _ := c.survey.Subject(conduit.Conduit)
		list = append(list, fillCheck(conduit), bendCheck(run), materialCheck(run))
	}
	list = append(list, c.dischargeChecks()...)
	return list
}

// atLeastCheck compares a survey value with a least one.
func (c *calc) atLeastCheck(key, name string, sub jobs.Subject, field string, least int64, unit Unit, source, decides string) Check {
	check := Check{Key: key, Name: name, About: sub.ID, Source: source, Decides: decides}
	v, ok := sub.Base(field)
	switch {
	case !ok:
		check.Result, check.Text, check.Missing = Unknown, NotKnown, []Miss{missField(sub, field)}
	case v >= least:
		check.Result, check.Text = Holds, fmt.Sprintf("%s, at least %s asked", show(v, unit), show(least, unit))
	default:
		check.Result, check.Text = Short, fmt.Sprintf("%s, falls short of %s by %s", show(v, unit), show(least, unit), show(least-v, unit))
	}
	return check
}

// placeChecks are distance and heights of the supply place.
func (c *calc) placeChecks() []Check {
	place, ok := c.first(jobs.SubjectSupply)
	if !ok {
		return []Check{{Key: "supply.place", Name: "Supply place", Result: Unknown, Text: NotKnown, Source: c.set.Supply.Edition + ", 680.24(B)", Decides: decidesAuthority, Missing: []Miss{{Text: "The supply place: distance and heights"}}}}
	}
	s := c.set.Supply
	source := s.Edition + ", 680.24(B): enclosure on a conduit that runs direct to the shell"
	list := []Check{
		c.atLeastCheck("supply.distance", "Supply's distance from the water", place, "distance", s.Distance, UnitLength, source, decidesAuthority),
		c.atLeastCheck("supply.above_deck", "Supply above the deck", place, "height_deck", s.AboveDeck, UnitLength, source, decidesAuthority),
		c.atLeastCheck("supply.above_water", "Supply above the highest water", place, "height_water", s.AboveWater, UnitLength, source, decidesAuthority),
	}
	protection := Check{Key: "supply.protection", Name: "Ground-fault protection of the circuit", About: place.ID, Decides: decidesLicensed,
		Source: s.Edition + ", 680.23(A)(3) asks for it above the contact limit; below it, the supply's instructions do, and 680.22(A)(4) where a receptacle feeds it"}
	switch place.Choice("protection") {
	case "":
		protection.Result, protection.Text, protection.Missing = Unknown, NotKnown, []Miss{missField(place, "protection")}
	case "none":
		protection.Result, protection.Text = Short, "no such device: to be put in, or shown not to be needed"
	default:
		protection.Result, protection.Text = Holds, "a device is there; its trip test belongs to the connection"
	}
	return append(list, protection)
}

// electricalChecks are voltage, loading and circuit.
func (c *calc) electricalChecks(e Estimate) []Check {
	s := e.Supply
	contact := Check{Key: "supply.contact", Name: "Tap within the contact limit", Source: s.Tap.Source, Decides: decidesLicensed}
	drop := Check{Key: "supply.volts", Name: "Volts at the farthest light", Source: "the light's own least voltage; " + s.Least.Source, Decides: decidesLicensed}
	if !s.Tap.Known {
		contact.Result, contact.Text, contact.Missing = Unknown, NotKnown, s.Tap.Missing
		drop.Result, drop.Text, drop.Missing = Unknown, NotKnown, s.Tap.Missing
	} else {
		at := round(float64(s.Tap.Value) * c.mainsHigh())
		contact.Result, contact.Text = Holds, show(at, UnitVoltage)+" RMS at the voltage of the circuit, at most "+show(c.set.Supply.ContactLimit, UnitVoltage)
		least := show(c.light.VoltsMin, UnitVoltage)
		switch {
		case s.enough:
			drop.Result, drop.Text = Holds, s.Least.Text+", at least "+least+" asked"
		case s.Least.Low <= 0:
			drop.Result, drop.Text = Short, "no solution: the cord can't deliver the light's power at "+s.Tap.Text
		default:
			drop.Result, drop.Text = Short, fmt.Sprintf("down to %s at the highest fitting tap, falls short of %s by %s", show(s.Least.Low, UnitVoltage), least, show(c.light.VoltsMin-s.Least.Low, UnitVoltage))
		}
	}
	loading := Check{Key: "supply.loading", Name: "Loading of the supply", Source: s.Loading.Source, Decides: decidesOffice}
	if s.Loading.Known {
		loading.Result, loading.Text = Holds, s.Loading.Text+" of the listed power, "+s.Loading.Margin
	} else {
		loading.Result, loading.Text, loading.Missing = Unknown, NotKnown, s.Loading.Missing
		if s.Power.Known {
			loading.Result, loading.Text = Short, s.Loading.Missing[0].Text
		}
	}
	return append([]Check{contact, drop, loading}, c.circuitCheck(e))
}

// circuitCheck holds the primary current and what else is on the circuit
// against the breaker.
func (c *calc) circuitCheck(e Estimate) Check {
	check := Check{Key: "supply.circuit", Name: "Circuit carries the supply", Source: "NEC 210.20(A): continuous loads to at most " + show(c.set.Supply.Continuous, UnitMille) + " of the breaker", Decides: decidesLicensed}
	place, ok := c.first(jobs.SubjectSupply)
	if !ok {
		check.Result, check.Text, check.Missing = Unknown, NotKnown, []Miss{{Text: "The supply place and its circuit"}}
		return check
	}
	check.About = place.ID
	breaker, other := c.read(place, "circuit_breaker"), c.read(place, "circuit_other")
	n := gather(breaker, other, num{ok: e.Supply.Primary.Known, miss: e.Supply.Primary.Missing})
	if !n.ok {
		check.Result, check.Text, check.Missing = Unknown, NotKnown, n.miss
		return check
	}
	may := round(breaker.v) * c.set.Supply.Continuous / 1000
	load := round(other.v) + e.Supply.Primary.Value
	if load <= may {
		check.Result, check.Text = Holds, fmt.Sprintf("%s of %s", show(load, UnitCurrent), show(may, UnitCurrent))
	} else {
		check.Result, check.Text = Short, fmt.Sprintf("%s, over %s by %s", show(load, UnitCurrent), show(may, UnitCurrent), show(load-may, UnitCurrent))
	}
	return check
}

// circuitShort says whether the circuit is known not to carry the supply.
func (c *calc) circuitShort(e Estimate) bool { return c.circuitCheck(e).Result == Short }

// lensCheck is the depth of the lens under the normal level.
func (c *calc) lensCheck(pos jobs.Subject) Check {
	least := c.set.Supply.LensDepth
	by := "18 in below normal level unless listed for less"
	if c.light.ListedDepth > 0 {
		least, by = max(c.light.ListedDepth, c.set.Supply.LensListed), "this light is listed for less than 18 in; never under 4 in"
	}
	check := Check{Key: "light.depth", Name: "Depth of the lens", About: pos.ID, Source: c.set.Supply.Edition + ", 680.23(A)(5): " + by, Decides: decidesAuthority}
	depth, ok := pos.Base("depth")
	if !ok {
		check.Result, check.Text, check.Missing = Unknown, NotKnown, []Miss{missField(pos, "depth")}
		return check
	}
	top := depth - c.light.BodyWidth/2
	check.Result, check.Text = Holds, fmt.Sprintf("top of the lens %s under the tile line, at least %s asked", show(top, UnitLength), show(least, UnitLength))
	if top < least {
		check.Result, check.Text = Short, fmt.Sprintf("top of the lens %s under the tile line, falls short of %s by %s", show(top, UnitLength), show(least, UnitLength), show(least-top, UnitLength))
	}
	return check
}

// fitCheck is the light's body in the wall fitting. Only a dry measurement
// settles it.
func (c *calc) fitCheck(pos jobs.Subject) Check {
	check := Check{Key: "light.fit", Name: "Light's body in the wall fitting", About: pos.ID, Source: "catalogue, the light's own sheet", Decides: decidesOffice}
	width, depth := c.read(pos, "fitting_inside"), c.read(pos, "elbow_depth")
	n := gather(width, depth)
	switch {
	case !n.ok:
		check.Result, check.Text, check.Missing = Unknown, NotKnown+": measure dry", n.miss
	case round(width.v) < c.light.BodyWidth:
		check.Result, check.Text = Short, fmt.Sprintf("inside %s, the body is %s wider", show(round(width.v), UnitLength), show(c.light.BodyWidth-round(width.v), UnitLength))
	case round(depth.v) < c.light.BodyLength:
		check.Result, check.Text = Short, fmt.Sprintf("elbow at %s, the body is %s longer", show(round(depth.v), UnitLength), show(c.light.BodyLength-round(depth.v), UnitLength))
	default:
		check.Result, check.Text = Holds, "inside "+show(round(width.v), UnitLength)+", elbow at "+show(round(depth.v), UnitLength)
		for _, in := range n.in {
			if in.Known != jobs.KnownMeasuredDry {
				check.Text += "; not measured dry yet"
				break
			}
		}
	}
	return check
}

func fillCheck(conduit Conduit) Check {
	check := Check{Key: "conduit.fill", Name: "Cords in the conduit", About: conduit.Conduit, Source: conduit.Fill.Source, Decides: decidesLicensed}
	switch {
	case !conduit.Fill.Known:
		check.Result, check.Text, check.Missing = Unknown, NotKnown, conduit.Fill.Missing
	case conduit.Fill.Value <= conduit.Limit:
		check.Result, check.Text = Holds, conduit.Fill.Text+" of the inside, at most "+show(conduit.Limit, UnitMille)
	default:
		check.Result, check.Text = Short, conduit.Fill.Text+" of the inside, over "+show(conduit.Limit, UnitMille)
	}
	return check
}

func bendCheck(run jobs.Subject) Check {
	check := Check{Key: "conduit.bends", Name: "Bends between pull points", About: run.ID, Source: "NEC 352.26 (2017 and 2020), 352.24(B) in 2023: at most 360°", Decides: decidesLicensed}
	bends, ok := run.Base("bend_total")
	switch {
	case !ok:
		check.Result, check.Text, check.Missing = Unknown, NotKnown, []Miss{missField(run, "bend_total")}
	case bends <= 360_000:
		check.Result, check.Text = Holds, tenth(float64(bends)/1000)+"°"
	default:
		check.Result, check.Text = Short, tenth(float64(bends)/1000)+"°, over 360° by "+tenth(float64(bends-360_000)/1000)+"°"
	}
	return check
}

func materialCheck(run jobs.Subject) Check {
	check := Check{Key: "conduit.material", Name: "Kind of conduit", About: run.ID, Source: "NEC 680.23(B)(2) (2017 and 2020): rigid or intermediate metal, liquidtight nonmetallic, rigid nonmetallic", Decides: decidesAuthority}
	switch material := run.Choice("material"); material {
	case "":
		check.Result, check.Text, check.Missing = Unknown, NotKnown, []Miss{missField(run, "material")}
	case "emt", "ent", "soft_hose":
		check.Result, check.Text = Short, "not an ordinary conduit for a light under water: ask before work is planned on it"
	default:
		check.Result, check.Text = Holds, "a kind the rule names"
	}
	return check
}

// dischargeChecks are permission and reach of the discharge.
func (c *calc) dischargeChecks() []Check {
	var list []Check
	for _, d := range c.survey.OfKind(jobs.SubjectDischarge) {
		check := Check{Key: "discharge.permission", Name: "Permission to discharge", About: d.ID, Source: "the water or sewer agency's rules", Decides: "the agency"}
		switch d.Choice("permission") {
		case "", "asked":
			check.Result, check.Text, check.Missing = Unknown, NotKnown, []Miss{missField(d, "permission")}
		case "refused":
			check.Result, check.Text = Short, "refused: another place is needed"
		default:
			check.Result, check.Text = Holds, "given or not needed"
		}
		list = append(list, check)
	}
	return list
}
