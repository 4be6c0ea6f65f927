package week

import "fmt"

func (c *checker) tours_() {
	ids, crewDays, frozen := map[string]string{}, map[string]string{}, map[string]string{}
	for i := range c.w.Tours {
		t := &c.w.Tours[i]
		path := fmt.Sprintf("tours[%d]", i)
		c.once(path+".id", t.ID, ids)
		c.known(path+".crew", t.Crew, c.crews, "crews")
		if c.is(path+".day", 0 <= t.Day && t.Day < len(c.w.Days), t.Day, fmt.Sprintf("0 to %d, the number of a day", len(c.w.Days)-1)) {
			key := fmt.Sprintf("%d %s", t.Day, t.Crew)
			if first, twice := crewDays[key]; twice {
				c.is(path+".crew", false, t.Crew, fmt.Sprintf("one tour of a crew on day %d; %s is its tour already", t.Day, first))
			}
			crewDays[key] = path
		}
		c.known(path+".start", t.Start, c.places, "places")
		c.known(path+".end", t.End, c.places, "places")
		if t.Home != "" {
			c.known(path+".home", t.Home, c.homes, "homes")
		}
		c.shift(path, t)
		for k, s := range t.Skills {
			c.known(fmt.Sprintf("%s.skills[%d]", path, k), s, c.skills, "skills")
		}
		c.is(path+".people", 1 <= t.People && t.People <= 1000, t.People, "1 or more people")
		c.is(path+".berths", 0 <= t.Berths && t.Berths <= 1000, t.Berths, "0 or more pumps")
		c.is(path+".room", 0 <= t.Room && t.Room <= maxRoom, t.Room, "0 (not looked at) to 1,000,000 litres")
		c.is(path+".berths", t.Berths == 0 || t.Home != "", t.Berths, "0, or a home to load pumps from")
		c.cents(path+".pay_per_hour", t.PayPerHour)
		c.cents(path+".overtime_per_hour", t.OvertimePerHour)
		c.cents(path+".cost_per_km", t.CostPerKm)
		if t.Lunch != nil {
			c.lunch(path+".lunch", t)
		}
		if t.Begun != nil {
			c.begunTour(path+".begun", t)
		}
		for k, v := range t.Frozen {
			at := fmt.Sprintf("%s.frozen[%d]", path, k)
			if c.is(at, c.visits[v] != nil, v, "the id of a visit of one of jobs") {
				c.once(at, v, frozen)
				first := c.begun[v]
				c.is(at, first == "", v, "a visit that has not begun; it has at "+first)
			}
		}
	}
	c.begunApart()
}

// shift says plainly when a crew has none.
func (c *checker) shift(path string, t *Tour) {
	ok := c.instant(path+".shift_from", t.ShiftFrom)
	ok = c.instant(path+".shift_to", t.ShiftTo) && ok
	ok = c.instant(path+".overtime_to", t.OvertimeTo) && ok
	if !ok {
		return
	}
	c.is(path+".shift_to", t.ShiftTo > t.ShiftFrom, t.ShiftTo,
		fmt.Sprintf("later than %d (shift_from): a crew without a shift has no tour", t.ShiftFrom))
	c.is(path+".overtime_to", t.OvertimeTo >= t.ShiftTo, t.OvertimeTo, fmt.Sprintf("%d (shift_to) or later", t.ShiftTo))
	if 0 <= t.Day && t.Day < len(c.w.Days) {
		from, to := c.w.DayStart(t.Day), c.w.DayStart(t.Day+1)
		c.is(path+".shift_from", from <= t.ShiftFrom && t.ShiftFrom < to, t.ShiftFrom,
			fmt.Sprintf("an instant of day %d, %d to %d", t.Day, from, to-1))
	}
}

func (c *checker) lunch(path string, t *Tour) {
	l := t.Lunch
	c.is(path+".seconds", 0 < l.Seconds && l.Seconds <= 6*3600, l.Seconds, "1 to 21,600 seconds")
	c.atLeast(path+".due_after", l.DueAfter, 0, "seconds (usual 21,600)")
	if c.span(path, Span{l.From, l.To}) {
		c.is(path+".to", l.To >= t.ShiftFrom && l.From <= t.OvertimeTo, l.To,
			fmt.Sprintf("a window that meets the shift, %d to %d", t.ShiftFrom, t.OvertimeTo))
	}
}

