package bound

import "ebbline/dispatch/week"

// water narrows starts by what the pool needs; false if nothing is left.
func (c *chooser) water() bool {
	x := c.jb.week
	w := x.Water
	if w == nil {
		return true
	}
	early, late, drained := c.drain()
	if !drained && w.Way != week.WayWindow {
		return c.deep < len(x.Visits) || !c.needsLow()
	}
	fill, fills := c.fill()
	for n := range x.Visits {
		if !c.placed(n) {
			continue
		}
		switch v := &x.Visits[n]; {
		case v.Water == week.NeedLow && !c.low(n, late):
			return false
		case v.Water == week.NeedCovered && w.Way == week.WayWindow && len(w.Covered) == 0:
			if !c.raise(n, w.Window.To) {
				return false
			}
		case v.Water == week.NeedCovered:
			ready, ok := least(w.Covered, fill)
			if !fills && c.deep < len(x.Visits) {
				continue // not chosen yet
			}
			if !fills || !ok || !c.raise(n, ready) || !c.beforeCover(n) {
				return false
			}
		}
	}
	if w.Way == week.WayWindow || !fills {
		return true
	}
	return c.limit(early, fill)
}

// low narrows a visit that needs low water, where draining begins at late or later.
func (c *chooser) low(n int, late int64) bool {
	x := c.jb.week
	w := x.Water
	switch w.Way {
	case week.WayWindow:
		return true // in its starts
	case week.WayArrival:
		f := c.number(firstLow(x).ID)
		if f == n {
			return true
		}
		if !c.placed(f) {
			return false
		}
		return c.raise(n, c.lo[f]+x.Visits[f].Seconds) && c.lower(f, c.hi[n]-x.Visits[f].Seconds)
	}
	ready, ok := least(w.LowLate, late)
	if !ok || !c.raise(n, ready) {
		return false
	}
	if f := c.number(w.DrainVisit); c.placed(f) {
		end, ok := last(w.LowLate, c.hi[n])
		return ok && c.lower(f, end-x.Visits[f].Seconds)
	}
	return true
}

// beforeCover narrows the visits that need low water by one that waits for the cover.
func (c *chooser) beforeCover(n int) bool {
	x := c.jb.week
	end, ok := last(x.Water.Covered, c.hi[n])
	if !ok {
		return false
	}
	for k := range x.Visits {
		if x.Visits[k].Water == week.NeedLow && c.placed(k) && !c.lower(k, end-x.Visits[k].Seconds) {
			return false
		}
	}
	return true
}

// limit narrows so that the pool is covered before it was low too long, where draining
// begins at early or before and filling begins at fill or later.
func (c *chooser) limit(early, fill int64) bool {
	x := c.jb.week
	w := x.Water
	covered, ok := least(w.Covered, fill)
	if !ok {
		return false
	}
	from, ok := last(w.LowLimit, covered-1) // low from there or before is too early
	if ok {
		d, found := last(w.LowEarly, from)
		if found && early <= d {
			return false
		}
		if f := c.number(w.DrainVisit); found && c.placed(f) && !c.raise(f, d+1-c.end(f)) {
			return false
		}
	}
	low, ok := at(w.LowEarly, min(early, w.LowEarly[len(w.LowEarly)-1].X))
	if !ok {
		return true // before every point: nothing is known of it here
	}
	limit, ok := at(w.LowLimit, min(low, w.LowLimit[len(w.LowLimit)-1].X))
	if !ok {
		return true
	}
	end, ok := last(w.Covered, limit)
	if !ok {
		return false
	}
	for k := range x.Visits {
		if x.Visits[k].Water == week.NeedLow && c.placed(k) && !c.lower(k, end-x.Visits[k].Seconds) {
			return false
		}
	}
	return true
}

func (c *chooser) needsLow() bool {
	for n := range c.jb.week.Visits {
		if c.jb.week.Visits[n].Water == week.NeedLow && c.placed(n) {
			return true
		}
	}
	return false
}

// drain bounds when draining begins: it may begin at early at the latest, as far as
// the low limit goes, and late is the earliest that the low visits have to wait for.
func (c *chooser) drain() (early, late int64, ok bool) {
	x := c.jb.week
	w := x.Water
	switch w.Way {
	case week.WayCustomer:
		return c.toldBounds()
	case week.WayArrival:
		f := firstLow(x)
		if f == nil || !c.placed(c.number(f.ID)) {
			return 0, 0, false
		}
		n := c.number(f.ID)
		return c.hi[n], c.lo[n], true
	}
	n := c.number(w.DrainVisit)
	if !c.placed(n) {
		return 0, 0, false
	}
	return c.hi[n] + c.end(n), c.lo[n] + x.Visits[n].Seconds, true
}

// toldBounds are the greatest earliest and the least latest end of an interval that a
// customer can be told, such that the first low visit can still wait for it.
func (c *chooser) toldBounds() (early, late int64, ok bool) {
	x, w := c.jb.week, c.m.w
	k := x.Water.Customer
	f := firstLow(x)
	if k == nil || f == nil {
		return 0, 0, false
	}
	most := int64(never)
	if n := c.number(f.ID); c.placed(n) {
		if most, ok = last(x.Water.LowLate, c.hi[n]); !ok {
			return 0, 0, false
		}
	}
	early, late = always, never
	if k.Sent != nil && k.Sent.Latest <= most {
		early, late = k.Sent.Earliest, k.Sent.Latest
	}
	send := int64(never)
	for _, h := range k.NoticeHours {
		if h.To >= w.T0 {
			send = max(h.From, w.T0) + k.Lead
			break
		}
	}
	for _, h := range k.Hours {
		from, to := max(h.From, send, w.T0), min(h.To, most)
		if from+k.Width > to {
			continue
		}
		early, late = max(early, to-k.Width), min(late, from+k.Width)
	}
	return early, late, late < never
}

// fill bounds from below when filling begins.
func (c *chooser) fill() (from int64, ok bool) {
	from = always
	for n := range c.jb.week.Visits {
		v := &c.jb.week.Visits[n]
		if v.Water != week.NeedLow {
			continue
		}
		if !c.placed(n) {
			return 0, false
		}
		from, ok = max(from, c.lo[n]+v.Seconds), true
	}
	return from, ok
}

// lowSeconds is how long the pool may be low at the least; false if the choice can't be.
func (c *chooser) lowSeconds() (int64, bool) {
	w := c.jb.week.Water
	if w == nil || w.Way == week.WayWindow {
		return 0, true
	}
	early, _, drained := c.drain()
	fill, fills := c.fill()
	if !drained || !fills {
		return 0, true
	}
	low, ok1 := at(w.LowEarly, min(early, w.LowEarly[len(w.LowEarly)-1].X))
	covered, ok2 := least(w.Covered, fill)
	if !ok1 || !ok2 {
		return 0, true
	}
	return covered - low, true
}
