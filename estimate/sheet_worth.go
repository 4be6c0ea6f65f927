package estimate

import (
	"fmt"
	"strings"
)

// WorthSheet writes what to find out or measure, the most useful first; at most
// so many lines.
func WorthSheet(list []MissWorth, most int) string {
	s := &sheet{}
	s.head("Worth finding out")
	if len(list) == 0 {
		s.line("Nothing: all that counts is measured dry.")
	}
	for i, w := range list {
		if i == most {
			s.line("and %d more that change less", len(list)-most)
			break
		}
		known := ""
		if w.Known != "" {
			known = " (now " + strings.ReplaceAll(string(w.Known), "_", " ") + ")"
		}
		s.line("%2d. %s%s: %s", i+1, w.Miss.Text, known, w.Why)
	}
	return s.String()
}

// OptionSheet writes options side by side.
func OptionSheet(list []Option) string {
	s := &sheet{}
	s.head("Options")
	for _, o := range list {
		pay := ""
		switch {
		case !o.Payback.Known:
		case o.Payback.Value > 360:
			pay = ", savings alone do not pay it back in 30 years"
		default:
			pay = ", savings pay it back in " + o.Payback.Text
		}
		s.line("%-36s %12s, crew time %s%s", o.Name, o.Price.Text, o.Time.Text, pay)
		for _, say := range o.Says {
			s.line("      %s", say)
		}
	}
	if len(list) < 2 {
		fmt.Fprintln(s, "  No other way to do it.")
	}
	return s.String()
}
