package week

import (
	"fmt"
	"time"
)

func (c *checker) horizon() {
	w := c.w
	c.is("version", w.Version == Version, w.Version, fmt.Sprint(Version))
	c.is("zone", w.Zone != "", w.Zone, "the name of the branch's time zone")
	c.instant("t0", w.T0)
	c.instant("end", w.End)
	if !c.is("days", 1 <= len(w.Days) && len(w.Days) <= 14, said(fmt.Sprintf("a list of %d", len(w.Days))), "1 to 14 days") {
		return
	}
	for i := range w.Days {
		path := fmt.Sprintf("days[%d]", i)
		day, err := time.Parse(time.DateOnly, w.Days[i].Date)
		ok := c.is(path+".date", err == nil, w.Days[i].Date, "a date like 2026-03-09")
		if i == 0 {
			c.is(path+".start", w.Days[0].Start == 0, w.Days[0].Start, "0, the first midnight")
			continue
		}
		before, err := time.Parse(time.DateOnly, w.Days[i-1].Date)
		if ok && err == nil {
			next := before.AddDate(0, 0, 1)
			c.is(path+".date", day.Equal(next), w.Days[i].Date, next.Format(time.DateOnly)+", the day after the one before it")
		}
		c.dayLength(path+".start", w.Days[i].Start, w.Days[i-1].Start)
	}
	c.dayLength("end", w.End, w.Days[len(w.Days)-1].Start)
	c.is("t0", w.T0 < w.End, w.T0, fmt.Sprintf("earlier than %d, the end of the horizon", w.End))
	c.is("next_workday.day", w.NextWorkday.Day >= len(w.Days) && w.NextWorkday.Day <= 400, w.NextWorkday.Day,
		fmt.Sprintf("%d or more: a day after the horizon", len(w.Days)))
	if c.instant("next_workday.end", w.NextWorkday.End) {
		c.is("next_workday.end", w.NextWorkday.End > w.End, w.NextWorkday.End, fmt.Sprintf("later than %d, the end of the horizon", w.End))
	}
}

// dayLength wants 22 to 26 hours between two midnights; clocks change by an hour or two.
func (c *checker) dayLength(path string, midnight, before int64) {
	n := midnight - before
	c.is(path, 22*3600 <= n && n <= 26*3600, midnight,
		fmt.Sprintf("the next midnight, about %d", before+86_400))
}

func (c *checker) names(path string, names []Name, set map[string]bool) {
	seen := map[string]string{}
	for i := range names {
		c.once(fmt.Sprintf("%s[%d].id", path, i), names[i].ID, seen)
		set[names[i].ID] = true
	}
}

func (c *checker) places_() {
	seen := map[string]string{}
	c.is("places", len(c.w.Places) > 0, said("a list of 0"), "at least one place")
	for i, p := range c.w.Places {
		c.once(fmt.Sprintf("places[%d].id", i), p.ID, seen)
		c.places[p.ID] = true
		if p.Area != "" {
			c.areas[p.Area] = true
		}
	}
}

func (c *checker) travel() {
	n := len(c.w.Places)
	c.matrix("travel.seconds", c.w.Travel.Seconds, n, maxDrive, "seconds")
	c.matrix("travel.metres", c.w.Travel.Metres, n, maxRoad, "metres")
	for i, p := range c.w.Travel.Periods {
		path := fmt.Sprintf("travel.periods[%d]", i)
		c.instant(path+".from", p.From)
		c.is(path+".permille", 1 <= p.Permille && p.Permille <= maxPermil, p.Permille, "1 to 10,000 thousandths of the usual speed")
		if i > 0 {
			before := c.w.Travel.Periods[i-1].From
			c.is(path+".from", p.From > before, p.From, fmt.Sprintf("later than %d, where the period before it begins", before))
		}
	}
}

func (c *checker) matrix(path string, m [][]int64, n int, most int64, unit string) {
	if !c.is(path, len(m) == n, said(fmt.Sprintf("a list of %d", len(m))), fmt.Sprintf("%d rows, one a place", n)) {
		return
	}
	for i := range m {
		at := fmt.Sprintf("%s[%d]", path, i)
		if !c.is(at, len(m[i]) == n, said(fmt.Sprintf("a list of %d", len(m[i]))), fmt.Sprintf("%d numbers, one a place", n)) {
			continue
		}
		for j, v := range m[i] {
			if 0 <= v && v <= most && (i != j || v == 0) {
				continue // the usual case: a large matrix writes no texts
			}
			if i == j {
				c.is(fmt.Sprintf("%s[%d]", at, j), v == 0, v, "0 "+unit+" from a place to itself")
				continue
			}
			c.is(fmt.Sprintf("%s[%d]", at, j), 0 <= v && v <= most, v, fmt.Sprintf("0 to %d %s", most, unit))
		}
	}
}

