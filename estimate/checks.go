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

// lacks turns a check into one that is not known yet.
func (c Check) lacks(miss ...Miss) Check {
	c.Result, c.Text, c.Missing = Unknown, NotKnown, miss
	return c
}

// checks holds the rules that are cheap against the estimate.
func (c *calc) checks(e Estimate) []Check {
	list := []Check{}
	list = append(list, c.placeChecks(e)...)
	list = append(list, c.electricalChecks(e)...)
	list = append(list, c.lightChecks(e)...)
	list = append(list, c.outletChecks(e)...)
	for _, fit := range e.Fits {
		list = append(list, c.fitChecks(fit)...)
	}
	for _, conduit := range e.Conduits {
		list = append(list, c.conduitChecks(conduit)...)
	}
	list = append(list, c.planChecks(e.Cords)...)
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

// atMostCheck compares a survey value with the most it may be.
func (c *calc) atMostCheck(key, name string, sub jobs.Subject, field string, most int64, unit Unit, source, decides string) Check {
	check := Check{Key: key, Name: name, About: sub.ID, Source: source, Decides: decides}
	v, ok := sub.Base(field)
	switch {
	case !ok:
		return check.lacks(missField(sub, field))
	case v <= most:
		check.Result, check.Text = Holds, fmt.Sprintf("%s, at most %s", show(v, unit), show(most, unit))
	default:
		check.Result, check.Text = Short, fmt.Sprintf("%s, over %s by %s", show(v, unit), show(most, unit), show(v-most, unit))
	}
	return check
}

// boolCheck holds when the survey's answer is the one wanted.
func (c *calc) boolCheck(key, name string, sub jobs.Subject, field string, want bool, good, bad, source, decides string) Check {
	check := Check{Key: key, Name: name, About: sub.ID, Source: source, Decides: decides}
	v, ok := sub.Base(field)
	switch {
	case !ok:
		return check.lacks(missField(sub, field))
	case (v == 1) == want:
		check.Result, check.Text = Holds, good
	default:
		check.Result, check.Text = Short, bad
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
