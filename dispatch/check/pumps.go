package check

import (
	"fmt"

	"ebbline/dispatch/week"
)

// truck follows the pumps on a tour's truck, and wants the least morning load.
func (c *checker) truck(t tour) {
	on, least := t.plan.Load, 0 // least: how low it would fall from a load of 0, and 1 lower while draining on arrival
	from0 := 0
	full := func(visit string, begun bool) {
		if !begun && on > t.Berths {
			c.note(Broken{Rule: RuleTruck, Tour: t.ID, Visit: visit, By: int64(on - t.Berths), Unit: "pumps",
				Text: fmt.Sprintf("%s has %d pumps on its truck and berths for %d.", c.tourName(t.Tour), on, t.Berths)})
		}
	}
	short := func(s stop, want int) {
		if !s.begun && on < want {
			c.note(Broken{Rule: RuleTruck, Tour: t.ID, Visit: s.Visit, At: s.Start, By: int64(want - on), Unit: "pumps",
				Text: fmt.Sprintf("%s needs a pump at %s, and none is on its truck.", c.tourName(t.Tour), c.visitName(s.visit))})
		}
	}
	full("", t.Begun != nil)
	for k := range t.plan.Stops {
		s := c.stops[t.plan.Stops[k].Visit]
		if s.visit.CollectsPump {
			on, from0 = on+1, from0+1
			full(s.Visit, s.begun)
		}
		if c.drainsOnArrival(s.visit) {
			least = max(least, 1-from0)
			short(s, 1)
		}
		if s.visit.DropsPump {
			short(s, 1)
			on, from0 = on-1, from0-1
			least = max(least, -from0)
		}
		if s.PumpsAfter != nil && *s.PumpsAfter != on {
			c.note(Broken{Rule: RuleStated, Tour: t.ID, Visit: s.Visit, At: s.End, By: int64(*s.PumpsAfter - on), Unit: "pumps",
				Text: fmt.Sprintf("%s: after %s %d pumps are on the truck; the plan says %d.", c.tourName(t.Tour), c.visitName(s.visit), on, *s.PumpsAfter)})
		}
	}
	if t.Begun == nil && t.plan.Load != least {
		c.note(Broken{Rule: RuleLoad, Tour: t.ID, By: int64(t.plan.Load - least), Unit: "pumps",
			Text: fmt.Sprintf("%s loads %d pumps; its stops need %d.", c.tourName(t.Tour), t.plan.Load, least)})
	}
	if t.plan.Load > 0 && t.Home == "" {
		c.note(Broken{Rule: RuleLoad, Tour: t.ID, By: int64(t.plan.Load), Unit: "pumps",
			Text: fmt.Sprintf("%s loads pumps and has no home to load them from.", c.tourName(t.Tour))})
	}
}

func (c *checker) drainsOnArrival(v *week.Visit) bool {
	j := c.jobOf(v)
	return j.Water != nil && j.Water.Way == week.WayArrival && j.Water.DrainedAt == nil && firstLow(j) == v
}

// standing is a pump on a site: its home, the day on which it was dropped (-1:
// before the horizon), and the day on which it is collected (number of days: never).
type standing struct {
	home     string
	from, to int
	job      *week.Job
}

// pumpsOut lists the pumps that stand on sites by the plan.
func (c *checker) pumpsOut() []standing {
	var list []standing
	for j := range c.w.Jobs {
		job := &c.w.Jobs[j]
		if job.Water == nil {
			continue
		}
		collected := func(n int) int {
			if n < len(job.Visits) {
				if s, ok := c.planned(job.Visits[n].ID); ok && s.visit.CollectsPump {
					return s.tour.Day
				}
			}
			return len(c.w.Days)
		}
		if job.Water.PumpOnSite != "" {
			list = append(list, standing{job.Water.PumpOnSite, -1, collected(0), job})
		}
		for n := range job.Visits {
			if s, ok := c.planned(job.Visits[n].ID); ok && s.visit.DropsPump {
				list = append(list, standing{s.tour.Home, s.tour.Day, collected(n + 1), job})
			}
		}
	}
	return list
}

// stock wants the loads of each home and day covered by its pumps, and no pump left
// out for nothing at the end.
func (c *checker) stock() {
	out := c.pumpsOut()
	for i := range c.w.Homes {
		h := &c.w.Homes[i]
		for day := range c.w.Days {
			have, load, decided := h.Pumps[day], 0, false
			for _, p := range out {
				if p.home == h.ID && p.from < day && p.to >= day {
					have--
				}
			}
			for _, t := range c.tours {
				if t.Home == h.ID && t.Day == day && t.plan.Load > 0 {
					load += t.plan.Load
					decided = decided || t.Begun == nil
				}
			}
			if decided && load > have {
				c.note(Broken{Rule: RuleStock, At: c.w.Days[day].Start, By: int64(load - have), Unit: "pumps",
					Text: fmt.Sprintf("On %s the crews of %s load %d pumps; of its %d only %d are there.", c.w.Days[day].Date, called(h.Label, h.ID), load, h.Pumps[day], max(have, 0))})
			}
		}
	}
	for _, p := range out {
		if p.to == len(c.w.Days) && !p.job.Begun && !c.owesVisit(p.job) {
			c.note(Broken{Rule: RulePumpOut, Job: p.job.ID, By: 1, Unit: "pumps",
				Text: fmt.Sprintf("A pump is left at %s past the horizon, and the job has neither begun nor is it owed a visit.", c.jobName(p.job))})
		}
	}
}

// owesVisit says whether the plan owes a job a visit.
func (c *checker) owesVisit(j *week.Job) bool {
	for n := range j.Visits {
		if c.owed[j.Visits[n].ID] != nil {
			return true
		}
	}
	return false
}

// collect wants a pump collected after it was dropped, by a crew of its own home.
func (c *checker) collect(j *week.Job) {
	for n := range j.Visits {
		s, ok := c.planned(j.Visits[n].ID)
		if !ok || s.begun || !s.visit.CollectsPump {
			continue
		}
		home := j.Water.PumpOnSite
		if n > 0 {
			drop, ok := c.planned(j.Visits[n-1].ID)
			if !ok {
				c.note(Broken{Rule: RuleCollect, Tour: s.tour.ID, Visit: s.Visit, Job: j.ID, At: s.Start,
					Text: fmt.Sprintf("%s should collect a pump that the plan does not drop.", c.visitName(s.visit))})
				continue
			}
			home = drop.tour.Home
			if s.Start < drop.End {
				c.note(Broken{Rule: RuleCollect, Tour: s.tour.ID, Visit: s.Visit, Job: j.ID, At: s.Start, By: drop.End - s.Start, Unit: "seconds",
					Text: fmt.Sprintf("%s collects a pump %s before it is dropped.", c.visitName(s.visit), length(drop.End-s.Start))})
			}
		}
		if s.tour.Home != home {
			c.note(Broken{Rule: RuleCollect, Tour: s.tour.ID, Visit: s.Visit, Job: j.ID, At: s.Start,
				Text: fmt.Sprintf("%s collects a pump of %s and belongs to %s.", c.tourName(s.tour.Tour), home, called(s.tour.Home, "no home"))})
		}
	}
}
