package estimate

import (
	"strings"

	"ebbline/jobs"
)

// Conduit is what is thought of one conduit before anybody pulls.
type Conduit struct {
	Conduit string   `json:"conduit"`
	Name    string   `json:"name"`
	Lights  int      `json:"lights"`            // cords that run through it
	Whole   bool     `json:"whole"`             // all of its cords at once or none
	Verdict string   `json:"verdict"`           // pull, help, open or unknown
	Text    string   `json:"text"`              // the verdict as a sentence
	Doubts  []string `json:"doubts,omitempty"`  // what is said of it and does not agree
	Chances Chances  `json:"chances"`           // whatever the verdict; before a tug test from the prior alone
	Hint    string   `json:"hint,omitempty"`    // extra work to allow for
	PullAt  string   `json:"pull_at,omitempty"` // end that the cord is pulled from
	Why     string   `json:"why,omitempty"`     // of PullAt
	Ways    []Way    `json:"ways,omitempty"`    // none while nothing is known of the bends
	Tight   int64    `json:"tight,omitempty"`   // µm, radius of the tightest bend that was noted
	Fill    Figure   `json:"fill"`              // part of the inside that cords take
	Limit   int64    `json:"limit"`             // thousandths allowed

	Bends      Figure `json:"bends,omitzero"`
	Radius     Figure `json:"radius,omitzero"` // least of a bend, where the run is known
	Jam        Figure `json:"jam,omitzero"`    // with three cords
	One        Figure `json:"one,omitzero"`    // most pull by one person, where the run is known
	Two        Figure `json:"two,omitzero"`    // by two
	ChancePull Figure `json:"chance_pull,omitzero"`
	ChanceHelp Figure `json:"chance_help,omitzero"`
	ChanceOpen Figure `json:"chance_open,omitzero"`

	against []string
}

// Verdicts on a conduit.
const (
	VerdictPull    = "pull"
	VerdictHelp    = "help"
	VerdictOpen    = "open"
	VerdictUnknown = "unknown"
)

// Figures lists the conduit's figures in the order of the sheet.
func (c Conduit) Figures() []Figure {
	list := c.own()
	for _, w := range c.Ways {
		figures := w.figures()
		list = append(list, figures[:]...)
	}
	return list
}

// own are the figures that do not depend on the way through.
func (c Conduit) own() []Figure {
	list := make([]Figure, 0, 17)
	for _, f := range [...]Figure{c.ChancePull, c.ChanceHelp, c.ChanceOpen, c.Fill, c.Jam, c.Bends, c.Radius, c.One, c.Two} {
		if f.Key != "" {
			list = append(list, f)
		}
	}
	return list
}

// cordWay is the way that the cord can go: from the water to the supply, as it
// comes fixed to its light.
func (c Conduit) cordWay() (Way, bool) {
	for _, w := range c.Ways {
		if w.PullAt != PullAtWater {
			return w, true
		}
	}
	return Way{}, false
}

// conduit judges one conduit: the tug test first, then what is known of the run.
func (c *calc) conduit(run jobs.Subject, cords []Cord) Conduit {
	out := Conduit{Conduit: run.ID, Name: run.Label(), Verdict: VerdictUnknown}
	for _, cord := range cords {
		if cord.Through(run.ID) {
			out.Lights++
		}
	}
	out.Whole = out.Lights > 1 || run.Yes("shared") || run.Yes("tee")
	b, s := c.bore(run), c.course(run)
	out.Fill, out.Limit = c.fill(run, out.Lights, b)
	out.Jam = c.jam(run, out.Lights, b)
	out.Bends, out.Tight = s.figure(run), s.tight
	out.Ways = c.ways(run, out.Lights, s, b)
	if len(out.Ways) > 0 {
		out.One, out.Two = c.bears(run, out.Lights)
		out.Radius = b.radius(run)
		out.PullAt, out.Why = pullAt(out.Ways)
	}
	out.Doubts = c.doubts(run, s)
	c.chance(run, &out, s)
	c.judge(run, &out)
	return out
}

// pullAt says which end a cord is pulled from, and why.
func pullAt(ways []Way) (end, why string) {
	why = "the cord comes fixed to its light, so it goes in at the water and is pulled at the supply"
	if len(ways) < 2 {
		return PullAtSupply, why
	}
	a, b := ways[0].Dry, ways[1].Dry
	switch {
	case !a.Known || !b.Known:
	case a.Value*100 > b.Value*105:
		why += "; the other way would take " + b.Text + " instead of " + a.Text + " dry, as the bends lie nearer the supply: lubricate well at the feeding end"
	case b.Value*100 > a.Value*105:
		why += "; it is the easier way too, " + a.Text + " against " + b.Text + " dry, as the bends lie nearer the water"
	default:
		why += "; the other way would take about the same"
	}
	return PullAtSupply, why
}

