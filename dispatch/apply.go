package dispatch

import (
	"fmt"
	"slices"

	"ebbline/dispatch/search"
	"ebbline/dispatch/week"
)

// Apply gives a copy of a valid week in which changes have happened, one after the other;
// w itself stays as it is. What a change does to the week:
//
//   - crew_out takes the tours out; one that has begun keeps what began and drives home as
//     soon as it is free. Pins on a tour that is gone, and frozen orders, go with it.
//   - crew, pumps, closed, longer and water change the figures that they name. A visit that
//     is under way may last longer, too: its crew is then free later.
//   - job_earlier sets not_after; where a visit may be owed, the others must be over by then.
//   - job_in with New adds the job, its places and their drives.
//   - job_out takes the job and its promises out.
//   - visit, and job_in of a job that the week holds, change a plan and not the week; but a
//     start that is given is pinned.
//
// The week that comes out is valid. Errors are [week.FieldErrors]: they name the field of
// the change (changes[0].tour), its value and what would be right.
func Apply(w *week.Week, changes ...Change) (*week.Week, error) {
	x := w
	for i := range changes {
		y, err := apply(x, &changes[i], fmt.Sprintf("changes[%d].", i))
		if err != nil {
			return nil, err
		}
		x = y
	}
	if x == w {
		c := *w
		return &c, nil
	}
	if err := x.Validate(); err != nil {
		return nil, err
	}
	return x, nil
}

// fault is an error about one field of a change.
func fault(path string, value any, want string) error {
	said := fmt.Sprint(value)
	if s, ok := value.(string); ok {
		said = fmt.Sprintf("%q", s)
	}
	return week.FieldErrors{{Path: path, Value: said, Want: want}}
}

// apply makes one change; what it does not touch is shared with w.
func apply(w *week.Week, c *Change, at string) (*week.Week, error) {
	x := *w
	var err error
	switch c.Kind {
	case ChangeVisit:
		if _, _, err = visitIn(w, c.Visit, at+"visit"); err == nil && c.Start != nil {
			return pinStart(w, c, at)
		}
		return w, err
	case ChangeCrewOut:
		err = applyOut(&x, c, at)
	case ChangeCrew:
		err = applyCrew(&x, c, at)
	case ChangePumps:
		err = applyPumps(&x, c, at)
	case ChangeClosed:
		err = applyClosed(&x, c, at)
	case ChangeJobIn:
		if c.New == nil {
			_, err = jobIn(w, c.Job, at+"job")
			return w, err
		}
		err = applyNew(&x, c, at)
	case ChangeJobOut:
		err = applyGone(&x, c, at)
	case ChangeJobEarlier:
		err = applyEarlier(&x, c, at)
	case ChangeLonger:
		err = applyLonger(&x, c, at)
	case ChangeWater:
		err = applyWater(&x, c, at)
	default:
		err = fault(at+"kind", c.Kind, "visit, crew_out, crew, pumps, closed, job_in, job_out, job_earlier, longer or water")
	}
	return &x, err
}

// jobIn is the number of a job of the week.
func jobIn(w *week.Week, id, path string) (int, error) {
	for j := range w.Jobs {
		if w.Jobs[j].ID == id {
			return j, nil
		}
	}
	return 0, fault(path, id, "the id of a job of the week")
}

// visitIn is the number of a visit's job and its own in the chain.
func visitIn(w *week.Week, id, path string) (j, n int, err error) {
	for j := range w.Jobs {
		for n := range w.Jobs[j].Visits {
			if w.Jobs[j].Visits[n].ID == id {
				return j, n, nil
			}
		}
	}
	return 0, 0, fault(path, id, "the id of a visit of the week")
}

// tourIn is the number of a tour that has not returned.
func tourIn(w *week.Week, id, path string) (int, error) {
	for t := range w.Tours {
		if w.Tours[t].ID != id {
			continue
		}
		if b := w.Tours[t].Begun; b != nil && b.Returned != nil {
			return 0, fault(path, id, "a tour that is not over; its crew has returned")
		}
		return t, nil
	}
	return 0, fault(path, id, "the id of a tour of the week")
}

func applyOut(x *week.Week, c *Change, at string) error {
	if len(c.Tours) == 0 {
		return fault(at+"tours", "", "one tour or more that stay at home")
	}
	gone := map[string]bool{}
	x.Tours = slices.Clone(x.Tours)
	for i, id := range c.Tours {
		t, err := tourIn(x, id, fmt.Sprintf("%stours[%d]", at, i))
		if err != nil {
			return err
		}
		if x.Tours[t].Begun == nil {
			gone[id] = true
			continue
		}
		sendHome(x, &x.Tours[t])
	}
	x.Tours = slices.DeleteFunc(x.Tours, func(t week.Tour) bool { return gone[t.ID] })
	if h := x.HandedOut; h != nil {
		x.HandedOut = &week.HandedOut{Tours: []week.HandedTour{}}
		for _, t := range h.Tours {
			if !gone[t.Tour] {
				x.HandedOut.Tours = append(x.HandedOut.Tours, t)
			}
		}
	}
	for _, id := range c.Tours {
		dropPins(x, id)
	}
	return nil
}

