package check

import (
	"fmt"

	"ebbline/dispatch/week"
)

// begun wants a begun tour to repeat what has happened.
func (c *checker) begun(t tour) {
	b := t.Begun
	if b == nil {
		return
	}
	bad := func(visit, text string, args ...any) {
		c.note(Broken{Rule: RuleBegun, Tour: t.ID, Visit: visit, Text: c.tourName(t.Tour) + " has begun: " + fmt.Sprintf(text, args...)})
	}
	for k := range b.Stops {
		real := b.Stops[k]
		if k >= len(t.plan.Stops) {
			bad(real.Visit, "its stop %d was visit %q, which the plan does not repeat.", k+1, real.Visit)
			continue
		}
		got := t.plan.Stops[k]
		if got.Visit != real.Visit || got.Leave != real.Leave || got.Arrive != real.Arrive || got.Start != real.Start || got.End != real.End {
			bad(real.Visit, "its stop %d was visit %q from %s to %s, and the plan says otherwise.", k+1, real.Visit, c.clock(real.Start), c.clock(real.End))
		}
	}
	if t.plan.Depart != b.Depart {
		bad("", "it departed %s, and the plan says %s.", c.clock(b.Depart), c.clock(t.plan.Depart))
	}
	if t.plan.Load != b.Load {
		bad("", "it left with %d pumps, and the plan says %d.", b.Load, t.plan.Load)
	}
	if b.LunchStart != nil && (t.plan.Lunch == nil || t.plan.Lunch.Start != *b.LunchStart || t.plan.Lunch.Inside != b.LunchInside) {
		bad("", "lunch was taken %s, and the plan says otherwise.", c.clock(*b.LunchStart))
	}
	if b.Returned != nil {
		if t.plan.Return != *b.Returned {
			bad("", "it returned %s, and the plan says %s.", c.clock(*b.Returned), c.clock(t.plan.Return))
		}
		if len(t.plan.Stops) > len(b.Stops) {
			bad(t.plan.Stops[len(b.Stops)].Visit, "it returned %s and takes no more stops.", c.clock(*b.Returned))
		}
	}
}

// drives walks the tour from place to place.
func (c *checker) drives(t tour) {
	place, free, known := t.Start, t.plan.Depart, "departs"
	if t.Begun == nil && t.plan.Depart < c.w.T0 {
		c.late(RuleBeforeNow, t, "", t.plan.Depart, c.w.T0, "departs %s, before now (%s)")
	}
	if t.Begun != nil {
		place, free, known = t.Begun.Place, max(t.Begun.FreeAt, c.w.T0), "is free"
	}
	for k := t.past; k < len(t.plan.Stops); k++ {
		s := &t.plan.Stops[k]
		v := c.stops[s.Visit].visit
		if s.Leave < free {
			c.late(RuleDrive, t, v.ID, s.Leave, free, "leaves for "+c.visitName(v)+" %s, before it "+known+" (%s)")
		}
		if s.Leave < c.w.T0 {
			c.late(RuleBeforeNow, t, v.ID, s.Leave, c.w.T0, "leaves for "+c.visitName(v)+" %s, before now (%s)")
		}
		if arrive := drive(c.w.Travel.Periods, s.Leave, c.seconds(place, v.Place)); s.Arrive != arrive {
			c.note(Broken{Rule: RuleDrive, Tour: t.ID, Visit: v.ID, At: s.Arrive, By: arrive - s.Arrive, Unit: "seconds",
				Text: fmt.Sprintf("%s leaves %s for %s at %s and is there at %s; the plan says %s.", c.tourName(t.Tour),
					c.placeName(place), c.placeName(v.Place), c.clock(s.Leave), c.clock(arrive), c.clock(s.Arrive))})
		}
		place, free, known = v.Place, s.End, "has ended "+c.visitName(v)
	}
	if t.Begun != nil && t.Begun.Returned != nil {
		return
	}
	if t.plan.HeadHome < free {
		c.late(RuleDrive, t, "", t.plan.HeadHome, free, "heads home %s, before it "+known+" (%s)")
	}
	if home := drive(c.w.Travel.Periods, t.plan.HeadHome, c.seconds(place, t.End)); t.plan.Return != home {
		c.note(Broken{Rule: RuleDrive, Tour: t.ID, At: t.plan.Return, By: home - t.plan.Return, Unit: "seconds",
			Text: fmt.Sprintf("%s heads home at %s and is there at %s; the plan says %s.", c.tourName(t.Tour),
				c.clock(t.plan.HeadHome), c.clock(home), c.clock(t.plan.Return))})
	}
}

