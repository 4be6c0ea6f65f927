package estimate

// conduit writes one conduit: the verdict as a sentence, which end to pull from,
// what to allow for, and its figures; of the ways only the one the cord goes.
func (s *sheet) conduit(c Conduit) {
	s.line("%s, %s: %s", c.Name, plural(c.Lights, "light"), c.Text)
	if c.Why != "" {
		s.line("    %s.", upper(c.Why))
	}
	if c.Hint != "" {
		s.line("    %s.", upper(c.Hint))
	}
	s.figures(c.own()...)
	if w, ok := c.cordWay(); ok {
		figures := w.figures()
		s.figures(figures[:]...)
	}
}

// upper writes a sentence's first letter large.
func upper(text string) string {
	if text != "" && text[0] >= 'a' && text[0] <= 'z' {
		return string(text[0]-'a'+'A') + text[1:]
	}
	return text
}
