package estimate

import (
	"fmt"
	"strings"
)

// Sheet writes an estimate as text with every figure's working, as a careful
// estimator would hand it over. A working that several figures share is written
// out at the first of them.
func Sheet(e Estimate) string { return write(e, true) }

// Brief writes an estimate as text without the workings.
func Brief(e Estimate) string { return write(e, false) }

// sheetWidth is where lines break, in letters.
const sheetWidth = 112

type sheet struct {
	strings.Builder
	working bool
	names   map[string]string // of the survey's things, by id
	told    map[string]bool   // workings already written out
	last    string            // what the figure before was made from
}

func write(e Estimate, working bool) string {
	s := &sheet{working: working, names: e.Names, told: map[string]bool{}}
	s.glance(e)
	for _, w := range e.Bodies {
		s.head("Water: " + w.Name)
		s.figure(w.Area)
		switch {
		case w.With != "":
			s.line("Lowers together with %s, %s.", s.name(w.With), w.Why)
		case !w.Lowered:
			s.line("Not lowered: no light in it.")
		default:
			s.figures(w.figures()...)
		}
	}
	s.head("Water clock")
	c := e.Clock
	s.figures(c.Total, c.Covers, c.Fills, c.Low, c.Waits)
	s.cords(e)
	s.head("Conduits")
	for i, conduit := range e.Conduits {
		if i > 0 {
			s.WriteByte('\n')
		}
		s.conduit(conduit)
	}
	if len(e.Conduits) == 0 {
		s.line("%s: no conduit is noted", NotKnown)
	}
	s.supply(e.Supply)
	s.visits(e)
	s.materials(e.Materials)
	s.price(e.Price)
	s.head("Energy")
	en := e.Energy
	s.figures(en.Before, en.After, en.Lit, en.Saved, en.Money, en.Lamps, en.Year, en.Payback)
	if en.Says != "" {
		s.line("%s", en.Says)
	}
	s.checks(e)
	s.cautions(e)
	s.missing(e)
	s.WriteByte('\n')
	s.wrap("", "", e.Safety)
	return s.String()
}

// glance is what a person looks for first.
func (s *sheet) glance(e Estimate) {
	s.head("At a glance")
	p := e.Price
	s.pair("Price with tax", p.Total.Text)
	if p.Total.Known {
		s.pair("Deposit", p.Deposit.Text)
	}
	work := NotKnown
	if median, ok := e.MedianSeconds(); ok {
		plan, _ := e.PlanSeconds()
		work = duration(median) + ", planned with " + duration(plan) + " (" + outOfTen(e.PlanQuantile) + ")"
	}
	s.pair("Crew time, survey apart", work)
	water := NotKnown
	if e.Clock.Total.Known {
		water = e.Clock.Total.Text + " of pumping, up to " + show(e.Clock.Total.High, UnitSeconds)
		if e.Clock.Covers.Known {
			water += "; lights covered after " + e.Clock.Covers.Text + " of filling"
		}
	}
	s.pair("Water", water)
	counts, short := map[string]int{}, []string{}
	for _, c := range e.Checks {
		counts[c.Result]++
		if c.Result == Short {
			short = append(short, strings.ToLower(c.Name))
		}
	}
	checks := fmt.Sprintf("%d hold, %d not known yet, %d fall short", counts[Holds], counts[Unknown], counts[Short])
	if len(short) > 0 {
		checks += ": " + strings.Join(distinct(short), ", ")
	}
	s.pair("Checks", checks)
	signs := 0
	for _, c := range e.Cautions {
		if c.SignOff {
			signs++
		}
	}
	if signs > 0 {
		s.pair("To be accepted by name", plural(signs, "caution")+" before the water is lowered")
	}
	s.pair("Still to find out", plural(len(e.Missing), "thing"))
}

// outOfTen says a quantile as people do: "8 of 10 keep it".
func outOfTen(thousandths int64) string {
	if thousandths%100 == 0 {
		return fmt.Sprintf("%d of 10 keep it", thousandths/100)
	}
	return show(thousandths, UnitMille) + " keep it"
}

func (s *sheet) head(text string) {
	s.last = ""
	fmt.Fprintf(s, "\n%s\n%s\n", text, strings.Repeat("-", len([]rune(text))))
}

func (s *sheet) line(format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	indent := text[:len(text)-len(strings.TrimLeft(text, " "))]
	s.wrap("  "+indent, "    "+indent, text[len(indent):])
}

// pair writes a name and what is said of it.
func (s *sheet) pair(name, says string) {
	s.wrap("  ", strings.Repeat(" ", 29), fmt.Sprintf("%-26s %s", name, says))
}

// wrap writes text with a first and a following indent, breaking between words.
func (s *sheet) wrap(first, next, text string) {
	s.WriteString(first)
	at := len([]rune(first))
	fresh := true
	for part := range strings.SplitSeq(text, " ") {
		n := len([]rune(part))
		if !fresh && part != "" && at+1+n > sheetWidth {
			s.WriteString("\n" + next)
			at, fresh = len([]rune(next)), true
		}
		if !fresh {
			s.WriteByte(' ')
			at++
		}
		s.WriteString(part)
		at, fresh = at+n, false
	}
	s.WriteByte('\n')
}

// name is a thing's name; its id where it has none.
func (s *sheet) name(id string) string {
	if name, ok := s.names[id]; ok {
		return name
	}
	return id
}

func people(n int) string {
	if n == 1 {
		return "1 person"
	}
	return fmt.Sprintf("%d people", n)
}
