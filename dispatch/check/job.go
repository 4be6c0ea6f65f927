package check

import (
	"fmt"

	"ebbline/dispatch/week"
)

// placed wants each job in the plan as a whole, or left out as a whole.
func (c *checker) placed(j *week.Job) {
	if c.out[j.ID] {
		if j.Begun {
			c.note(Broken{Rule: RulePlaced, Job: j.ID, Text: c.jobName(j) + " has begun and may not be left out."})
		}
		for n := range j.Visits {
			if s, ok := c.planned(j.Visits[n].ID); ok {
				c.note(Broken{Rule: RulePlaced, Tour: s.tour.ID, Visit: s.Visit, Job: j.ID, At: s.Start,
					Text: fmt.Sprintf("%s is listed as left out, and yet %s makes its visit %s.", c.jobName(j), c.tourName(s.tour.Tour), c.visitName(s.visit))})
			}
		}
		return
	}
	for n := range j.Visits {
		v := &j.Visits[n]
		_, planned := c.planned(v.ID)
		if planned == (c.owed[v.ID] != nil) {
			text := "%s: its visit %s is neither in the plan nor owed, and the job is not left out."
			if planned {
				text = "%s: its visit %s is in the plan and listed as owed as well."
			}
			c.note(Broken{Rule: RulePlaced, Visit: v.ID, Job: j.ID, Text: fmt.Sprintf(text, c.jobName(j), c.visitName(v))})
		}
	}
}

// chain wants each visit after the end of the one before it, unless a link names both.
func (c *checker) chain(j *week.Job) {
	for n := 1; n < len(j.Visits); n++ {
		before, v := &j.Visits[n-1], &j.Visits[n]
		if linked(j, before.ID, v.ID) {
			continue
		}
		s, ok := c.planned(v.ID)
		if !ok || s.begun {
			continue
		}
		if c.owed[before.ID] != nil {
			c.note(Broken{Rule: RuleChain, Tour: s.tour.ID, Visit: v.ID, Job: j.ID, At: s.Start,
				Text: fmt.Sprintf("%s is in the plan, and %s before it is owed.", c.visitName(v), c.visitName(before))})
		}
		if b, ok := c.planned(before.ID); ok && s.Start < b.End {
			c.note(Broken{Rule: RuleChain, Tour: s.tour.ID, Visit: v.ID, Job: j.ID, At: s.Start, By: b.End - s.Start, Unit: "seconds",
				Text: fmt.Sprintf("%s starts %s, before %s has ended (%s).", c.visitName(v), c.clock(s.Start), c.visitName(before), c.clock(b.End))})
		}
	}
}

func linked(j *week.Job, a, b string) bool {
	for _, l := range j.Links {
		if (l.From == a && l.To == b) || (l.From == b && l.To == a) {
			return true
		}
	}
	return false
}

// links wants every link between two planned visits to hold.
func (c *checker) links(j *week.Job) {
	for _, l := range j.Links {
		a, okA := c.planned(l.From)
		b, okB := c.planned(l.To)
		if !okA || !okB || (a.begun && b.begun) {
			continue
		}
		from, word := a.Start, "the start"
		if l.FromEnd {
			from, word = a.End, "the end"
		}
		gap := b.Start - from
		if l.Lo != nil && gap < *l.Lo {
			c.note(Broken{Rule: RuleLink, Tour: b.tour.ID, Visit: l.To, Job: j.ID, At: b.Start, By: *l.Lo - gap, Unit: "seconds",
				Text: fmt.Sprintf("%s starts %s after %s of %s; at least %s is wanted.", c.visitName(b.visit), length(gap), word, c.visitName(a.visit), length(*l.Lo))})
		}
		if l.Hi != nil && gap > *l.Hi {
			broken := Broken{Rule: RuleLink, Tour: b.tour.ID, Visit: l.To, Job: j.ID, At: b.Start, By: gap - *l.Hi, Unit: "seconds",
				Text: fmt.Sprintf("%s starts %s after %s of %s; at most %s is allowed.", c.visitName(b.visit), length(gap), word, c.visitName(a.visit), length(*l.Hi))}
			if b.visit.MayOwe {
				broken.Break = week.BreakCommission
			}
			c.note(broken)
		}
	}
}

// owes tests what the plan leaves for after the horizon.
func (c *checker) owes(j *week.Job) {
	for n := range j.Visits {
		v := &j.Visits[n]
		o := c.owed[v.ID]
		if o == nil {
			continue
		}
		bad := func(kind string, by int64, text string, args ...any) {
			c.note(Broken{Rule: RuleOwed, Break: kind, Visit: v.ID, Job: j.ID, By: by, Unit: "seconds", Text: c.visitName(v) + " is owed, " + fmt.Sprintf(text, args...)})
		}
		if c.out[j.ID] {
			bad("", 0, "and its job is left out.")
			continue
		}
		if !v.MayOwe && !j.Begun {
			bad("", 0, "but it may not be left for after the horizon.")
		}
		if v.Pin != nil || c.isFrozen(v.ID) {
			c.note(Broken{Rule: RulePin, Break: week.BreakPin, Visit: v.ID, Job: j.ID, Text: c.visitName(v) + " is pinned, and the plan leaves it for after the horizon."})
		}
		latest := c.latest(j, v)
		if latest != nil && *latest < c.w.NextWorkday.End {
			bad(week.BreakCommission, c.w.NextWorkday.End-*latest, "but its latest start (%+d s) lies before the first working day after the horizon has ended (%+d s).", *latest, c.w.NextWorkday.End)
		}
		if !same(latest, o.Latest) {
			c.note(Broken{Rule: RuleStated, Visit: v.ID, Job: j.ID, Text: fmt.Sprintf("%s is owed with latest start %s; the plan says %s.", c.visitName(v), maybe(latest), maybe(o.Latest))})
		}
	}
}

// latest is the latest start of an owed visit; nil if nothing bounds it.
func (c *checker) latest(j *week.Job, v *week.Visit) *int64 {
	var least *int64
	bound := func(t int64) {
		if least == nil || t < *least {
			least = &t
		}
	}
	if j.NotAfter != nil {
		bound(*j.NotAfter - v.Seconds)
	}
	for _, l := range j.Links {
		a, ok := c.planned(l.From)
		if l.To != v.ID || l.Hi == nil || !ok {
			continue
		}
		if l.FromEnd {
			bound(a.End + *l.Hi)
		} else {
			bound(a.Start + *l.Hi)
		}
	}
	return least
}

// conversion is the latest end of a job's visits without MayOwe; false if the plan
// does not make them all, or there are none.
func (c *checker) conversion(j *week.Job) (at int64, whole, any bool) {
	whole = true
	for n := range j.Visits {
		if j.Visits[n].MayOwe {
			continue
		}
		s, ok := c.planned(j.Visits[n].ID)
		if !ok {
			return 0, false, true
		}
		if !any || s.End > at {
			at = s.End
		}
		any = true
	}
	return at, whole, any
}

func same(a, b *int64) bool {
	return (a == nil) == (b == nil) && (a == nil || *a == *b)
}

func maybe(t *int64) string {
	if t == nil {
		return "open"
	}
	return fmt.Sprintf("%d", *t)
}
