package dispatch

import (
	"fmt"
	"slices"

	"ebbline/dispatch/week"
)

// ownJob gives the week a copy of job j to change.
func ownJob(x *week.Week, j int) *week.Job {
	x.Jobs = slices.Clone(x.Jobs)
	job := &x.Jobs[j]
	job.Visits = slices.Clone(job.Visits)
	return job
}

// applyNew adds a job with the places that the week lacks.
func applyNew(x *week.Week, c *Change, at string) error {
	if c.Job != "" && c.Job != c.New.Job.ID {
		return fault(at+"job", c.Job, "empty, or the id of new.job")
	}
	for j := range x.Jobs {
		if x.Jobs[j].ID == c.New.Job.ID {
			return fault(at+"new.job.id", c.New.Job.ID, "an id that no job of the week has")
		}
	}
	return addJob(x, c.New, at+"new.")
}

func addJob(x *week.Week, n *NewJob, at string) error {
	if err := addPlaces(x, n.Places, at); err != nil {
		return err
	}
	places := map[string]bool{}
	for i := range x.Places {
		places[x.Places[i].ID] = true
	}
	visits := map[string]bool{}
	for j := range x.Jobs {
		for i := range x.Jobs[j].Visits {
			visits[x.Jobs[j].Visits[i].ID] = true
		}
	}
	for i := range n.Job.Visits {
		v := &n.Job.Visits[i]
		if !places[v.Place] {
			return fault(fmt.Sprintf("%sjob.visits[%d].place", at, i), v.Place, "the id of a place of the week or of new.places")
		}
		if visits[v.ID] {
			return fault(fmt.Sprintf("%sjob.visits[%d].id", at, i), v.ID, "an id that no visit of the week has")
		}
		visits[v.ID] = true
	}
	if len(n.Job.Visits) < 1 || len(n.Job.Visits) > 6 {
		return fault(at+"job.visits", len(n.Job.Visits), "1 to 6 visits")
	}
	x.Jobs = append(slices.Clone(x.Jobs), n.Job)
	return nil
}

// addPlaces adds places with a row and a column of drives each.
func addPlaces(x *week.Week, list []NewPlace, at string) error {
	if len(list) == 0 {
		return nil
	}
	x.Places = slices.Clone(x.Places)
	t := &x.Travel
	t.Seconds, t.Metres = slices.Clone(t.Seconds), slices.Clone(t.Metres)
	for i := range t.Seconds {
		t.Seconds[i], t.Metres[i] = slices.Clone(t.Seconds[i]), slices.Clone(t.Metres[i])
	}
	for k := range list {
		p, n, path := &list[k], len(x.Places), fmt.Sprintf("%splaces[%d].", at, k)
		if slices.ContainsFunc(x.Places, func(o week.Place) bool { return o.ID == p.Place.ID }) || p.Place.ID == "" {
			return fault(path+"place.id", p.Place.ID, "an id that no place of the week has")
		}
		for _, l := range []struct {
			name string
			have int
		}{{"from_seconds", len(p.FromSeconds)}, {"from_metres", len(p.FromMetres)}, {"to_seconds", len(p.ToSeconds)}, {"to_metres", len(p.ToMetres)}} {
			if l.have != n {
				return fault(path+l.name, fmt.Sprintf("a list of %d", l.have), fmt.Sprintf("%d numbers, one for each place before it", n))
			}
		}
		for i := range n {
			t.Seconds[i], t.Metres[i] = append(t.Seconds[i], p.FromSeconds[i]), append(t.Metres[i], p.FromMetres[i])
		}
		t.Seconds = append(t.Seconds, append(slices.Clone(p.ToSeconds), 0))
		t.Metres = append(t.Metres, append(slices.Clone(p.ToMetres), 0))
		x.Places = append(x.Places, p.Place)
	}
	return nil
}

// applyGone takes a job out of the week.
func applyGone(x *week.Week, c *Change, at string) error {
	j, err := jobIn(x, c.Job, at+"job")
	if err != nil {
		return err
	}
	if x.Jobs[j].Begun {
		return fault(at+"job", c.Job, "a job that has not begun; what has begun stays")
	}
	own := map[string]bool{}
	for i := range x.Jobs[j].Visits {
		own[x.Jobs[j].Visits[i].ID] = true
	}
	x.Jobs = slices.Delete(slices.Clone(x.Jobs), j, j+1)
	x.Promises = slices.DeleteFunc(slices.Clone(x.Promises), func(p week.Promise) bool { return own[p.Visit] })
	gone := func(v string) bool { return own[v] }
	cloned := false
	for t := range x.Tours {
		if !slices.ContainsFunc(x.Tours[t].Frozen, gone) {
			continue
		}
		if !cloned {
			x.Tours, cloned = slices.Clone(x.Tours), true
		}
		x.Tours[t].Frozen = slices.DeleteFunc(slices.Clone(x.Tours[t].Frozen), gone)
	}
	return nil
}

