package estimate

import (
	"fmt"
	"strings"
)

func (s *sheet) figures(list ...Figure) {
	for _, f := range list {
		s.figure(f)
	}
}

// figure writes name and value, the band where there is one, and below it the
// working. Of a figure that is not known it says what to find out.
func (s *sheet) figure(f Figure) {
	text := fmt.Sprintf("%-50s %s", f.Name, f.Text)
	if f.Known && (f.Low != f.Value || f.High != f.Value) {
		if low, high := show(f.Low, f.Unit), show(f.High, f.Unit); low != f.Text || high != f.Text {
			text += "   (" + low + " to " + high + ")"
		}
	}
	if !f.Known && len(f.Missing) > 0 {
		text += ", find out: " + s.misses(f.Missing)
	}
	s.wrap("  ", strings.Repeat(" ", 53), text)
	if s.working && f.Known {
		s.how(f)
	}
}

// how writes a figure's working: formula, what went in, source and margin. What
// was written out before is not repeated, only what went in of the survey.
func (s *sheet) how(f Figure) {
	key := f.Key + f.Formula + f.Source + f.Margin
	fresh := !s.told[key]
	s.told[key] = true
	const first, next = "      ", "        "
	if f.Formula != "" && fresh {
		s.wrap(first, next, "= "+f.Formula)
	}
	if from := s.inputs(f); from != "" && (fresh || measured(f)) && from != s.last {
		s.wrap(first, next, "from "+from)
		s.last = from
	}
	if !fresh {
		return
	}
	if f.Source != "" {
		s.wrap(first, next, "source: "+f.Source)
	}
	if f.Margin != "" {
		s.wrap(first, next, "margin: "+f.Margin)
	}
}

// measured says whether values of the survey went into a figure.
func measured(f Figure) bool {
	for _, in := range f.Inputs {
		if in.Known != "" {
			return true
		}
	}
	return false
}

// inputs joins what went into a figure. Things of which the same is said share
// it; a way of knowing that all values of a thing share is said once.
func (s *sheet) inputs(f Figure) string {
	var groups []said
	for i := 0; i < len(f.Inputs); {
		j := i + 1
		for j < len(f.Inputs) && f.Inputs[j].Subject == f.Inputs[i].Subject {
			j++
		}
		g := said{text: values(f.Inputs[i:j])}
		if id := f.Inputs[i].Subject; id != "" && id != f.About {
			g.names = []string{s.name(id)}
		}
		groups = joinSaid(groups, g)
		i = j
	}
	var b strings.Builder
	for i, g := range groups {
		if i > 0 {
			b.WriteString("; ")
		}
		if len(g.names) > 0 {
			b.WriteString(strings.Join(g.names, " and ") + ": ")
		}
		b.WriteString(g.text)
	}
	return b.String()
}

// said is what is said of some things.
type said struct {
	names []string
	text  string
}

func joinSaid(groups []said, g said) []said {
	for i, have := range groups {
		if have.text == g.text && len(have.names) > 0 && len(g.names) > 0 {
			groups[i].names = append(groups[i].names, g.names...)
			return groups
		}
	}
	return append(groups, g)
}

// values joins the values of one thing.
func values(list []Input) string {
	same := len(list) > 1
	for _, in := range list {
		same = same && in.Known == list[0].Known
	}
	var b strings.Builder
	for i, in := range list {
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(lower(in.Name) + " " + in.Text)
		if in.Known != "" && (!same || i == len(list)-1) {
			b.WriteString(" (" + strings.ReplaceAll(string(in.Known), "_", " ") + ")")
		}
	}
	return b.String()
}

// lower writes the first letter small.
func lower(text string) string {
	if text != "" && text[0] >= 'A' && text[0] <= 'Z' {
		return string(text[0]+'a'-'A') + text[1:]
	}
	return text
}

// misses joins what is missing, each thing's name once.
func (s *sheet) misses(list []Miss) string {
	var b strings.Builder
	last := ""
	for i, m := range list {
		if i > 0 {
			b.WriteString("; ")
		}
		name := s.names[m.Subject]
		if name != "" && name == last {
			b.WriteString(strings.ToLower(strings.TrimPrefix(m.Text, name+": ")))
		} else {
			b.WriteString(m.Text)
		}
		last = name
	}
	return b.String()
}
