package estimate

import (
	"fmt"
	"strings"
)

// checks writes what falls short first, then what is not known, then what holds.
// A rule that several things are held against is written once.
func (s *sheet) checks(e Estimate) {
	s.head("Checks")
	const under = "               "
	for _, result := range []struct{ is, says string }{{Short, "FALLS SHORT"}, {Unknown, "NOT KNOWN"}, {Holds, "holds"}} {
		if result.is == Unknown {
			s.unknownChecks(e.Checks)
			continue
		}
		done := map[string]bool{}
		for i, c := range e.Checks {
			key := c.Key + c.Name + c.Source
			if c.Result != result.is || done[key] {
				continue
			}
			done[key] = true
			var groups []said
			for _, other := range e.Checks[i:] {
				if other.Result != c.Result || other.Key+other.Name+other.Source != key {
					continue
				}
				g := said{text: strings.TrimSuffix(other.Text, ".")}
				if other.About != "" {
					g.names = []string{s.name(other.About)}
				}
				groups = joinSaid(groups, g)
			}
			text := fmt.Sprintf("%-12s %s", result.says, c.Name)
			if len(groups) == 1 {
				s.wrap("  ", under, text+about(groups[0])+": "+groups[0].text)
			} else {
				s.wrap("  ", under, text)
				for _, g := range groups {
					s.wrap(under, under+"  ", strings.Join(g.names, " and ")+": "+g.text)
				}
			}
			if s.working || c.Result == Short {
				s.wrap(under, under+"  ", "by "+c.Source+"; "+c.Decides+" decides")
			}
		}
	}
}

// unknownChecks writes together the checks that wait for the same things.
func (s *sheet) unknownChecks(checks []Check) {
	const under = "               "
	done := map[string]bool{}
	for i, c := range checks {
		lacks := s.misses(c.Missing)
		if c.Result != Unknown || done[lacks] {
			continue
		}
		done[lacks] = true
		s.wrap("  ", under, fmt.Sprintf("%-12s find out %s, for", "NOT KNOWN", lacks))
		told := map[string]bool{}
		for _, other := range checks[i:] {
			if other.Result != Unknown || told[other.Name] || s.misses(other.Missing) != lacks {
				continue
			}
			told[other.Name] = true
			text := lower(other.Name)
			if s.working {
				text += ", by " + other.Source + "; " + other.Decides + " decides"
			}
			s.wrap(under, under+"  ", text)
		}
	}
}

func about(g said) string {
	if len(g.names) == 0 {
		return ""
	}
	return ", " + strings.Join(g.names, " and ")
}

func (s *sheet) cautions(e Estimate) {
	if len(e.Cautions) == 0 {
		return
	}
	s.head("Cautions")
	done := map[string]bool{}
	for i, c := range e.Cautions {
		if done[c.Key+c.Text] {
			continue
		}
		done[c.Key+c.Text] = true
		var about []string
		for _, other := range e.Cautions[i:] {
			if other.Key == c.Key && other.Text == c.Text && other.About != "" {
				about = append(about, s.name(other.About))
			}
		}
		text := ""
		if len(about) > 0 {
			text = strings.Join(distinct(about), ", ") + ": "
		}
		text += c.Text
		if c.SignOff {
			text += " To be accepted by name before lowering."
		}
		s.line("%s", text)
		if s.working {
			s.line("    because %s; %s", c.Why, c.Source)
		}
	}
}

// missing groups what is still to be found out by the thing it is about, in the
// order of what presses most.
func (s *sheet) missing(e Estimate) {
	if len(e.Missing) == 0 {
		return
	}
	s.head("Still to find out")
	done := map[string]bool{}
	for i, m := range e.Missing {
		if m.Subject != "" && done[m.Subject] {
			continue
		}
		done[m.Subject] = true
		list := []Miss{m}
		for _, other := range e.Missing[i+1:] {
			if m.Subject != "" && other.Subject == m.Subject {
				list = append(list, other)
			}
		}
		s.line("%s", s.misses(list))
	}
}