// judge comes to the verdict and says it: the tug test with what was found
// first, then what the known run can't bear.
func (c *calc) judge(run jobs.Subject, out *Conduit) {
	least := c.set.conduits().LeastChance
	switch {
	case run.Choice("tug") == "":
	case out.Chances.Pull >= least:
		out.Verdict = VerdictPull
	case out.Chances.Pull+out.Chances.Help >= least:
		out.Verdict = VerdictHelp
	default:
		out.Verdict = VerdictOpen
	}
	reasons := make([]string, 0, 4)
	const poor = ", but too much speaks against it"
	switch run.Choice("tug") {
	case jobs.TugMoves:
		reasons = append(reasons, "the bundle moves")
		if out.Verdict != VerdictPull {
			reasons[0] += poor
		}
	case jobs.TugMovesHard:
		reasons = append(reasons, "the bundle moves hard")
		if out.Verdict == VerdictOpen {
			reasons[0] += poor
		}
	case jobs.TugStuck:
		reasons = append(reasons, "the bundle is stuck")
	case jobs.TugBroken:
		reasons = append(reasons, "the bundle is broken")
	}
	switch verdict, why := c.bearable(out); {
	case verdict == VerdictOpen:
		out.Verdict, reasons = VerdictOpen, append(reasons, why)
	case verdict == VerdictHelp && out.Verdict == VerdictPull:
		out.Verdict, reasons = VerdictHelp, append(reasons, why)
	}
	var text strings.Builder
	text.WriteString(map[string]string{
		VerdictPull:    "Pull",
		VerdictHelp:    "Pull with lubricant and a second person",
		VerdictOpen:    "Open up first",
		VerdictUnknown: "Not known yet, no tug test",
	}[out.Verdict])
	if len(reasons) > 0 {
		text.WriteString(": " + strings.Join(reasons, ", and "))
	}
	text.WriteString(". ")
	if out.Verdict == VerdictUnknown {
		text.WriteString("From what is usual alone, " + out.Chances.sentence())
	} else {
		text.WriteString(upper(out.Chances.sentence()))
	}
	if len(out.against) > 0 {
		text.WriteString(" Against it: " + strings.Join(out.against, "; ") + ".")
	}
	if w, ok := out.cordWay(); ok && w.Dry.Known && out.One.Known {
		text.WriteString(" Fed at the water and pulled at the supply it takes about " + w.Wet.Text + " lubricated, " + w.Dry.Text + " dry; ")
		if out.One.Value == out.Two.Value {
			text.WriteString("cord and joint bear " + out.One.Text + ".")
		} else {
			text.WriteString("one person may pull " + out.One.Text + ", two " + out.Two.Text + ".")
		}
	}
	if out.Whole {
		text.WriteString(" Shared, or a tee is suspected: all of its cords at once or none.")
	}
	for _, doubt := range out.Doubts {
		text.WriteString(" Does not agree: " + doubt + ".")
	}
	out.Text = text.String()
	if out.Chances.Open >= 150 || out.Verdict == VerdictOpen {
		out.Hint = "allow for opening up: find where it holds, cut in, new piece of conduit, close the deck or the soil again (chance " + show(out.Chances.Open, UnitMille) + ")"
	}
}

// bearable holds what the pull takes against what cord, joint, hands and the
// code bear. An empty verdict where nothing speaks against the pull, or too
// little is known.
func (c *calc) bearable(out *Conduit) (verdict, why string) {
	if out.Fill.Known && out.Fill.Value > 1000 {
		return VerdictOpen, "the cords are more than the whole inside"
	}
	if verdict, why = c.pullable(out); verdict != "" {
		return verdict, why
	}
	switch {
	case out.Fill.Known && out.Fill.Value > out.Limit:
		return VerdictHelp, "the cords take " + out.Fill.Text + " of the inside, over the " + show(out.Limit, UnitMille) + " allowed"
	case out.Jam.Known && jams(float64(out.Jam.Value), 1000):
		return VerdictHelp, "three cords may wedge"
	}
	return "", ""
}

// pullable is bearable for tension and side-wall pressure.
func (c *calc) pullable(out *Conduit) (verdict, why string) {
	w, ok := out.cordWay()
	if !ok || !w.Wet.Known || !out.Two.Known {
		return "", ""
	}
	side := c.set.conduits().SideWall
	switch {
	case w.Wet.Low > out.Two.Value:
		return VerdictOpen, "even lubricated it takes at least " + show(w.Wet.Low, UnitForce) + " and no more than " + out.Two.Text + " may be pulled"
	case w.WetPress.Known && w.WetPress.Low > side:
		return VerdictOpen, "even lubricated the bends press at least " + show(w.WetPress.Low, UnitPress) + " on the cord and no more than " + show(side, UnitPress) + " may be"
	case w.Wet.High > out.Two.Value:
		return VerdictHelp, "lubricated it may take up to " + show(w.Wet.High, UnitForce) + ", over the " + out.Two.Text + " that may be pulled: measure the bends before"
	case w.Dry.High > out.One.Value:
		return VerdictHelp, "dry it may take up to " + show(w.Dry.High, UnitForce) + ", over the " + out.One.Text + " that one person may pull"
	case w.DryPress.Known && w.DryPress.High > side:
		return VerdictHelp, "dry the bends may press " + show(w.DryPress.High, UnitPress) + " on the cord, over " + show(side, UnitPress)
	}
	return "", ""
}