// applyEarlier has a job over by an instant; visits that may be owed need not be.
func applyEarlier(x *week.Week, c *Change, at string) error {
	j, err := jobIn(x, c.Job, at+"job")
	if err != nil {
		return err
	}
	job := ownJob(x, j)
	longest, owes := int64(0), false
	for i := range job.Visits {
		if owes = owes || job.Visits[i].MayOwe; !job.Visits[i].MayOwe {
			longest = max(longest, job.Visits[i].Seconds)
		}
	}
	from := max(x.T0, 0)
	if job.NotBefore != nil {
		from = max(from, *job.NotBefore)
	}
	if c.By < from+longest {
		return fault(at+"by", c.By, fmt.Sprintf("%d or later: its longest visit takes %d s from %d on", from+longest, longest, from))
	}
	if !owes {
		by := c.By
		if job.NotAfter != nil {
			by = min(by, *job.NotAfter)
		}
		job.NotAfter = &by
		return nil
	}
	for i := range job.Visits {
		if v := &job.Visits[i]; !v.MayOwe && !overBy(v, c.By) {
			return fault(at+"by", c.By, fmt.Sprintf("late enough for visit %q in its allowed hours", v.ID))
		}
	}
	return nil
}

// overBy cuts a visit's allowed starts so that it ends by an instant; false if none stays.
func overBy(v *week.Visit, by int64) bool {
	if len(v.Allowed) == 0 {
		v.Allowed, v.EndInside = []week.Span{{From: min(0, by-v.Seconds), To: by}}, true
		return true
	}
	to := by // of a start, or of an end
	if !v.EndInside {
		to -= v.Seconds
	}
	var keep []week.Span
	long := false
	for _, s := range v.Allowed {
		if s.To = min(s.To, to); s.From <= s.To {
			keep = append(keep, s)
			long = long || !v.EndInside || s.To-s.From >= v.Seconds
		}
	}
	v.Allowed = keep
	return long
}

// applyLonger gives a visit other seconds.
func applyLonger(x *week.Week, c *Change, at string) error {
	j, n, err := visitIn(x, c.Visit, at+"visit")
	if err != nil {
		return err
	}
	if c.Seconds < 1 || c.Seconds > 86_400 {
		return fault(at+"seconds", c.Seconds, "1 to 86,400 seconds")
	}
	if wt := x.Jobs[j].Water; wt != nil && wt.Way == week.WayArrival && x.Jobs[j].Visits[n].Water == week.NeedLow && c.Seconds < wt.ArrivalSeconds {
		return fault(at+"seconds", c.Seconds, fmt.Sprintf("%d or more: so long it drains the pool on arrival", wt.ArrivalSeconds))
	}
	v := &ownJob(x, j).Visits[n]
	v.MedianSeconds = min((v.MedianSeconds*c.Seconds+v.Seconds-1)/v.Seconds, 86_400) // as uncertain as before
	v.Seconds = c.Seconds
	for t := range x.Tours {
		b := x.Tours[t].Begun
		for k := 0; b != nil && k < len(b.Stops); k++ {
			if b.Stops[k].Visit == c.Visit {
				return lastLonger(x, t, k, c, at)
			}
		}
	}
	return nil
}

// lastLonger moves the end of a visit that is under way.
func lastLonger(x *week.Week, t, k int, c *Change, at string) error {
	b := *x.Tours[t].Begun
	b.Stops = slices.Clone(b.Stops)
	s := &b.Stops[k]
	end := s.Start + c.Seconds
	if b.LunchInside == s.Visit && x.Tours[t].Lunch != nil {
		end += x.Tours[t].Lunch.Seconds
	}
	if k < len(b.Stops)-1 || b.Returned != nil || s.End <= x.T0 {
		return fault(at+"visit", c.Visit, "a visit that is not over yet")
	}
	if end < x.T0 {
		return fault(at+"seconds", c.Seconds, fmt.Sprintf("%d or more: it is under way still", c.Seconds+x.T0-end))
	}
	b.FreeAt = max(x.T0, b.FreeAt+end-s.End)
	s.End = end
	x.Tours = slices.Clone(x.Tours)
	x.Tours[t].Begun = &b
	if l := x.Tours[t].Lunch; l != nil && b.LunchStart == nil && b.FreeAt > l.To {
		x.Tours[t].Lunch = nil // worked through: its hours are over before the crew is free
	}
	return nil
}

// applyWater gives a job's water other tables.
func applyWater(x *week.Week, c *Change, at string) error {
	j, err := jobIn(x, c.Job, at+"job")
	if err != nil {
		return err
	}
	if x.Jobs[j].Water == nil {
		return fault(at+"job", c.Job, "a job with water")
	}
	if c.New == nil || c.New.Job.Water == nil {
		return fault(at+"new", "null", "a job whose water has the new tables")
	}
	wt, given := *x.Jobs[j].Water, c.New.Job.Water
	wt.LowLate, wt.LowEarly, wt.Covered, wt.LowLimit = given.LowLate, given.LowEarly, given.Covered, given.LowLimit
	wt.DrainMedian, wt.DrainLogSD, wt.FillMedian, wt.FillLogSD = given.DrainMedian, given.DrainLogSD, given.FillMedian, given.FillLogSD
	if given.Window != nil && wt.Window != nil {
		wt.Window = given.Window
	}
	if given.DrainedAt != nil {
		wt.DrainedAt = given.DrainedAt
	}
	ownJob(x, j).Water = &wt
	return nil
}
