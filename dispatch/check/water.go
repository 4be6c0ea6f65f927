package check

import (
	"fmt"

	"ebbline/dispatch/week"
)

// water wants each visit to find the pool as it needs it, and the pool covered again
// before its limit.
func (c *checker) water(j *week.Job) {
	if j.Water == nil || c.out[j.ID] {
		return
	}
	k := c.clocksOf(j)
	for n := range j.Visits {
		s, ok := c.planned(j.Visits[n].ID)
		if !ok || s.begun {
			continue
		}
		switch s.visit.Water {
		case week.NeedLow:
			c.low(j, k, s)
		case week.NeedCovered:
			c.covered(j, k, s)
		}
	}
	c.lowLimit(j, k)
	c.statedWater(j, k)
}

// tooEarly notes a visit that starts before the water is ready.
func (c *checker) tooEarly(rule string, j *week.Job, s stop, ready int64, what string) {
	c.note(Broken{Rule: rule, Tour: s.tour.ID, Visit: s.Visit, Job: j.ID, At: s.Start, By: ready - s.Start, Unit: "seconds",
		Text: fmt.Sprintf("%s starts %s; %s %s.", c.visitName(s.visit), c.clock(s.Start), what, c.clock(ready))})
}

// unread notes a table that has no value where a rule needs one.
func (c *checker) unread(rule, kind string, j *week.Job, table string, at int64) {
	c.note(Broken{Rule: rule, Break: kind, Job: j.ID, At: at,
		Text: fmt.Sprintf("%s: its table %s says nothing about %s.", c.jobName(j), table, c.clock(at))})
}

func (c *checker) low(j *week.Job, k clocks, s stop) {
	w := j.Water
	switch {
	case w.Way == week.WayWindow:
		if s.Start < w.Window.From {
			c.tooEarly(RuleLow, j, s, w.Window.From, "the pool is low from")
		}
		if s.End > w.Window.To {
			c.note(Broken{Rule: RuleLow, Tour: s.tour.ID, Visit: s.Visit, Job: j.ID, At: s.End, By: s.End - w.Window.To, Unit: "seconds",
				Text: fmt.Sprintf("%s ends %s; the pool is low only until %s.", c.visitName(s.visit), c.clock(s.End), c.clock(w.Window.To))})
		}
	case w.Way == week.WayArrival && w.DrainedAt == nil:
		c.lowOnArrival(j, s)
	case w.Way == week.WayArrival:
		// Drained by an earlier visit; nothing to wait for.
	case !k.drains:
		c.note(Broken{Rule: RuleLow, Tour: s.tour.ID, Visit: s.Visit, Job: j.ID, At: s.Start,
			Text: fmt.Sprintf("%s needs low water, and nothing in the plan drains the pool.", c.visitName(s.visit))})
	default:
		low, ok := value(w.LowLate, k.late)
		if !ok {
			c.unread(RuleLow, "", j, "low_late", k.late)
		} else if s.Start < low {
			c.tooEarly(RuleLow, j, s, low, "the pool is surely low at")
		}
	}
}

// lowOnArrival wants the draining inside water hours, and later visits after the first.
func (c *checker) lowOnArrival(j *week.Job, s stop) {
	first := firstLow(j)
	if first.ID != s.Visit {
		if f, ok := c.planned(first.ID); ok && s.Start < f.End {
			c.tooEarly(RuleLow, j, s, f.End, "the visit that drains the pool ends")
		}
		return
	}
	from, to := s.Start, s.Start+j.Water.ArrivalSeconds
	inside := false
	for _, h := range c.w.WaterHours {
		inside = inside || (h.From <= from && to <= h.To)
	}
	if !inside {
		c.note(Broken{Rule: RuleArrival, Tour: s.tour.ID, Visit: s.Visit, Job: j.ID, At: from,
			Text: fmt.Sprintf("%s drains from %s to %s, which does not lie inside water hours.", c.visitName(s.visit), c.clock(from), c.clock(to))})
	}
	for i := range c.w.Closures {
		k := &c.w.Closures[i]
		if n := overlap(from, to, k.From, k.To); k.StopsPumping && n > 0 && c.shuts(k, s.visit.Place) {
			c.note(Broken{Rule: RuleArrival, Tour: s.tour.ID, Visit: s.Visit, Job: j.ID, At: from, By: n, Unit: "seconds",
				Text: fmt.Sprintf("%s drains while %s stops pumping, for %s.", c.visitName(s.visit), called(k.Label, k.ID), length(n))})
		}
	}
}

