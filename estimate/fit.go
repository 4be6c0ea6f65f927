package estimate

import (
	"ebbline/jobs"
	"fmt"
)

// Fit is how the light sits in one position's wall fitting.
type Fit struct {
	Position string   `json:"position"`
	Name     string   `json:"name"`
	Verdict  string   `json:"verdict"`           // fits, adapter, no or measure
	Text     string   `json:"text"`              // the verdict as a sentence
	Adapter  *Adapter `json:"adapter,omitempty"` // one is needed; nil also while the thread is not known
	Width    Figure   `json:"width"`             // play of the body in the fitting; negative: too wide
	Length   Figure   `json:"length"`            // room left in front of the elbow; negative: too long
	Lens     Figure   `json:"lens"`              // top of the lens under the normal level
	Missing  []Miss   `json:"missing,omitempty"` // what to measure before it is sure
}

// Verdicts on a fit.
const (
	FitFits    = "fits"
	FitAdapter = "adapter" // fits with an adapter
	FitNo      = "no"      // does not fit; Text says by how much
	FitMeasure = "measure" // measure dry before it is ordered
)

// Adapter joins a light to a wall fitting of another thread or joint. From and
// To are choices of the survey's fitting_thread.
type Adapter struct {
	From string `json:"from"` // the wall fitting's
	To   string `json:"to"`   // the light's
	Name string `json:"name"`
}

// fit judges one position. It is sure only where the body goes in at the bad
// end of what is known, and both sizes and the thread were measured.
func (c *calc) fit(pos jobs.Subject) Fit {
	out := Fit{Position: pos.ID, Name: pos.Label()}
	set := c.set.conduits()
	light := fixed(0)
	if !c.lit {
		light = unknown(Miss{Text: "A light from the catalogue"})
	}
	width := sum(c.read(pos, "fitting_inside"), minus(light), fixed(-float64(c.light.BodyWidth+set.FitWidth)))
	length := sum(c.read(pos, "elbow_depth"), minus(light), fixed(-float64(c.light.BodyLength+set.FitLength)))
	lens := sum(c.read(pos, "depth"), minus(light), fixed(-float64(c.lensWidth())/2))
	body := Input{Name: "Light's body", Text: show(c.light.BodyWidth, UnitLength) + " wide, " + show(c.light.BodyLength, UnitLength) + " long"}
	for _, n := range []*num{&width, &length} {
		n.in = append(n.in[:len(n.in):len(n.in)], body)
	}
	lens.in = append(lens.in[:len(lens.in):len(lens.in)], Input{Name: "Lens", Text: show(c.lensWidth(), UnitLength) + " high"})
	out.Width = figure("fit.width", "Play of the light's body in the fitting", pos.ID, UnitGap, width)
	out.Width.Formula = "inside width − body width − " + jobs.FeetInches(set.FitWidth) + " to slide"
	out.Width.Source = "catalogue, the light's own sheet"
	out.Length = figure("fit.length", "Room left in front of the elbow", pos.ID, UnitGap, length)
	out.Length.Formula = "depth to the elbow − body length − " + jobs.FeetInches(set.FitLength) + " for the cord to turn"
	out.Length.Source = "catalogue, the light's own sheet; turn of the cord: common practice, no source"
	out.Lens = figure("fit.lens", "Top of the lens under water", pos.ID, UnitLength, lens)
	out.Lens.Formula = "centre of the fitting below the tile line − half the lens"
	least, why := c.lensLeast()
	out.Lens.Source = c.set.Supply.Edition + ", 680.23(A)(5): " + why
	out.Lens.Margin = "at least " + show(least, UnitLength) + "; the normal level is taken at the tile line, where it is kept lower take that off"
	c.judgeFit(pos, &out)
	return out
}

func (c *calc) lensWidth() int64 { return max(c.light.LensWidth, c.light.BodyWidth) }

// lensLeast is how deep the top of the lens must lie: NEC 680.23(A)(5).
func (c *calc) lensLeast() (int64, string) {
	if d := c.light.ListedDepth; d > 0 {
		return max(d, c.set.Supply.LensListed), "18 in below normal level unless listed for less, as this light is; never under 4 in"
	}
	return c.set.Supply.LensDepth, "18 in below normal level unless listed for less"
}

