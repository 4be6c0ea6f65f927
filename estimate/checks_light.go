package estimate

import (
	"fmt"

	"ebbline/jobs"
)

// Answers that a part's own sheet gives; empty while nobody looked.
const (
	Yes   = "yes"
	Not   = "no"
	Asked = "asked" // the part's instructions ask for it
)

// What a light's shell is made of.
const (
	ShellPlastic = "nonmetallic"
	ShellMetal   = "metal"
)

// lightChecks are what the light and the supply must be by their own sheets.
func (c *calc) lightChecks(e Estimate) []Check {
	return []Check{c.listingCheck(e), c.dryCheck(), c.jumperCheck(), c.permitCheck(e)}
}

// listingCheck is that the supply is one for pools.
func (c *calc) listingCheck(e Estimate) Check {
	check := Check{Key: "supply.listing", Name: "Supply listed for pools", Decides: decidesAuthority,
		Source: c.set.Supply.Edition + ", 680.23(A)(2): listed, labelled and identified for pools and spas, isolated winding, output not grounded, grounded barrier or approved double insulation"}
	switch {
	case e.Supply.Part == "":
		return check.lacks(e.Supply.Loading.Missing...)
	case e.Supply.part.Listed == Yes:
		check.Result, check.Text = Holds, "by the catalogue; its label is read before it is hung"
	case e.Supply.part.Listed == Not:
		check.Result, check.Text = Short, "not by the catalogue: another supply"
	default:
		return check.lacks(Miss{Text: "The listing on the label of: " + e.Supply.Name})
	}
	return check
}

// dryCheck is that a light which the water cools is not cooked while it is low.
func (c *calc) dryCheck() Check {
	check := Check{Key: "light.dry", Name: "Light safe while the water is low", Source: c.set.Supply.Edition + ", 680.23(A)(7): a light that relies on the water must be protected against overheating when dry", Decides: decidesOffice}
	switch {
	case !c.lit:
		return check.lacks(Miss{Text: "A light from the catalogue"})
	case c.light.DrySafe == Yes:
		check.Result, check.Text = Holds, "protected, by the catalogue; the lights still stay off while the water is low"
	case c.light.DrySafe == Not:
		check.Result, check.Text = Short, "not protected: another light, and no test above water"
	default:
		return check.lacks(Miss{Text: "Whether the light is protected when dry, from its own sheet; it stays off while the water is low"})
	}
	return check
}

// jumperCheck is the bonding jumper inside conduits that are no metal.
func (c *calc) jumperCheck() Check {
	check := Check{Key: "light.jumper", Name: "8 AWG jumper in conduits that are no metal", Decides: decidesLicensed,
		Source: c.set.Supply.Edition + ", 680.23(B)(2)(b): not for a listed low-voltage light that needs no grounding"}
	plastic, bare, open, unseen := 0, 0, []Miss(nil), []Miss(nil)
	for _, run := range c.survey.OfKind(jobs.SubjectConduit) {
		switch run.Choice("material") {
		case "":
			open = append(open, missField(run, "material"))
		case "rmc", "imc", "emt":
		default:
			plastic++
			switch {
			case run.No("jumper"):
				bare++
			case !run.Yes("jumper"):
				unseen = append(unseen, missField(run, "jumper"))
			}
		}
	}
	switch {
	case c.light.Ungrounded == Yes:
		check.Result, check.Text = Holds, "not asked for this light"
	case plastic == 0 && len(open) == 0:
		check.Result, check.Text = Holds, "every conduit noted is metal"
	case c.light.Ungrounded == "":
		return check.lacks(Miss{Text: "Whether the light is listed as one that needs no grounding, from its own sheet"})
	case plastic == 0:
		return check.lacks(open...)
	case bare > 0:
		check.Result, check.Text = Short, "no jumper lies in "+plural(bare, "conduit")+" that are no metal; this light needs one there"
		if bare == 1 {
			check.Text = "no jumper lies in one conduit that is no metal; this light needs one there"
		}
	case len(unseen)+len(open) > 0:
		return check.lacks(append(unseen, open...)...)
	default:
		check.Result, check.Text = Holds, "a jumper lies in every conduit that is no metal"
	}
	return check
}

// permitCheck says whether the exemption for low energy, as some places have
// it, could cover the job. Only the authority says that it does.
func (c *calc) permitCheck(e Estimate) Check {
	check := Check{Key: "permit", Name: "Permit", Decides: decidesAuthority,
		Source: "local code; Moline, Illinois, and Santa Cruz County, California, exempt under 25 V and not capable of more than 50 W"}
	if c.ask.NoPermit {
		check.Result, check.Text = Holds, "the authority has said that none is needed"
		return check
	}
	capable := max(e.Supply.part.Total, e.Supply.Power.Value)
	limit := c.set.Supply.ExemptPower
	switch {
	case e.Supply.Part == "":
		return check.lacks(e.Supply.Loading.Missing...)
	case capable > limit:
		check.Result, check.Text = Holds, fmt.Sprintf("one is planned for; an exemption for low energy would not cover a supply capable of %s, over %s by %s", show(capable, UnitPower), show(limit, UnitPower), show(capable-limit, UnitPower))
	default:
		check = check.lacks(Miss{Text: "Whether the authority exempts work under 25 V and of at most " + show(limit, UnitPower)})
	}
	return check
}
