package check

import "fmt"

// lunch wants a tour's break when it is due and where it may be.
func (c *checker) lunch(t tour) {
	l, taken := t.Lunch, t.plan.Lunch
	bad := func(at, by int64, text string, args ...any) {
		c.note(Broken{Rule: RuleLunch, Tour: t.ID, At: at, By: by, Unit: "seconds", Text: c.tourName(t.Tour) + ": " + fmt.Sprintf(text, args...)})
	}
	if l == nil {
		if taken != nil {
			bad(taken.Start, 0, "lunch is planned, but this tour has no lunch rule.")
		}
		return
	}
	if taken == nil {
		out := t.plan.Return - t.plan.Depart
		if returned := t.Begun != nil && t.Begun.Returned != nil; out > l.DueAfter && !returned {
			bad(t.plan.Return, out-l.DueAfter, "it is out for %s without lunch; lunch is due after %s.", length(out), length(l.DueAfter))
		}
		return
	}
	if t.Begun != nil && t.Begun.LunchStart != nil {
		return // a fact
	}
	from, to := taken.Start, taken.Start+l.Seconds
	if from < c.w.T0 {
		c.late(RuleBeforeNow, t, "", from, c.w.T0, "has lunch %s, before now (%s)")
	}
	if from < l.From {
		bad(from, l.From-from, "lunch begins %s, before %s.", c.clock(from), c.clock(l.From))
	}
	if from > l.To {
		bad(from, from-l.To, "lunch begins %s, after %s.", c.clock(from), c.clock(l.To))
	}
	if from < t.plan.Depart {
		bad(from, t.plan.Depart-from, "lunch begins before it departs.")
	}
	if to > t.plan.Return {
		bad(to, to-t.plan.Return, "lunch ends after it has returned.")
	}
	if t.Begun != nil && from < t.Begun.FreeAt {
		bad(from, t.Begun.FreeAt-from, "lunch begins %s, before the crew is free (%s).", c.clock(from), c.clock(t.Begun.FreeAt))
	}
	c.lunchPlace(t, from, to, bad)
}

// lunchPlace wants lunch clear of drives and visits, or inside one interruptible visit.
func (c *checker) lunchPlace(t tour, from, to int64, bad func(at, by int64, text string, args ...any)) {
	inside := t.plan.Lunch.Inside
	found := inside == ""
	for k := range t.plan.Stops {
		s := &t.plan.Stops[k]
		v := c.stops[s.Visit].visit
		if n := overlap(from, to, s.Leave, s.Arrive); n > 0 {
			bad(from, n, "lunch and the drive to %s overlap by %s.", c.visitName(v), length(n))
		}
		if v.ID != inside {
			if n := overlap(from, to, s.Start, s.End); n > 0 {
				bad(from, n, "lunch and %s overlap by %s.", c.visitName(v), length(n))
			}
			continue
		}
		found = true
		switch {
		case k < t.past:
			bad(from, 0, "lunch cannot lie inside %s, which has begun with a forecast end.", c.visitName(v))
		case !v.Interruptible:
			bad(from, 0, "lunch lies inside %s, which must not be interrupted.", c.visitName(v))
		case from < s.Start:
			bad(from, s.Start-from, "lunch inside %s begins before the visit.", c.visitName(v))
		case to > s.End:
			bad(from, to-s.End, "lunch inside %s ends after the visit.", c.visitName(v))
		}
	}
	if n := overlap(from, to, t.plan.HeadHome, t.plan.Return); n > 0 {
		bad(from, n, "lunch and the drive home overlap by %s.", length(n))
	}
	if !found {
		bad(from, 0, "lunch lies inside visit %q, which is not on this tour.", inside)
	}
}
