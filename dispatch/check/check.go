package check

import (
	"fmt"

	"ebbline/dispatch/week"
)

// Plan checks p against w, which must be a valid week.
func Plan(w *week.Week, p *week.Plan) Report {
	c := &checker{w: w, p: p, ix: week.NewIndex(w), stops: map[string]stop{}, told: map[string]*week.Told{},
		out: map[string]bool{}, owed: map[string]*week.Owed{}, excused: map[week.RuleBreak]bool{}}
	c.form()
	for _, t := range c.tours {
		c.begun(t)
		c.drives(t)
		c.work(t)
		c.shift(t)
		c.lunch(t)
		c.fit(t)
		c.order(t)
		c.truck(t)
		c.room(t)
	}
	c.crews()
	for j := range w.Jobs {
		job := &w.Jobs[j]
		c.placed(job)
		c.chain(job)
		c.links(job)
		c.owes(job)
		c.tells(job)
		c.water(job)
		c.collect(job)
	}
	c.stock()
	c.listedBreaks()
	cost := c.cost()
	c.claims(cost)
	return Report{Broken: c.broken, Excused: c.pardoned, Cost: cost}
}

// checker holds the plan in a form that can be looked up.
type checker struct {
	w  *week.Week
	p  *week.Plan
	ix *week.Index

	tours []tour
	stops map[string]stop // by visit
	told  map[string]*week.Told
	out   map[string]bool // jobs left out
	owed  map[string]*week.Owed

	broken, pardoned []Broken
	excused          map[week.RuleBreak]bool // breaks found that the plan lists
}

// tour is a tour of the week beside what the plan says of it.
type tour struct {
	*week.Tour
	plan *week.PlanTour
	// past is the number of its stops that have begun.
	past int
}

// stop is where the plan makes a visit.
type stop struct {
	*week.Stop
	tour tour
	// at is its number on the tour.
	at    int
	begun bool
	visit *week.Visit
}

// planned gives the stop of a visit.
func (c *checker) planned(visit string) (stop, bool) {
	s, ok := c.stops[visit]
	return s, ok
}

// note adds a broken rule, or a pardoned one if its kind may be broken, the plan lists
// it, and the job or the tour holds something begun or pinned.
func (c *checker) note(b Broken) {
	if b.Break != "" {
		key := keyOf(b)
		for _, listed := range c.p.RuleBreaks {
			if listed == key && c.leavesNoWay(key) {
				c.excused[key] = true
				c.pardoned = append(c.pardoned, b)
				return
			}
		}
	}
	c.broken = append(c.broken, b)
}

// keyOf is how a plan lists a break: low_limit by job, commission_limit by visit,
// availability and pin by visit, or by tour where no visit is named.
func keyOf(b Broken) week.RuleBreak {
	switch {
	case b.Break == week.BreakLowLimit:
		return week.RuleBreak{Rule: b.Break, Job: b.Job}
	case b.Visit != "":
		return week.RuleBreak{Rule: b.Break, Visit: b.Visit}
	}
	return week.RuleBreak{Rule: b.Break, Tour: b.Tour}
}

// leavesNoWay says whether the job or the tour of a break holds something begun or
// pinned. That there is really no other way would need a search.
func (c *checker) leavesNoWay(key week.RuleBreak) bool {
	if key.Job != "" {
		return c.heldJob(&c.w.Jobs[c.ix.Job[key.Job]])
	}
	if key.Visit != "" {
		if c.heldJob(&c.w.Jobs[c.ix.Visit[key.Visit].Job]) {
			return true
		}
		s, ok := c.planned(key.Visit)
		return ok && c.heldTour(s.tour)
	}
	for _, t := range c.tours {
		if t.ID == key.Tour {
			return c.heldTour(t)
		}
	}
	return false
}

func (c *checker) heldJob(j *week.Job) bool {
	if j.Begun {
		return true
	}
	for n := range j.Visits {
		if j.Visits[n].Pin != nil || c.isFrozen(j.Visits[n].ID) {
			return true
		}
	}
	return false
}

func (c *checker) heldTour(t tour) bool {
	if t.Begun != nil || len(t.Frozen) > 0 {
		return true
	}
	for k := range t.plan.Stops {
		if s, ok := c.planned(t.plan.Stops[k].Visit); ok && s.visit.Pin != nil {
			return true
		}
	}
	return false
}

func (c *checker) isFrozen(visit string) bool {
	for i := range c.w.Tours {
		for _, id := range c.w.Tours[i].Frozen {
			if id == visit {
				return true
			}
		}
	}
	return false
}

// listedBreaks wants every listed break to have been found.
func (c *checker) listedBreaks() {
	seen := map[week.RuleBreak]bool{}
	for i, b := range c.p.RuleBreaks {
		if seen[b] {
			c.note(Broken{Rule: RuleRuleBreaks, Tour: b.Tour, Visit: b.Visit, Job: b.Job,
				Text: fmt.Sprintf("The plan lists the same break twice (rule_breaks[%d], %s).", i, b.Rule)})
			continue
		}
		seen[b] = true
		if !c.excused[b] {
			c.note(Broken{Rule: RuleRuleBreaks, Tour: b.Tour, Visit: b.Visit, Job: b.Job,
				Text: fmt.Sprintf("The plan lists a break of %s (rule_breaks[%d]) that does not happen there, or that nothing begun or pinned explains.", b.Rule, i)})
		}
	}
}
