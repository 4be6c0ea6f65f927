package check

import (
	"fmt"

	"ebbline/dispatch/week"
)

// tells tests the interval in which a customer is told to start the drain.
func (c *checker) tells(j *week.Job) {
	t := c.told[j.ID]
	wanted := j.Water != nil && j.Water.Customer != nil && !c.out[j.ID]
	if first := firstLow(j); wanted && first != nil {
		_, wanted = c.planned(first.ID)
	}
	bad := func(at, by int64, text string, args ...any) {
		c.note(Broken{Rule: RuleTold, Job: j.ID, At: at, By: by, Unit: "seconds", Text: c.jobName(j) + ": " + fmt.Sprintf(text, args...)})
	}
	switch {
	case t == nil && wanted:
		bad(0, 0, "its customer drains the pool and is not told when.")
	case t != nil && !wanted:
		bad(t.Earliest, 0, "an interval is told, but no customer is to drain this pool in this plan.")
	}
	if t == nil || !wanted {
		return
	}
	if t.Latest < t.Earliest {
		bad(t.Earliest, t.Earliest-t.Latest, "the told interval ends before it starts.")
	}
	k := j.Water.Customer
	if k.Sent != nil && k.Sent.Earliest == t.Earliest && k.Sent.Latest == t.Latest {
		return
	}
	if t.Latest-t.Earliest < k.Width {
		bad(t.Earliest, k.Width-(t.Latest-t.Earliest), "the told interval is %s wide; at least %s is wanted.", length(t.Latest-t.Earliest), length(k.Width))
	}
	inside := false
	for _, h := range k.Hours {
		inside = inside || (h.From <= t.Earliest && t.Latest <= h.To)
	}
	if !inside {
		bad(t.Earliest, 0, "the told interval, %s to %s, does not lie inside the customer's hours.", c.clock(t.Earliest), c.clock(t.Latest))
	}
	c.noticed(k, t, bad)
}

// noticed wants the lead between the next hour in which a notice may be sent and the
// start of the interval.
func (c *checker) noticed(k *week.Customer, t *week.Told, bad func(at, by int64, text string, args ...any)) {
	if t.Earliest < c.w.T0 {
		bad(t.Earliest, c.w.T0-t.Earliest, "the told interval begins %s, before now (%s).", c.clock(t.Earliest), c.clock(c.w.T0))
	}
	for _, h := range k.NoticeHours { // rising, so the first that has not ended holds the instant
		if h.To < c.w.T0 {
			continue
		}
		send := max(h.From, c.w.T0)
		if t.Earliest < send+k.Lead {
			bad(t.Earliest, send+k.Lead-t.Earliest, "the told interval begins %s; a notice can be sent %s, and the customer needs %s.", c.clock(t.Earliest), c.clock(send), length(k.Lead))
		}
		return
	}
	bad(t.Earliest, 0, "an interval is told, but no notice can be sent any more.")
}

// movedTold counts a sent interval that the plan does not keep.
func (c *checker) movedTold(j *week.Job) int64 {
	if j.Water == nil || j.Water.Customer == nil || j.Water.Customer.Sent == nil {
		return 0
	}
	sent, t := j.Water.Customer.Sent, c.told[j.ID]
	if t != nil && t.Earliest == sent.Earliest && t.Latest == sent.Latest {
		return 0
	}
	return 1
}