// judgeFit comes to the verdict.
func (c *calc) judgeFit(pos jobs.Subject, out *Fit) {
	thread, threaded := pos.Value("fitting_thread")
	joint := c.joint(thread.Text)
	if threaded && joint.adapts {
		out.Adapter = &Adapter{From: thread.Text, To: c.light.Thread, Name: "Adapter, fitting " + threadName(thread.Text) + " to light " + threadName(c.light.Thread)}
	}
	var short, loose []string
	for _, f := range [...]Figure{out.Width, out.Length} {
		how := "too narrow"
		if f.Key == "fit.length" {
			how = "too short in front of the elbow"
		}
		switch {
		case !f.Known:
			out.Missing = appendMiss(out.Missing, f.Missing...)
		case f.High < 0:
			short = append(short, small(-f.Value)+" "+how)
		case f.Low < 0:
			loose = append(loose, "from "+small(-f.Low)+" "+how+" to "+small(f.High)+" to spare")
		}
	}
	for _, name := range [...]string{"fitting_inside", "elbow_depth", "fitting_thread"} {
		v, ok := pos.Value(name)
		if !ok || v.Known == jobs.KnownTold || v.Known == jobs.KnownRead {
			out.Missing = appendMiss(out.Missing, missField(pos, name))
		}
	}
	wide := c.tooWide(pos)
	if wide != "" {
		out.Missing = appendMiss(out.Missing, missField(pos, "fitting_inside"), missField(pos, "fitting_thread"))
	}
	if len(loose) > 0 {
		out.Missing = appendMiss(out.Missing, missField(pos, "fitting_inside"), missField(pos, "elbow_depth"))
	}
	if threaded && joint.no != "" {
		short = append(short, joint.no)
	}
	if threaded && joint.ask {
		out.Missing = appendMiss(out.Missing, Miss{Subject: pos.ID, Field: "fitting_thread", Text: out.Name + ": which thread or joint the wall fitting has"})
	}
	known := out.Width.Known && out.Length.Known && threaded
	switch {
	case len(short) > 0:
		out.Verdict, out.Text, out.Missing, out.Adapter = FitNo, "Does not fit: "+join(short), nil, nil
	case !known:
		out.Verdict, out.Text = FitMeasure, "Measure dry: "+lacks(pos, out.Missing)+"."
		return
	case len(out.Missing) > 0:
		out.Verdict, out.Text = FitMeasure, "Measure dry: "
		switch {
		case wide != "":
			out.Text += wide
		case len(loose) > 0:
			out.Text += "by what is known it is " + join(loose)
		case joint.ask:
			out.Text += "nobody knows yet which adapter the fitting's thread takes"
		default:
			out.Text += "as " + c.knownBy(pos) + " it fits with " + small(out.Width.Value) + " of play and " + small(out.Length.Value) + " in front of the elbow, but it was not measured"
			if out.Adapter != nil {
				out.Text += "; it would take an adapter, " + threadName(thread.Text) + " to " + threadName(c.light.Thread)
			}
		}
	case out.Adapter != nil:
		out.Verdict = FitAdapter
		out.Text = "Fits with an adapter, " + threadName(thread.Text) + " to " + threadName(c.light.Thread) + ": " + small(out.Width.Value) + " of play, " + small(out.Length.Value) + " in front of the elbow"
	default:
		out.Verdict = FitFits
		out.Text = "Fits: " + small(out.Width.Value) + " of play, " + small(out.Length.Value) + " in front of the elbow"
	}
	out.Text += "."
}

// knownBy says how the weakest of the sizes is known.
func (c *calc) knownBy(pos jobs.Subject) string {
	weakest := jobs.KnownMeasuredDry
	for _, name := range [...]string{"fitting_inside", "elbow_depth", "fitting_thread"} {
		if v, ok := pos.Value(name); ok && v.Known.Rank() < weakest.Rank() {
			weakest = v.Known
		}
	}
	return showChoice(string(weakest))
}

// lacks names the fields that a fit waits for.
func lacks(pos jobs.Subject, list []Miss) string {
	names := make([]string, 0, len(list))
	for _, m := range list {
		spec, ok := jobs.FieldOf(pos.Kind, m.Field)
		if !ok {
			names = append(names, m.Text)
			continue
		}
		names = append(names, spec.Label)
	}
	return join(names) + " not known yet"
}

// small writes a short length so that a fit can be told from it: hundredths of
// an inch, as a caliper reads them, below half an inch.
func small(um int64) string {
	if um > -12_700 && um < 12_700 {
		return fmt.Sprintf("%.2f\"", float64(um)/25_400)
	}
	return show(um, UnitLength)
}

func join(list []string) string {
	text := ""
	for i, item := range list {
		switch {
		case i == 0:
		case i == len(list)-1:
			text += " and "
		default:
			text += ", "
		}
		text += item
	}
	return text
}
