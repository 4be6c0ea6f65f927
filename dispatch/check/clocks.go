package check

import "ebbline/dispatch/week"

// clocks is the water clock of one job: when draining (d) and filling (e) begin.
type clocks struct {
	// early and late stand for d; they differ only where a customer drains.
	early, late int64
	drains      bool // d is known
	drainsFact  bool // and has happened
	fill        int64
	fills       bool // e is known
	fillsFact   bool // and has happened
	owesLow     bool // a visit that needs low water is owed
}

// clocksOf reads d and e of a job's water from the plan.
func (c *checker) clocksOf(j *week.Job) clocks {
	var k clocks
	c.drainOf(j, &k)
	c.fillOf(j, &k)
	return k
}

func (c *checker) drainOf(j *week.Job, k *clocks) {
	w := j.Water
	set := func(early, late int64, fact bool) {
		k.early, k.late, k.drains, k.drainsFact = early, late, true, fact
	}
	switch {
	case w.DrainedAt != nil:
		set(*w.DrainedAt, *w.DrainedAt, true)
	case w.Way == week.WayCustomer:
		if t := c.told[j.ID]; t != nil {
			set(t.Earliest, t.Latest, false)
		}
	case w.Way == week.WayArrival:
		if first := firstLow(j); first != nil {
			if s, ok := c.planned(first.ID); ok {
				set(s.Start, s.Start, s.begun)
			}
		}
	case w.DrainVisit != "":
		if s, ok := c.planned(w.DrainVisit); ok {
			set(s.End, s.End, s.begun)
		}
	}
}

func (c *checker) fillOf(j *week.Job, k *clocks) {
	if j.Water.FillFrom != nil {
		k.fill, k.fills, k.fillsFact = *j.Water.FillFrom, true, true
		return
	}
	any, all, facts := false, true, true
	for n := range j.Visits {
		v := &j.Visits[n]
		if v.Water != week.NeedLow {
			continue
		}
		s, ok := c.planned(v.ID)
		if !ok {
			all = false
			k.owesLow = k.owesLow || c.owed[v.ID] != nil
			continue
		}
		if !any || s.End > k.fill {
			k.fill = s.End
		}
		any, facts = true, facts && s.begun
	}
	k.fills = any && all
	k.fillsFact = k.fills && facts
}

// firstLow is the first visit of a chain that needs low water; nil if none.
func firstLow(j *week.Job) *week.Visit {
	for n := range j.Visits {
		if j.Visits[n].Water == week.NeedLow {
			return &j.Visits[n]
		}
	}
	return nil
}
