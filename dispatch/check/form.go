package check

import (
	"fmt"

	"ebbline/dispatch/week"
)

// form looks up everything that the plan names. What cannot be looked up, or comes
// twice, is noted and not looked at again.
func (c *checker) form() {
	bad := func(b Broken, text string, args ...any) {
		b.Rule, b.Text = RuleForm, fmt.Sprintf(text, args...)
		c.note(b)
	}
	if c.p.Version != week.Version {
		bad(Broken{}, "The plan has version %d; this program reads version %d.", c.p.Version, week.Version)
	}
	seen := map[string]bool{}
	for i := range c.p.Tours {
		pt := &c.p.Tours[i]
		at, ok := c.ix.Tour[pt.Tour]
		switch {
		case !ok:
			bad(Broken{Tour: pt.Tour}, "The plan has a tour %q that the week does not know.", pt.Tour)
			continue
		case seen[pt.Tour]:
			bad(Broken{Tour: pt.Tour}, "The plan lists tour %q twice.", pt.Tour)
			continue
		case len(pt.Stops) == 0:
			bad(Broken{Tour: pt.Tour}, "The plan lists tour %q without a stop; such a crew stays at home and is not listed.", pt.Tour)
			continue
		}
		seen[pt.Tour] = true
		c.stopsOf(&c.w.Tours[at], pt, bad)
	}
	for i := range c.w.Tours {
		if t := &c.w.Tours[i]; t.Begun != nil && len(t.Begun.Stops) > 0 && !seen[t.ID] {
			c.note(Broken{Rule: RuleBegun, Tour: t.ID, Text: c.tourName(t) + " has begun, and the plan does not list it."})
		}
	}
	for i := range c.p.Told {
		t := &c.p.Told[i]
		if _, ok := c.ix.Job[t.Job]; !ok {
			bad(Broken{Job: t.Job}, "The plan tells an interval for a job %q that the week does not know.", t.Job)
		} else if c.told[t.Job] != nil {
			bad(Broken{Job: t.Job}, "The plan tells two intervals for job %q.", t.Job)
		} else {
			c.told[t.Job] = t
		}
	}
	for _, l := range c.p.LeftOut {
		if _, ok := c.ix.Job[l.Job]; !ok {
			bad(Broken{Job: l.Job}, "The plan leaves out a job %q that the week does not know.", l.Job)
		} else if c.out[l.Job] {
			bad(Broken{Job: l.Job}, "The plan leaves out job %q twice.", l.Job)
		} else {
			c.out[l.Job] = true
		}
	}
	for i := range c.p.Owed {
		o := &c.p.Owed[i]
		if _, ok := c.ix.Visit[o.Visit]; !ok {
			bad(Broken{Visit: o.Visit}, "The plan owes a visit %q that the week does not know.", o.Visit)
		} else if c.owed[o.Visit] != nil {
			bad(Broken{Visit: o.Visit}, "The plan owes visit %q twice.", o.Visit)
		} else {
			c.owed[o.Visit] = o
		}
	}
	for _, b := range c.p.RuleBreaks {
		_, tour := c.ix.Tour[b.Tour]
		_, visit := c.ix.Visit[b.Visit]
		_, job := c.ix.Job[b.Job]
		if (b.Tour != "" && !tour) || (b.Visit != "" && !visit) || (b.Job != "" && !job) {
			bad(Broken{Tour: b.Tour, Visit: b.Visit, Job: b.Job}, "The plan lists a break of %s at something that the week does not know.", b.Rule)
		}
	}
}

func (c *checker) stopsOf(wt *week.Tour, pt *week.PlanTour, bad func(Broken, string, ...any)) {
	t := tour{Tour: wt, plan: pt}
	if wt.Begun != nil {
		t.past = min(len(wt.Begun.Stops), len(pt.Stops))
	}
	kept := *pt
	kept.Stops = nil
	t.plan = &kept
	for k := range pt.Stops {
		s := &pt.Stops[k]
		at, ok := c.ix.Visit[s.Visit]
		if !ok {
			bad(Broken{Tour: wt.ID, Visit: s.Visit}, "Tour %q has a visit %q that the week does not know.", wt.ID, s.Visit)
			continue
		}
		if other, twice := c.stops[s.Visit]; twice {
			bad(Broken{Tour: wt.ID, Visit: s.Visit}, "Visit %q is on tour %q and again on tour %q.", s.Visit, other.tour.ID, wt.ID)
			continue
		}
		kept.Stops = append(kept.Stops, *s)
		c.stops[s.Visit] = stop{Stop: s, tour: t, at: len(kept.Stops) - 1, begun: k < t.past,
			visit: &c.w.Jobs[at.Job].Visits[at.Number]}
	}
	if len(kept.Stops) > 0 {
		c.tours = append(c.tours, t)
	}
}