func (c *checker) begunTour(path string, t *Tour) {
	b := t.Begun
	c.instant(path+".depart", b.Depart)
	c.is(path+".depart", b.Depart <= c.w.T0, b.Depart, fmt.Sprintf("%d (t0) or earlier: it has happened", c.w.T0))
	c.is(path+".load", 0 <= b.Load && b.Load <= t.Berths, b.Load, fmt.Sprintf("0 to %d pumps, the tour's berths", t.Berths))
	free, inside := b.Depart, b.LunchInside == ""
	for k := range b.Stops {
		s, at := &b.Stops[k], fmt.Sprintf("%s.stops[%d]", path, k)
		c.is(at+".leave", s.Leave >= free, s.Leave, fmt.Sprintf("%d or later, when the crew was free", free))
		c.is(at+".arrive", s.Arrive >= s.Leave, s.Arrive, fmt.Sprintf("%d (leave) or later", s.Leave))
		c.is(at+".start", s.Start >= s.Arrive, s.Start, fmt.Sprintf("%d (arrive) or later", s.Arrive))
		c.is(at+".start", s.Start <= c.w.T0, s.Start, fmt.Sprintf("%d (t0) or earlier: it has begun", c.w.T0))
		c.is(at+".end", s.End > s.Start, s.End, fmt.Sprintf("later than %d (start)", s.Start))
		c.instant(at+".end", s.End)
		c.is(at+".pumps_after", s.PumpsAfter == nil && s.Slack == nil && s.Binds == "" && s.BindsKind == "", said("what a plan states"),
			"nothing: pumps_after, slack and binds belong to plans")
		free, inside = s.End, inside || s.Visit == b.LunchInside
		c.is(at+".visit", c.visits[s.Visit] != nil, s.Visit, "the id of a visit of one of jobs")
	}
	c.is(path+".lunch_inside", inside, b.LunchInside, "one of its stops' visits")
	c.known(path+".place", b.Place, c.places, "places")
	c.instant(path+".free_at", b.FreeAt)
	c.is(path+".free_at", b.FreeAt >= free, b.FreeAt, fmt.Sprintf("%d or later, the end of its last stop", free))
	c.is(path+".overtime_run", 0 <= b.OvertimeRun && b.OvertimeRun <= 86_400, b.OvertimeRun, "0 to 86,400 seconds")
	if b.LunchStart != nil {
		c.is(path+".lunch_start", t.Lunch != nil, *b.LunchStart, "no lunch where the tour has no lunch rule")
		c.is(path+".lunch_start", *b.LunchStart >= b.Depart && *b.LunchStart <= c.w.T0, *b.LunchStart,
			fmt.Sprintf("%d (depart) to %d (t0)", b.Depart, c.w.T0))
	}
	c.is(path+".lunch_inside", b.LunchInside == "" || b.LunchStart != nil, b.LunchInside, "lunch_start beside it")
	if b.Returned != nil {
		c.is(path+".returned", free <= *b.Returned && *b.Returned <= c.w.T0, *b.Returned,
			fmt.Sprintf("%d (its last stop) to %d (t0)", free, c.w.T0))
		return
	}
	c.is(path+".free_at", b.FreeAt >= c.w.T0, b.FreeAt, fmt.Sprintf("%d (t0) or later", c.w.T0))
	if l := t.Lunch; l != nil && b.LunchStart == nil && b.FreeAt > l.To {
		c.is(path+".free_at", b.FreeAt+c.driveHome(t)-b.Depart <= l.DueAfter, b.FreeAt,
			fmt.Sprintf("%d (lunch.to) or earlier, lunch taken, or a tour without a lunch rule: lunch is due, and its hours are over", l.To))
	}
}

// driveHome is the usual drive of a begun tour from where its crew is to its end.
func (c *checker) driveHome(t *Tour) int64 {
	from, to := -1, -1
	for i := range c.w.Places {
		if c.w.Places[i].ID == t.Begun.Place {
			from = i
		}
		if c.w.Places[i].ID == t.End {
			to = i
		}
	}
	if from < 0 || to < 0 || from >= len(c.w.Travel.Seconds) || to >= len(c.w.Travel.Seconds[from]) {
		return 0 // noted elsewhere
	}
	return c.w.Travel.Seconds[from][to]
}

// begunApart wants what has begun of one crew's tours apart in time.
func (c *checker) begunApart() {
	end := func(b *Begun) int64 {
		if b.Returned != nil {
			return *b.Returned
		}
		return b.FreeAt
	}
	var begun []int
	for i := range c.w.Tours {
		if b := c.w.Tours[i].Begun; b != nil && len(b.Stops) > 0 {
			begun = append(begun, i)
		}
	}
	for n, i := range begun {
		b := &c.w.Tours[i]
		for _, k := range begun[:n] {
			if a := &c.w.Tours[k]; a.Crew == b.Crew {
				c.is(fmt.Sprintf("tours[%d].begun.depart", i), min(end(a.Begun), end(b.Begun)) <= max(a.Begun.Depart, b.Begun.Depart), b.Begun.Depart,
					fmt.Sprintf("a time apart from tours[%d].begun, %d to %d: one crew was on both", k, a.Begun.Depart, end(a.Begun)))
			}
		}
	}
}
