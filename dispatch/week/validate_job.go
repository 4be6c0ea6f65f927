package week

import "fmt"

// register notes tours, visits and what has begun, so that references can be
// looked up whatever the order of the file.
func (c *checker) register() {
	for i := range c.w.Tours {
		c.tours[c.w.Tours[i].ID] = &c.w.Tours[i]
	}
	seen := map[string]string{}
	for j := range c.w.Jobs {
		job := &c.w.Jobs[j]
		for n := range job.Visits {
			v := &job.Visits[n]
			if c.once(fmt.Sprintf("jobs[%d].visits[%d].id", j, n), v.ID, seen) {
				c.visits[v.ID], c.jobOf[v.ID] = v, job
			}
		}
	}
	for i := range c.w.Tours {
		b := c.w.Tours[i].Begun
		for k := 0; b != nil && k < len(b.Stops); k++ {
			path := fmt.Sprintf("tours[%d].begun.stops[%d].visit", i, k)
			if first, twice := c.begun[b.Stops[k].Visit]; twice {
				c.is(path, false, b.Stops[k].Visit, "a visit that begins once; "+first+" has it already")
			}
			c.begun[b.Stops[k].Visit] = path
		}
	}
}

func (c *checker) jobs() {
	ids := map[string]string{}
	for j := range c.w.Jobs {
		job := &c.w.Jobs[j]
		path := fmt.Sprintf("jobs[%d]", j)
		c.once(path+".id", job.ID, ids)
		c.cents(path+".value", job.Value)
		c.is(path+".due_day", -4000 <= job.DueDay && job.DueDay <= 4000, job.DueDay, "a day counted from the horizon's first, -4,000 to 4,000")
		c.limits(path, job)
		if !c.is(path+".visits", 1 <= len(job.Visits) && len(job.Visits) <= 6, said(fmt.Sprintf("a list of %d", len(job.Visits))), "1 to 6 visits") {
			continue
		}
		for n := range job.Visits {
			c.visit(fmt.Sprintf("%s.visits[%d]", path, n), job, n)
		}
		c.is(path+".visits", job.Begun || !job.Visits[0].MayOwe, said("only visits that may be owed"),
			"a first visit without may_owe, or a job that has begun")
		before := len(c.faults)
		c.links(path+".links", job)
		if job.Water != nil {
			c.water(path+".water", job)
		}
		if len(c.faults) == before {
			c.chainFits(path, job)
		}
	}
}

func (c *checker) limits(path string, job *Job) {
	if job.NotBefore != nil {
		c.instant(path+".not_before", *job.NotBefore)
	}
	if job.NotAfter == nil || !c.instant(path+".not_after", *job.NotAfter) || job.NotBefore == nil {
		return
	}
	longest := int64(0)
	for n := range job.Visits {
		longest = max(longest, job.Visits[n].Seconds)
	}
	c.is(path+".not_after", *job.NotAfter >= *job.NotBefore+longest, *job.NotAfter,
		fmt.Sprintf("%d or later: not_before %d and %d s for its longest visit", *job.NotBefore+longest, *job.NotBefore, longest))
}