// sendHome has a begun tour drive home as soon as it is free: no time is left for a stop.
func sendHome(x *week.Week, t *week.Tour) {
	places := week.NewIndex(x).Place
	b := t.Begun
	if b.LunchStart == nil {
		t.Lunch = nil
	}
	home := search.Arrive(x, places[b.Place], places[t.End], max(b.FreeAt, x.T0))
	t.ShiftTo, t.OvertimeTo = max(t.ShiftFrom+1, min(t.ShiftTo, home)), max(t.ShiftFrom+1, home)
	t.ShiftTo, t.Frozen = min(t.ShiftTo, t.OvertimeTo), nil
}

// dropPins lets go of the visits that were pinned to a tour.
func dropPins(x *week.Week, tour string) {
	cloned := false
	for j := range x.Jobs {
		for n := range x.Jobs[j].Visits {
			p := x.Jobs[j].Visits[n].Pin
			if p == nil || p.Tour != tour {
				continue
			}
			if !cloned {
				x.Jobs, cloned = slices.Clone(x.Jobs), true
			}
			x.Jobs[j].Visits = slices.Clone(x.Jobs[j].Visits)
			q := &week.Pin{Day: p.Day, Start: p.Start}
			if *q == (week.Pin{}) {
				q = nil
			}
			x.Jobs[j].Visits[n].Pin = q
		}
	}
}

func applyCrew(x *week.Week, c *Change, at string) error {
	if len(c.Crews) == 0 {
		return fault(at+"crews", "", "one crew's day or more with its people and skills")
	}
	x.Tours = slices.Clone(x.Tours)
	known := map[string]bool{}
	for _, s := range x.Skills {
		known[s.ID] = true
	}
	for i := range c.Crews {
		k, path := &c.Crews[i], fmt.Sprintf("%screws[%d].", at, i)
		t, err := tourIn(x, k.Tour, path+"tour")
		if err != nil {
			return err
		}
		if k.People < 1 || k.People > 1000 {
			return fault(path+"people", k.People, "1 or more people; a crew without anyone is a crew that is out")
		}
		for n, s := range k.Skills {
			if !known[s] {
				return fault(fmt.Sprintf("%sskills[%d]", path, n), s, "the id of one of the week's skills")
			}
		}
		x.Tours[t].People, x.Tours[t].Skills = k.People, k.Skills
	}
	return nil
}

func applyPumps(x *week.Week, c *Change, at string) error {
	h := slices.IndexFunc(x.Homes, func(h week.Home) bool { return h.ID == c.Home })
	switch {
	case h < 0:
		return fault(at+"home", c.Home, "the id of a home of pumps")
	case c.From < 0 || c.From >= len(x.Days):
		return fault(at+"from", c.From, fmt.Sprintf("0 to %d, the number of a day", len(x.Days)-1))
	}
	pumps := slices.Clone(x.Homes[h].Pumps)
	most := slices.Max(pumps[c.From:])
	if c.Less < 1 || c.Less > most {
		return fault(at+"less", c.Less, fmt.Sprintf("1 to %d, the pumps that it has", most))
	}
	for d := c.From; d < len(pumps); d++ {
		pumps[d] = max(0, pumps[d]-c.Less)
	}
	x.Homes = slices.Clone(x.Homes)
	x.Homes[h].Pumps = pumps
	return nil
}

func applyClosed(x *week.Week, c *Change, at string) error {
	if c.Closure == nil {
		return fault(at+"closure", "null", "a closure of a place, an area or everything")
	}
	k := *c.Closure
	for n := len(x.Closures); k.ID == "" || slices.ContainsFunc(x.Closures, func(o week.Closure) bool { return o.ID == k.ID }); n++ {
		k.ID = fmt.Sprintf("closed-%d", n)
	}
	given := 0
	for _, set := range []bool{k.Place != "", k.Area != "", k.All} {
		if set {
			given++
		}
	}
	inPlace := func(p week.Place) bool { return p.ID == k.Place }
	inArea := func(p week.Place) bool { return p.Area == k.Area }
	switch {
	case given != 1:
		return fault(at+"closure", given, "exactly one of place, area and all")
	case k.Place != "" && !slices.ContainsFunc(x.Places, inPlace):
		return fault(at+"closure.place", k.Place, "the id of one of places")
	case k.Area != "" && !slices.ContainsFunc(x.Places, inArea):
		return fault(at+"closure.area", k.Area, "the area of one of places")
	case k.From >= k.To:
		return fault(at+"closure.to", k.To, fmt.Sprintf("later than %d (from)", k.From))
	}
	x.Closures = append(slices.Clone(x.Closures), k)
	return nil
}
