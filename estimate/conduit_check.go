package estimate

import (
	"math"
	"strconv"
	"strings"

	"ebbline/jobs"
)

// doubts names what is said of a conduit and does not agree.
func (c *calc) doubts(run jobs.Subject, s course) []string {
	var list []string
	add := func(text string) { list = append(list, text) }
	positions, _ := c.ends(run)
	if positions > 1 && run.No("shared") {
		add("it ends at " + plural(positions, "light") + ", yet it is said not to be shared")
	}
	total, summed := run.Base("bend_total")
	count, counted := run.Base("bends")
	switch {
	case summed && counted && count == 0 && total > 0:
		add("no bends, yet " + show(total, UnitAngle) + " of them")
	case summed && counted && count > 0 && total == 0:
		add(plural(int(count), "bend") + ", yet 0° of them")
	case summed && counted && total > 180_000*count:
		add(show(total, UnitAngle) + " in " + plural(int(count), "bend"))
	}
	if _, ok := run.Value("run"); !ok || s.pieces == nil || !s.bends.ok {
		return list
	}
	if length := c.read(run, "length"); length.ok && (length.lo > s.length.hi || length.hi < s.length.lo) {
		add("the parts of the run make " + show(round(s.length.v), UnitLength) + ", the length says " + show(round(length.v), UnitLength))
	}
	if summed && math.Abs(float64(total)-s.bends.v) > 5_000 {
		add("the bends of the run make " + show(round(s.bends.v), UnitAngle) + ", their sum says " + show(total, UnitAngle))
	}
	if counted && int(count) != s.count {
		add("the run lists " + plural(s.count, "bend") + ", their number says " + strconv.FormatInt(count, 10))
	}
	return list
}

func doubtCheck(conduit Conduit) (Check, bool) {
	if len(conduit.Doubts) == 0 {
		return Check{}, false
	}
	return Check{Key: "conduit.agrees", Name: "What is said of the conduit agrees", About: conduit.Conduit, Result: Short,
		Text: strings.Join(conduit.Doubts, "; ") + ": look again", Source: "the survey's own values", Decides: decidesOffice}, true
}

// conduitChecks are the checks of one conduit.
func (c *calc) conduitChecks(conduit Conduit) []Check {
	run, _ := c.survey.Subject(conduit.Conduit)
	list := []Check{fillCheck(conduit), bendCheck(conduit), materialCheck(run)}
	for _, more := range []func(Conduit) (Check, bool){jamCheck, radiusCheck, pullCheck, doubtCheck} {
		if check, ok := more(conduit); ok {
			list = append(list, check)
		}
	}
	return list
}

// pullCheck holds the lubricated pull against what two people, the joint and the
// cord bear; only where the run is known.
func pullCheck(conduit Conduit) (Check, bool) {
	w, ok := conduit.cordWay()
	if !ok {
		return Check{}, false
	}
	check := Check{Key: "conduit.pull", Name: "Lubricated pull within what the cord bears", About: conduit.Conduit, Source: conduit.Two.Source, Decides: decidesOffice}
	switch {
	case !w.Wet.Known || !conduit.Two.Known:
		check.Result, check.Text, check.Missing = Unknown, NotKnown, appendMiss(append([]Miss{}, w.Wet.Missing...), conduit.Two.Missing...)
	case w.Wet.High <= conduit.Two.Value:
		check.Result, check.Text = Holds, "up to "+show(w.Wet.High, UnitForce)+", at most "+conduit.Two.Text
	case w.Wet.Low > conduit.Two.Value:
		check.Result, check.Text = Short, "at least "+show(w.Wet.Low, UnitForce)+", over "+conduit.Two.Text+" by "+show(w.Wet.Low-conduit.Two.Value, UnitForce)
	default:
		check.Result, check.Text = Unknown, NotKnown+": from "+show(w.Wet.Low, UnitForce)+" to "+show(w.Wet.High, UnitForce)+", at most "+conduit.Two.Text
		check.Missing = []Miss{{Subject: conduit.Conduit, Field: "run", Text: conduit.Name + ": straights and bends in order"}}
	}
	return check, true
}

func materialCheck(run jobs.Subject) Check {
	check := Check{Key: "conduit.material", Name: "Kind of conduit", About: run.ID, Source: "NEC 680.23(B)(2) (2017 and 2020): rigid or intermediate metal, liquidtight nonmetallic, rigid nonmetallic", Decides: decidesAuthority}
	switch material := run.Choice("material"); material {
	case "":
		check.Result, check.Text, check.Missing = Unknown, NotKnown, []Miss{missField(run, "material")}
	case "emt", "ent", "soft_hose":
		check.Result, check.Text = Short, conduitName(material)+" is not an ordinary conduit for a light under water: ask before work is planned on it"
	case "rmc", "imc":
		check.Result, check.Text = Holds, "a kind the rule names, if of red brass or stainless"
	default:
		check.Result, check.Text = Holds, "a kind the rule names"
	}
	return check
}
