package check

import "ebbline/dispatch/week"

// drive walks a drive of the given seconds that leaves at an instant, second by
// second of work where the speed changes, and gives the arrival.
func drive(periods []week.Period, leave, seconds int64) int64 {
	left := seconds * 1000 // thousandths of a second at the usual speed
	now, speed := leave, int64(1000)
	next := 0
	for next < len(periods) && periods[next].From <= now {
		speed = periods[next].Permille
		next++
	}
	for left > 0 {
		need := (left + speed - 1) / speed // whole seconds at this speed
		if next == len(periods) || now+need <= periods[next].From {
			return now + need
		}
		left -= (periods[next].From - now) * speed
		now, speed = periods[next].From, periods[next].Permille
		next++
	}
	return now
}

// value reads a table at x; false outside of its points.
func value(t week.Table, x int64) (int64, bool) {
	for i := range t {
		if t[i].X == x {
			return t[i].Y, true
		}
		if i > 0 && t[i-1].X < x && x < t[i].X {
			a, b := t[i-1], t[i]
			return a.Y + (x-a.X)*(b.Y-a.Y)/(b.X-a.X), true
		}
	}
	return 0, false
}

// dayOf is the number of the civil day of an instant.
func (c *checker) dayOf(t int64) int64 {
	switch {
	case t < 0:
		return -((-t + 86_399) / 86_400)
	case t >= c.w.End:
		return int64(len(c.w.Days)) + (t-c.w.End)/86_400
	}
	d := 0
	for d+1 < len(c.w.Days) && c.w.Days[d+1].Start <= t {
		d++
	}
	return int64(d)
}

// seconds and metres of the road between two places.
func (c *checker) seconds(from, to string) int64 {
	return c.w.Travel.Seconds[c.ix.Place[from]][c.ix.Place[to]]
}

func (c *checker) metres(from, to string) int64 {
	return c.w.Travel.Metres[c.ix.Place[from]][c.ix.Place[to]]
}

// overlap is the number of seconds that two stretches of time share.
func overlap(a, b, from, to int64) int64 {
	return max(0, min(b, to)-max(a, from))
}