func (c *checker) covered(j *week.Job, k clocks, s stop) {
	w := j.Water
	if w.Way == week.WayWindow && len(w.Covered) == 0 {
		if s.Start < w.Window.To {
			c.tooEarly(RuleCovered, j, s, w.Window.To, "the lights are under water again at")
		}
		return
	}
	if !k.fills {
		c.note(Broken{Rule: RuleCovered, Tour: s.tour.ID, Visit: s.Visit, Job: j.ID, At: s.Start,
			Text: fmt.Sprintf("%s needs covered water, and the plan does not end the work that keeps it low.", c.visitName(s.visit))})
		return
	}
	ready, ok := value(w.Covered, k.fill)
	if !ok {
		c.unread(RuleCovered, "", j, "covered", k.fill)
	} else if s.Start < ready {
		c.tooEarly(RuleCovered, j, s, ready, "the lights are under water again at")
	}
}

// lowLimit wants the pool covered before it has been low too long.
func (c *checker) lowLimit(j *week.Job, k clocks) {
	w := j.Water
	if w.Way == week.WayWindow || !k.drains || (k.drainsFact && k.fillsFact) || (!k.fills && !k.owesLow) {
		return
	}
	low, ok := value(w.LowEarly, k.early)
	if !ok {
		c.unread(RuleLowLimit, week.BreakLowLimit, j, "low_early", k.early)
		return
	}
	limit, ok := value(w.LowLimit, low)
	if !ok {
		c.unread(RuleLowLimit, week.BreakLowLimit, j, "low_limit", low)
		return
	}
	over := c.w.NextWorkday.End
	if k.fills {
		if over, ok = value(w.Covered, k.fill); !ok {
			c.unread(RuleLowLimit, week.BreakLowLimit, j, "covered", k.fill)
			return
		}
	}
	if over > limit {
		c.note(Broken{Rule: RuleLowLimit, Break: week.BreakLowLimit, Job: j.ID, At: over, By: over - limit, Unit: "seconds",
			Text: fmt.Sprintf("%s may be low from %s and must be covered by %s; the plan has it covered %s, %s too late.", c.jobName(j),
				c.clock(low), c.clock(limit), c.clock(over), length(over-limit))})
	}
}

// lowSeconds is how long a pool may be low by the plan, for the low head.
func (c *checker) lowSeconds(j *week.Job) int64 {
	if j.Water == nil || j.Water.Way == week.WayWindow || c.out[j.ID] {
		return 0
	}
	k := c.clocksOf(j)
	if !k.drains {
		return 0
	}
	low, okLow := value(j.Water.LowEarly, k.early)
	until, okUntil := c.w.NextWorkday.End, k.owesLow
	if k.fills {
		until, okUntil = value(j.Water.Covered, k.fill)
	}
	if !okLow || !okUntil {
		return 0
	}
	return until - low
}

// statedWater compares what the plan says of a pool with its tables.
func (c *checker) statedWater(j *week.Job, k clocks) {
	w := j.Water
	for _, p := range c.p.Water {
		if p.Job != j.ID {
			continue
		}
		want := week.PlanWater{Job: j.ID}
		if k.drains {
			want.MayBeLow, want.SurelyLow = read(w.LowEarly, k.early), read(w.LowLate, k.late)
			if want.MayBeLow != nil {
				want.Limit = read(w.LowLimit, *want.MayBeLow)
			}
		}
		if k.fills {
			want.FillFrom, want.CoveredBy = &k.fill, read(w.Covered, k.fill)
		}
		for _, f := range []struct {
			name      string
			got, want *int64
		}{{"may_be_low", p.MayBeLow, want.MayBeLow}, {"surely_low", p.SurelyLow, want.SurelyLow}, {"fill_from", p.FillFrom, want.FillFrom},
			{"covered_by", p.CoveredBy, want.CoveredBy}, {"limit", p.Limit, want.Limit}} {
			if f.got != nil && !same(f.got, f.want) {
				c.note(Broken{Rule: RuleStated, Job: j.ID, Text: fmt.Sprintf("%s: the plan states %s %s; by its tables it is %s.", c.jobName(j), f.name, maybe(f.got), maybe(f.want))})
			}
		}
	}
}

func read(t week.Table, x int64) *int64 {
	if y, ok := value(t, x); ok {
		return &y
	}
	return nil
}
