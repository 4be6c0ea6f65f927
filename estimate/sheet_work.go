package estimate

import (
	"fmt"
	"strings"
)

// cords writes each position in one line, below it its workings.
func (s *sheet) cords(e Estimate) {
	s.head("Light and cord")
	if len(e.Cords) == 0 {
		s.line("%s: no light position is noted", NotKnown)
	}
	for i, cord := range e.Cords {
		if i > 0 {
			s.WriteByte('\n')
		}
		s.line("%s, zone %d", cord.Name, cord.Zone)
		s.figures(cord.Run, cord.Slack, cord.Needed, cord.Order, cord.Volts)
		if i < len(e.Fits) && e.Fits[i].Position == cord.Position {
			fit := e.Fits[i]
			s.line("%-50s %s", "Fit in the wall", fit.Text)
			s.figures(fit.Width, fit.Length, fit.Lens)
		}
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
	if supply.Split != "" {
		s.line("Shared this way: %s.", supply.Split)
	}
	s.figures(supply.Power, supply.Loading, supply.Tap, supply.Least, supply.Most, supply.Amps, supply.Primary)
	for _, o := range supply.Outputs {
		s.figures(o.Loading, o.Tap, o.Least, o.Most, o.Amps)
	}
}

// visits writes each visit with its tasks, and how times come about once.
func (s *sheet) visits(e Estimate) {
	s.head("Visits")
	if s.working {
		for _, v := range e.Visits {
			if v.Needed && v.Median.Known {
				s.line("Each task: best / usual / worst time. Times: %s. Planned: %s.", v.Median.Formula, v.Plan.Formula)
				s.line("Source: %s.", v.Median.Source)
				break
			}
		}
	}
	for _, v := range e.Visits {
		if !v.Needed {
			continue
		}
		who := people(v.People)
		if len(v.Skills) > 0 {
			who += " (" + strings.Join(v.Skills, ", ") + ")"
		}
		if !v.Plan.Known {
			s.line("%s: %s%s; %s, find out: %s", v.Name, who, because(v.Why), NotKnown, s.misses(v.Plan.Missing))
			continue
		}
		s.line("%s: %s%s; median %s, planned with %s", v.Name, who, because(v.Why), v.Median.Text, v.Plan.Text)
		if v.Dry > 0 {
			s.line("    %s of it may be done before the water is low", duration(v.Dry))
		}
		if v.Low > 0 {
			s.line("    %s of it is lowering on arrival", duration(v.Low))
		}
		for _, t := range v.Tasks {
			chance := ""
			if t.Chance > 0 {
				chance = ", chance " + show(t.Chance, UnitMille)
				if t.Times > 1 {
					chance += " each"
				}
			}
			s.line("    %-56s %2d ×  %s / %s / %s%s%s", t.Name, t.Times, duration(t.Best), duration(t.Usual), duration(t.Worst), chance, because(t.Why))
		}
		if len(v.Tasks) > 1 {
			s.line("    What makes it uncertain: %s", drivers(v.Drivers))
		}
	}
}

func drivers(list []Driver) string {
	says := make([]string, len(list))
	for i, d := range list {
		says[i] = lower(d.Name) + " " + show(d.Part/10*10, UnitMille)
	}
	return strings.Join(says, "; ")
}

func because(why string) string {
	if why == "" {
		return ""
	}
	return ", as " + why
}

func (s *sheet) materials(m Materials) {
	s.head("Materials and load list")
	tools := []string{}
	for _, line := range m.Lines {
		if line.Tool {
			tools = append(tools, line.Name)
			continue
		}
		text := fmt.Sprintf("%3d %-7s %-58s $%s", line.Quantity, line.Stock, line.Name, line.Cost)
		if line.For != "" {
			text += ", for " + line.For
		}
		if line.Alternates != "" {
			text += ", or " + line.Alternates
		}
		s.wrap("  ", strings.Repeat(" ", 14), text)
	}
	if len(tools) > 0 {
		s.line("Tools that come back: %s", strings.Join(tools, "; "))
	}
	s.figure(m.Cost)
}

func (s *sheet) price(p Price) {
	s.head("Price")
	for _, line := range p.Lines {
		s.line("%-12s %12s   %s", line.Name, "$"+line.Cents.String(), line.How)
	}
	if s.working {
		s.figures(p.Cost, p.Net, p.Tax, p.Total, p.Deposit)
	} else {
		s.figures(p.Total, p.Deposit)
	}
	if len(p.Allowances) == 0 {
		return
	}
	s.line("May come on top, agreed before it is done, with tax:")
	for _, a := range p.Allowances {
		chance := ""
		if a.Chance != nil {
			chance = ", chance " + show(*a.Chance, UnitMille)
		}
		s.wrap("    ", strings.Repeat(" ", 17), fmt.Sprintf("%-12s %s: %s%s", "$"+a.Cents.String(), a.Name, a.Why, chance))
		if s.working {
			s.wrap(strings.Repeat(" ", 17), strings.Repeat(" ", 19), "= "+a.How)
		}
	}
}