// late notes something that happens at an instant before the one it has to wait for;
// format has two places for clock times.
func (c *checker) late(rule string, t tour, visit string, at, least int64, format string) {
	c.note(Broken{Rule: rule, Tour: t.ID, Visit: visit, At: at, By: least - at, Unit: "seconds",
		Text: c.tourName(t.Tour) + " " + fmt.Sprintf(format, c.clock(at), c.clock(least)) + "."})
}

// work wants each visit after its arrival and as long as it takes.
func (c *checker) work(t tour) {
	for k := t.past; k < len(t.plan.Stops); k++ {
		s := &t.plan.Stops[k]
		v := c.stops[s.Visit].visit
		if s.Start < s.Arrive {
			c.late(RuleWork, t, v.ID, s.Start, s.Arrive, "starts "+c.visitName(v)+" %s, before it arrives (%s)")
		}
		if s.Start < c.w.T0 {
			c.late(RuleBeforeNow, t, v.ID, s.Start, c.w.T0, "starts "+c.visitName(v)+" %s, before now (%s)")
		}
		end := s.Start + v.Seconds
		if l := t.plan.Lunch; l != nil && l.Inside == v.ID && t.Lunch != nil {
			end += t.Lunch.Seconds
		}
		if s.End != end {
			c.note(Broken{Rule: RuleWork, Tour: t.ID, Visit: v.ID, At: s.End, By: end - s.End, Unit: "seconds",
				Text: fmt.Sprintf("%s starts %s at %s and ends it at %s; the plan says %s.", c.tourName(t.Tour), c.visitName(v),
					c.clock(s.Start), c.clock(end), c.clock(s.End))})
		}
		if s.Start < 0 || s.End > c.w.End {
			c.note(Broken{Rule: RuleHorizon, Tour: t.ID, Visit: v.ID, At: s.Start, By: max(-s.Start, s.End-c.w.End), Unit: "seconds",
				Text: fmt.Sprintf("%s lies outside of the horizon's days.", c.visitName(v))})
		}
	}
}

// shift wants departure and return inside shift and overtime.
func (c *checker) shift(t tour) {
	if t.Begun == nil && t.plan.Depart < t.ShiftFrom {
		c.note(Broken{Rule: RuleShift, Break: week.BreakAvailability, Tour: t.ID, At: t.plan.Depart, By: t.ShiftFrom - t.plan.Depart, Unit: "seconds",
			Text: fmt.Sprintf("%s departs %s, %s before its shift begins.", c.tourName(t.Tour), c.clock(t.plan.Depart), length(t.ShiftFrom-t.plan.Depart))})
	}
	if (t.Begun == nil || t.Begun.Returned == nil) && t.plan.Return > t.OvertimeTo {
		c.note(Broken{Rule: RuleShift, Break: week.BreakAvailability, Tour: t.ID, At: t.plan.Return, By: t.plan.Return - t.OvertimeTo, Unit: "seconds",
			Text: fmt.Sprintf("%s returns %s, %s after the last overtime.", c.tourName(t.Tour), c.clock(t.plan.Return), length(t.plan.Return-t.OvertimeTo))})
	}
}

// crews wants no crew on two tours at once.
func (c *checker) crews() {
	for i, a := range c.tours {
		for _, b := range c.tours[i+1:] {
			if n := overlap(a.plan.Depart, a.plan.Return, b.plan.Depart, b.plan.Return); a.Crew == b.Crew && n > 0 {
				c.note(Broken{Rule: RuleCrew, Tour: b.ID, At: b.plan.Depart, By: n, Unit: "seconds",
					Text: fmt.Sprintf("Crew %s is on %s and on %s at once for %s.", a.Crew, c.tourName(a.Tour), c.tourName(b.Tour), length(n))})
			}
		}
	}
}
