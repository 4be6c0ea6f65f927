package check

import (
	"fmt"
	"slices"

	"ebbline/dispatch/week"
)

// fit wants each visit that has not begun to suit its crew, its hours and its place.
func (c *checker) fit(t tour) {
	for k := t.past; k < len(t.plan.Stops); k++ {
		s := c.stops[t.plan.Stops[k].Visit]
		v := s.visit
		for _, skill := range v.Skills {
			if !slices.Contains(t.Skills, skill) {
				c.note(Broken{Rule: RuleSkills, Tour: t.ID, Visit: v.ID, At: s.Start,
					Text: fmt.Sprintf("%s needs %s, which %s does not have.", c.visitName(v), c.skillName(skill), c.tourName(t.Tour))})
			}
		}
		if t.People < v.People {
			c.note(Broken{Rule: RulePeople, Tour: t.ID, Visit: v.ID, At: s.Start, By: int64(v.People - t.People), Unit: "people",
				Text: fmt.Sprintf("%s needs %d people; %s has %d.", c.visitName(v), v.People, c.tourName(t.Tour), t.People)})
		}
		c.allowed(s)
		c.jobLimits(s)
		c.closed(s)
		c.pinned(s)
	}
}

func (c *checker) skillName(id string) string {
	for _, s := range c.w.Skills {
		if s.ID == id {
			return called(s.Label, id)
		}
	}
	return id
}

// allowed wants the start, and the end where it must, inside one of the visit's spans.
func (c *checker) allowed(s stop) {
	v := s.visit
	if len(v.Allowed) == 0 {
		return
	}
	for _, span := range v.Allowed {
		if span.From <= s.Start && s.Start <= span.To {
			if v.EndInside && s.End > span.To {
				c.note(Broken{Rule: RuleAllowed, Break: week.BreakAvailability, Tour: s.tour.ID, Visit: v.ID, At: s.End, By: s.End - span.To, Unit: "seconds",
					Text: fmt.Sprintf("%s ends %s, %s after its allowed hours (%s).", c.visitName(v), c.clock(s.End), length(s.End-span.To), c.clock(span.To))})
			}
			return
		}
	}
	c.note(Broken{Rule: RuleAllowed, Break: week.BreakAvailability, Tour: s.tour.ID, Visit: v.ID, At: s.Start, By: outside(v.Allowed, s.Start), Unit: "seconds",
		Text: fmt.Sprintf("%s starts %s, outside of its allowed hours.", c.visitName(v), c.clock(s.Start))})
}

// outside is the distance from an instant to the nearest of the spans.
func outside(spans []week.Span, at int64) int64 {
	best := int64(-1)
	for _, s := range spans {
		by := max(s.From-at, at-s.To, 0)
		if best < 0 || by < best {
			best = by
		}
	}
	return best
}

func (c *checker) jobLimits(s stop) {
	j := c.jobOf(s.visit)
	if j.NotBefore != nil && s.Start < *j.NotBefore {
		c.note(Broken{Rule: RuleNotBefore, Break: week.BreakAvailability, Tour: s.tour.ID, Visit: s.visit.ID, Job: j.ID, At: s.Start, By: *j.NotBefore - s.Start, Unit: "seconds",
			Text: fmt.Sprintf("%s starts %s; its job may not begin before %s.", c.visitName(s.visit), c.clock(s.Start), c.clock(*j.NotBefore))})
	}
	if j.NotAfter != nil && s.End > *j.NotAfter {
		c.note(Broken{Rule: RuleNotAfter, Break: week.BreakAvailability, Tour: s.tour.ID, Visit: s.visit.ID, Job: j.ID, At: s.End, By: s.End - *j.NotAfter, Unit: "seconds",
			Text: fmt.Sprintf("%s ends %s; its job must be over by %s.", c.visitName(s.visit), c.clock(s.End), c.clock(*j.NotAfter))})
	}
}

// shuts says whether a closure holds at a place.
func (c *checker) shuts(k *week.Closure, place string) bool {
	return k.All || (k.Place != "" && k.Place == place) || (k.Area != "" && k.Area == c.w.Places[c.ix.Place[place]].Area)
}

func (c *checker) closed(s stop) {
	for i := range c.w.Closures {
		k := &c.w.Closures[i]
		if n := overlap(s.Start, s.End, k.From, k.To); n > 0 && c.shuts(k, s.visit.Place) {
			c.note(Broken{Rule: RuleClosure, Break: week.BreakAvailability, Tour: s.tour.ID, Visit: s.visit.ID, At: s.Start, By: n, Unit: "seconds",
				Text: fmt.Sprintf("%s and the closure %s (%s to %s) overlap by %s.", c.visitName(s.visit), called(k.Label, k.ID), c.clock(k.From), c.clock(k.To), length(n))})
		}
	}
}

func (c *checker) pinned(s stop) {
	pin := s.visit.Pin
	if pin == nil {
		return
	}
	bad := func(by int64, unit, text string, args ...any) {
		c.note(Broken{Rule: RulePin, Break: week.BreakPin, Tour: s.tour.ID, Visit: s.visit.ID, At: s.Start, By: by, Unit: unit,
			Text: c.visitName(s.visit) + " is pinned " + fmt.Sprintf(text, args...)})
	}
	if pin.Tour != "" && pin.Tour != s.tour.ID {
		bad(0, "", "to %s, and the plan has it on %s.", c.tourName(&c.w.Tours[c.ix.Tour[pin.Tour]]), c.tourName(s.tour.Tour))
	}
	if pin.Day != nil && *pin.Day != s.tour.Day {
		bad(0, "", "to %s, and the plan has it on %s.", c.w.Days[*pin.Day].Date, c.w.Days[s.tour.Day].Date)
	}
	if pin.Start != nil && *pin.Start != s.Start {
		bad(max(*pin.Start-s.Start, s.Start-*pin.Start), "seconds", "to start %s, and the plan starts it %s.", c.clock(*pin.Start), c.clock(s.Start))
	}
}

// order wants the tour's stops after the begun ones to begin with its frozen visits;
// a frozen visit of a job that is left out is passed over.
func (c *checker) order(t tour) {
	k := t.past
	for _, id := range t.Frozen {
		if c.out[c.w.Jobs[c.ix.Visit[id].Job].ID] {
			continue
		}
		if k >= len(t.plan.Stops) || t.plan.Stops[k].Visit != id {
			c.note(Broken{Rule: RulePin, Break: week.BreakPin, Tour: t.ID,
				Text: fmt.Sprintf("%s: its order is frozen, and stop %d should be %s.", c.tourName(t.Tour), k+1, c.visitName(c.visitOf(id)))})
			return
		}
		k++
	}
}

func (c *checker) visitOf(id string) *week.Visit {
	at := c.ix.Visit[id]
	return &c.w.Jobs[at.Job].Visits[at.Number]
}