func (c *checker) homes_() {
	seen := map[string]string{}
	for i, h := range c.w.Homes {
		path := fmt.Sprintf("homes[%d]", i)
		c.once(path+".id", h.ID, seen)
		c.homes[h.ID] = true
		c.is(path+".pumps", len(h.Pumps) == len(c.w.Days), said(fmt.Sprintf("a list of %d", len(h.Pumps))),
			fmt.Sprintf("%d numbers, one a day", len(c.w.Days)))
		for d, n := range h.Pumps {
			c.is(fmt.Sprintf("%s.pumps[%d]", path, d), 0 <= n && n <= 10_000, n, "0 to 10,000 pumps")
		}
	}
}

func (c *checker) closures() {
	seen := map[string]string{}
	for i, k := range c.w.Closures {
		path := fmt.Sprintf("closures[%d]", i)
		c.once(path+".id", k.ID, seen)
		given := 0
		for _, set := range []bool{k.Place != "", k.Area != "", k.All} {
			if set {
				given++
			}
		}
		c.is(path, given == 1, said(fmt.Sprintf("%d of place, area and all", given)), "exactly one of place, area and all")
		if k.Place != "" {
			c.known(path+".place", k.Place, c.places, "places")
		}
		if k.Area != "" {
			c.is(path+".area", c.areas[k.Area], k.Area, "the area of one of places")
		}
		if c.span(path, Span{k.From, k.To}) {
			c.is(path+".to", k.From < k.To, k.To, fmt.Sprintf("later than %d (from)", k.From))
		}
	}
}

func (c *checker) promises() {
	seen := map[string]string{}
	for i, p := range c.w.Promises {
		path := fmt.Sprintf("promises[%d]", i)
		c.once(path+".id", p.ID, seen)
		c.is(path+".visit", c.visits[p.Visit] != nil, p.Visit, "the id of a visit of one of jobs")
		c.span(path, Span{p.From, p.To})
	}
}

func (c *checker) handedOut() {
	if c.w.HandedOut == nil {
		return
	}
	tours, visits := map[string]string{}, map[string]string{}
	for i, t := range c.w.HandedOut.Tours {
		path := fmt.Sprintf("handed_out.tours[%d]", i)
		if c.is(path+".tour", c.tours[t.Tour] != nil, t.Tour, "the id of one of tours") {
			c.once(path+".tour", t.Tour, tours)
		}
		for k, s := range t.Stops {
			at := fmt.Sprintf("%s.stops[%d]", path, k)
			c.once(at+".visit", s.Visit, visits)
			c.instant(at+".start", s.Start)
		}
	}
}

func (c *checker) rates() {
	r := &c.w.Rates
	for _, v := range []struct {
		name  string
		value int64
	}{
		{"waiting_permille_per_day", r.WaitingPermille}, {"left_out_permille_per_week", r.LeftOutPermille},
	} {
		c.is("rates."+v.name, 0 <= v.value && v.value <= maxPermil, v.value, "0 to 10,000 thousandths of the value")
	}
	for _, v := range []struct {
		name  string
		value int64
	}{
		{"late_cents_per_day", r.LateCents}, {"promise_cents", r.PromiseCents},
		{"promise_late_cents_per_hour", r.PromiseLateCents}, {"promise_worst_cents_per_hour", r.PromiseWorstCents}, {"told_anew_cents", r.ToldAnewCents},
		{"low_cents_per_hour", r.LowCents}, {"owed_cents", r.OwedCents}, {"break_low_limit_cents", r.BreakLowLimitCents},
		{"break_commission_limit_cents", r.BreakCommissionCents}, {"break_availability_cents", r.BreakAvailabilityCents},
		{"break_pin_cents", r.BreakPinCents},
	} {
		c.cents("rates."+v.name, v.value)
	}
	c.atLeast("rates.told_anew_seconds", r.ToldAnewSeconds, 0, "seconds")
	c.atLeast("rates.low_free_seconds", r.LowFreeSeconds, 0, "seconds")
}