func (c *checker) visit(path string, job *Job, n int) {
	v := &job.Visits[n]
	c.known(path+".kind", v.Kind, c.kinds, "kinds")
	c.known(path+".place", v.Place, c.places, "places")
	c.is(path+".seconds", 0 < v.Seconds && v.Seconds <= 86_400, v.Seconds, "1 to 86,400 seconds")
	c.length(path, "median_seconds", "log_sd_permille", v.MedianSeconds, v.LogSD, 86_400)
	c.is(path+".people", 1 <= v.People && v.People <= 1000, v.People, "1 or more people")
	c.is(path+".room", 0 <= v.Room && v.Room <= maxRoom, v.Room, "0 to 1,000,000 litres")
	for k, s := range v.Skills {
		c.known(fmt.Sprintf("%s.skills[%d]", path, k), s, c.skills, "skills")
	}
	c.spans(path+".allowed", v.Allowed)
	if v.EndInside {
		longest := int64(0)
		for _, s := range v.Allowed {
			longest = max(longest, s.To-s.From)
		}
		c.is(path+".seconds", longest >= v.Seconds, v.Seconds,
			fmt.Sprintf("%d or less: end_inside and its longest allowed span", longest))
	}
	c.visitWater(path, job, n)
	if n > 0 && job.Visits[n-1].MayOwe {
		c.is(path+".may_owe", v.MayOwe, v.MayOwe, "true after a visit that may be owed")
	}
	if at := c.begun[v.ID]; at != "" {
		c.is(path[:len(path)-len(fmt.Sprintf(".visits[%d]", n))]+".begun", job.Begun, job.Begun, "true: a visit of it has begun at "+at)
	}
	if p := v.Pin; p != nil {
		c.is(path+".pin", p.Tour != "" || p.Day != nil || p.Start != nil, said("an empty pin"), "tour, day or start")
		if p.Tour != "" {
			c.is(path+".pin.tour", c.tours[p.Tour] != nil, p.Tour, "the id of one of tours")
		}
		if p.Day != nil {
			c.is(path+".pin.day", 0 <= *p.Day && *p.Day < len(c.w.Days), *p.Day, fmt.Sprintf("0 to %d, the number of a day", len(c.w.Days)-1))
		}
		if p.Start != nil && c.begun[v.ID] == "" {
			c.is(path+".pin.start", c.w.T0 <= *p.Start && *p.Start <= c.w.End, *p.Start,
				fmt.Sprintf("%d (t0) to %d (end)", c.w.T0, c.w.End))
		}
	}
}

func (c *checker) visitWater(path string, job *Job, n int) {
	v := &job.Visits[n]
	switch v.Water {
	case NeedNothing:
	case NeedLow, NeedCovered:
		c.is(path+".water", job.Water != nil, v.Water, "nothing, or a job with water")
	default:
		c.is(path+".water", false, v.Water, "nothing, low or covered")
	}
	c.is(path+".may_owe", !v.MayOwe || (v.Water != NeedLow && !v.DropsPump && !v.CollectsPump), v.MayOwe,
		"false for a visit that needs low water, drops or collects a pump")
	w := job.Water
	c.is(path+".drops_pump", !v.DropsPump || (w != nil && w.Way == WayPump && w.DrainVisit == v.ID), v.DropsPump,
		"false, or the drain_visit of a job whose water becomes low by pump")
	collects := w != nil && ((n == 0 && w.PumpOnSite != "") || (n > 0 && job.Visits[n-1].DropsPump))
	c.is(path+".collects_pump", v.CollectsPump == collects, v.CollectsPump,
		fmt.Sprintf("%t: the first visit after a drop collects, and no other", collects))
	c.is(path+".drops_pump", !v.DropsPump || n+1 < len(job.Visits), v.DropsPump, "a visit after it that collects the pump")
}

func (c *checker) links(path string, job *Job) {
	own, number := map[string]bool{}, map[string]int{}
	for n := range job.Visits {
		own[job.Visits[n].ID], number[job.Visits[n].ID] = true, n
	}
	seen := map[string]bool{}
	for i := range job.Links {
		l, at := &job.Links[i], fmt.Sprintf("%s[%d]", path, i)
		c.known(at+".from", l.From, own, "the job's own visits")
		c.known(at+".to", l.To, own, "the job's own visits")
		c.is(at+".to", number[l.To] > number[l.From], l.To, "a visit after "+quote(l.From)+" in the chain")
		c.is(at, l.Lo != nil || l.Hi != nil, said("a link open on both sides"), "lo, hi or both")
		key := fmt.Sprintf("%s\x00%s\x00%t", l.From, l.To, l.FromEnd)
		c.is(at, !seen[key], said("a link given twice"), "one link with both lo and hi")
		seen[key] = true
		for _, b := range []struct {
			name  string
			value *int64
		}{{"lo", l.Lo}, {"hi", l.Hi}} {
			if b.value != nil {
				c.instant(at+"."+b.name, *b.value)
			}
		}
		if l.Lo != nil && l.Hi != nil {
			c.is(at+".hi", *l.Lo <= *l.Hi, *l.Hi, fmt.Sprintf("%d (lo) or more", *l.Lo))
		}
	}
}
