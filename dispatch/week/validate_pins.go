package week

import (
	"fmt"
	"math"
)

// pinned is one pin of one visit: where it stands in the file, the tours that it
// leaves, and the span of starts that it leaves.
type pinned struct {
	path  string
	visit *Visit
	tour  string // "" if any
	day   int    // -1 if any
	span  Span
}

// pins reports pins that contradict each other, as pairs: the first is the path, the
// second stands in Want. It runs on weeks that are otherwise right.
func (c *checker) pins() {
	var list []pinned
	for j := range c.w.Jobs {
		for n := range c.w.Jobs[j].Visits {
			v := &c.w.Jobs[j].Visits[n]
			if v.Pin != nil && c.begun[v.ID] == "" {
				list = append(list, c.pinsOf(fmt.Sprintf("jobs[%d].visits[%d].pin", j, n), v)...)
			}
		}
	}
	for i := range c.w.Tours {
		t := &c.w.Tours[i]
		for k, id := range t.Frozen {
			list = append(list, pinned{fmt.Sprintf("tours[%d].frozen[%d]", i, k), c.visits[id], t.ID, t.Day, c.tourSpan(t, c.visits[id])})
		}
	}
	for i := range list {
		for k := i + 1; k < len(list); k++ {
			if why := c.clash(list[i], list[k]); why != "" {
				c.is(list[i].path, false, list[i].said(), "to agree with "+list[k].path+" = "+string(list[k].said())+": "+why)
			}
		}
	}
}

func (c *checker) pinsOf(path string, v *Visit) []pinned {
	var list []pinned
	if id := v.Pin.Tour; id != "" {
		t := c.tours[id]
		list = append(list, pinned{path + ".tour", v, id, t.Day, c.tourSpan(t, v)})
	}
	if d := v.Pin.Day; d != nil {
		list = append(list, pinned{path + ".day", v, "", *d, c.daySpan(*d, v)})
	}
	if s := v.Pin.Start; s != nil {
		list = append(list, pinned{path + ".start", v, "", -1, Span{*s, *s}})
	}
	return list
}

// tourSpan is where a visit of a tour can start at all.
func (c *checker) tourSpan(t *Tour, v *Visit) Span {
	return Span{t.ShiftFrom, t.OvertimeTo - v.Seconds}
}

// daySpan is where a visit of one of the day's tours can start; a day without tours
// leaves every start.
func (c *checker) daySpan(d int, v *Visit) Span {
	whole := Span{math.MinInt64 / 4, math.MaxInt64 / 4}
	s := Span{whole.To, whole.From}
	for i := range c.w.Tours {
		if t := &c.w.Tours[i]; t.Day == d {
			s.From, s.To = min(s.From, t.ShiftFrom), max(s.To, t.OvertimeTo-v.Seconds)
		}
	}
	if s.From > s.To {
		return whole
	}
	return s
}

func (p pinned) said() said {
	switch {
	case p.tour != "":
		return said(fmt.Sprintf("tour %s (day %d)", quote(p.tour), p.day))
	case p.day >= 0:
		return said(fmt.Sprintf("day %d", p.day))
	}
	return said(fmt.Sprint(p.span.From))
}

// clash says in words why two pins cannot both hold; "" if they may.
func (c *checker) clash(a, b pinned) string {
	if a.visit == b.visit {
		switch {
		case a.tour != "" && b.tour != "" && a.tour != b.tour:
			return "two tours"
		case a.day >= 0 && b.day >= 0 && a.day != b.day:
			return "two days"
		case a.span.From > b.span.To || b.span.From > a.span.To:
			return fmt.Sprintf("starts %d to %d and %d to %d do not meet", a.span.From, a.span.To, b.span.From, b.span.To)
		}
		return ""
	}
	if why := c.sameCrew(a, b); why != "" {
		return why
	}
	job := c.jobOf[a.visit.ID]
	if c.jobOf[b.visit.ID] != job {
		return ""
	}
	for _, k := range c.bounds(job) {
		from, to := &job.Visits[k.from], &job.Visits[k.to]
		if (from == a.visit && to == b.visit && b.span.To < a.span.From+k.by) ||
			(from == b.visit && to == a.visit && a.span.To < b.span.From+k.by) {
			return k.why + " of their job cannot hold"
		}
	}
	return ""
}

// sameCrew finds two exact starts of one crew's day that overlap or run against its
// frozen order. Which tour a start pin lies on is known from the visit's own pin of a
// tour, or from a frozen order.
func (c *checker) sameCrew(a, b pinned) string {
	if a.span.From != a.span.To || b.span.From != b.span.To {
		return ""
	}
	tour := c.tourOf(a.visit)
	if tour == "" || tour != c.tourOf(b.visit) {
		return ""
	}
	first, second := c.frozenAt(a.visit), c.frozenAt(b.visit)
	if frozen := first >= 0 && second >= 0; (frozen && first > second) || (!frozen && a.span.From > b.span.From) {
		a, b = b, a
	}
	if end := a.span.From + a.visit.Seconds; end > b.span.From {
		return fmt.Sprintf("both on tour %s, where visit %s comes first and ends at %d", quote(tour), quote(a.visit.ID), end)
	}
	return ""
}

// tourOf is the tour that a visit is pinned to; "" if none.
func (c *checker) tourOf(v *Visit) string {
	if v.Pin != nil && v.Pin.Tour != "" {
		return v.Pin.Tour
	}
	for i := range c.w.Tours {
		for _, id := range c.w.Tours[i].Frozen {
			if id == v.ID {
				return c.w.Tours[i].ID
			}
		}
	}
	return ""
}

// frozenAt is a visit's place in the frozen order of its tour; -1 if none.
func (c *checker) frozenAt(v *Visit) int {
	for i := range c.w.Tours {
		for k, id := range c.w.Tours[i].Frozen {
			if id == v.ID {
				return k
			}
		}
	}
	return -1
}
