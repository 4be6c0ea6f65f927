package estimate

import (
	"fmt"
	"strings"
)

// Sheet writes an estimate as text with every figure's working, as a careful
// estimator would hand it over.
func Sheet(e Estimate) string { return write(e, true) }

// Brief writes an estimate as text without the workings.
func Brief(e Estimate) string { return write(e, false) }

type sheet struct {
	strings.Builder
	working bool
}

func write(e Estimate, working bool) string {
	s := &sheet{working: working}
	for _, w := range e.Bodies {
		s.head("Water: " + w.Name)
		s.figure(w.Area)
		switch {
		case w.With != "":
			s.line("Lowers together with %s.", w.With)
		case !w.Lowered:
			s.line("Not lowered: no light in it.")
		default:
			s.figures(w.Working, w.Drop, w.Volume, w.Allowed, w.Gives, w.Flow, w.Drain, w.Refill, w.Cover, w.Fill)
		}
	}
	s.head("Water clock")
	c := e.Clock
	s.figures(c.Total, c.Covers, c.Fills, c.Low, c.Waits)
	s.head("Light and cord")
	for _, cord := range e.Cords {
		s.line("%s (zone %d)", cord.Name, cord.Zone)
		s.figures(cord.Run, cord.Slack, cord.Needed, cord.Order, cord.Volts)
	}
	if len(e.Cords) == 0 {
		s.line("%s", NotKnown)
	}
	s.head("Fit in the wall")
	for _, fit := range e.Fits {
		s.line("%s: %s", fit.Name, fit.Text)
		s.figures(fit.Width, fit.Length, fit.Lens)
	}
	if len(e.Fits) == 0 {
		s.line("%s", NotKnown)
	}
	s.head("Conduits")
	for _, conduit := range e.Conduits {
		s.conduit(conduit)
	}
	s.supply(e.Supply)
	s.visits(e)
	s.materials(e.Materials)
	s.price(e.Price)
	s.head("Energy")
	en := e.Energy
	s.figures(en.Before, en.After, en.Saved, en.Money, en.Lamps, en.Payback)
	s.checks(e)
	s.cautions(e)
	s.missing(e)
	fmt.Fprintf(s, "\n%s\n", e.Safety)
	return s.String()
}

func (s *sheet) head(text string) {
	fmt.Fprintf(s, "\n%s\n%s\n", text, strings.Repeat("-", len([]rune(text))))
}

func (s *sheet) line(format string, args ...any) { fmt.Fprintf(s, "  "+format+"\n", args...) }

func (s *sheet) figures(list ...Figure) {
	for _, f := range list {
		s.figure(f)
	}
}

// figure writes name and value, the band where there is one, and below it the
// working.
func (s *sheet) figure(f Figure) {
	fmt.Fprintf(s, "  %-50s %s", f.Name, f.Text)
	if f.Known && (f.Low != f.Value || f.High != f.Value) {
		if low, high := show(f.Low, f.Unit), show(f.High, f.Unit); low != f.Text || high != f.Text {
			fmt.Fprintf(s, "   (%s to %s)", low, high)
		}
	}
	s.WriteByte('\n')
	for _, m := range f.Missing {
		s.line("      find out: %s", m.Text)
	}
	if !s.working || !f.Known {
		return
	}
	if f.Formula != "" {
		s.line("      = %s", f.Formula)
	}
	for _, in := range f.Inputs {
		known := ""
		if in.Known != "" {
			known = " (" + strings.ReplaceAll(string(in.Known), "_", " ") + ")"
		}
		about := ""
		if in.Subject != "" && in.Subject != f.About {
			about = "[" + in.Subject + "] "
		}
		s.line("        %s%s: %s%s", about, in.Name, in.Text, known)
	}
	if f.Source != "" {
		s.line("      source: %s", f.Source)
	}
	if f.Margin != "" {
		s.line("      margin: %s", f.Margin)
	}
}

func (s *sheet) supply(supply Supply) {
	s.head("Supply and zones")
	if supply.Part == "" {
		s.line("Supply: %s", NotKnown)
	} else {
		s.line("%s", supply.Name)
	}
	for _, z := range supply.Zones {
		s.line("Zone %d: %s, %s", z.Number, plural(z.Lights, "light"), show(z.Power, UnitPower))
	}
	s.figures(supply.Power, supply.Loading, supply.Tap, supply.Least, supply.Most, supply.Primary)
}

func (s *sheet) visits(e Estimate) {
	s.head("Visits")
	for _, v := range e.Visits {
		if !v.Needed {
			continue
		}
		s.line("%s: %s%s", v.Name, people(v.People), because(v.Why))
		for _, t := range v.Tasks {
			s.line("    %-60s %d ×  %s / %s / %s   %s of the spread%s", t.Name, t.Times, duration(t.Best), duration(t.Usual), duration(t.Worst), show(t.Part, UnitMille), because(t.Why))
		}
		s.figures(v.Median, v.Plan)
		if v.Dry > 0 {
			s.line("    of it before the water must be low: %s", duration(v.Dry))
		}
	}
}

func because(why string) string {
	if why == "" {
		return ""
	}
	return ", as " + why
}

func (s *sheet) materials(m Materials) {
	s.head("Materials and load list")
	for _, line := range m.Lines {
		cost := "$" + line.Cost.String()
		if line.Tool {
			cost = "tool, comes back"
		}
		s.line("%3d %-7s %-55s %s", line.Quantity, line.Stock, line.Name, cost)
		if line.For != "" {
			s.line("            for %s", line.For)
		}
		if line.Alternates != "" {
			s.line("            or %s", line.Alternates)
		}
	}
	s.figure(m.Cost)
}

func (s *sheet) price(p Price) {
	s.head("Price")
	for _, line := range p.Lines {
		s.line("%-12s %12s   %s", line.Name, "$"+line.Cents.String(), line.How)
	}
	s.figures(p.Cost, p.Net, p.Tax, p.Total, p.Deposit)
}

func (s *sheet) checks(e Estimate) {
	s.head("Checks")
	for _, c := range e.Checks {
		result := map[string]string{Holds: "holds", Short: "FALLS SHORT", Unknown: NotKnown}[c.Result]
		about := ""
		if c.About != "" {
			about = " [" + c.About + "]"
		}
		text := c.Text
		if c.Result == Unknown {
			text = ""
			for i, m := range c.Missing {
				if i > 0 {
					text += "; "
				}
				text += m.Text
			}
		}
		s.line("%-13s %s%s: %s", result, c.Name, about, text)
		if s.working || c.Result == Short {
			s.line("              %s; %s decides", c.Source, c.Decides)
		}
	}
}

func (s *sheet) cautions(e Estimate) {
	s.head("Cautions")
	for _, c := range e.Cautions {
		sign := ""
		if c.SignOff {
			sign = " To be accepted by name before lowering."
		}
		about := ""
		if c.About != "" {
			about = "[" + c.About + "] "
		}
		s.line("%s%s%s", about, c.Text, sign)
		if s.working {
			s.line("      because %s; %s", c.Why, c.Source)
		}
	}
}

func (s *sheet) missing(e Estimate) {
	if len(e.Missing) == 0 {
		return
	}
	s.head("Still to find out")
	for _, m := range e.Missing {
		s.line("%s", m.Text)
	}
}

func people(n int) string {
	if n == 1 {
		return "1 person"
	}
	return fmt.Sprintf("%d people", n)
}
