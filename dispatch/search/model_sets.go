package search

import "ebbline/dispatch/week"

// compileSets turns every rule that does not look at another visit into a set of
// allowed starts.
func (m *model) compileSets(j int) {
	jb := &m.jobs[j]
	for i := int32(0); i < jb.n; i++ {
		n := jb.first + i
		v := &m.visits[n]
		if v.fixed {
			continue
		}
		v.free = m.allowed(j, int(i), v.secs, 0)
		v.freeLunch = make([]starts, len(m.lunch))
		if v.interrupt {
			for c, l := range m.lunch {
				v.freeLunch[c] = m.allowed(j, int(i), v.secs+l, 0)
			}
		}
	}
	if jb.told >= 0 {
		m.visits[jb.told].free = m.toldStarts(jb)
	}
}

// allowed returns the starts of a visit that would last secs, with the rules of off
// left aside.
func (m *model) allowed(j, i int, secs int64, off uint8) starts {
	x := &m.w.Jobs[j]
	y := &x.Visits[i]
	jb := &m.jobs[j]
	n := jb.first + int32(i)
	s := starts{{max(m.w.T0, 0), m.w.End - secs}}
	keep := func(lo, hi int64) { s = meet(s, starts{{lo, hi}}) }
	if off&offAvailability == 0 {
		if x.NotBefore != nil {
			keep(*x.NotBefore, never)
		}
		if x.NotAfter != nil {
			keep(always, *x.NotAfter-secs)
		}
		if len(y.Allowed) > 0 {
			var a starts
			for _, p := range y.Allowed {
				if y.EndInside {
					a = append(a, span{p.From, p.To - secs})
				} else {
					a = append(a, span{p.From, p.To})
				}
			}
			s = meet(s, normal(a))
		}
		for c := range m.w.Closures {
			if k := &m.w.Closures[c]; m.shuts(k, m.visits[n].place) {
				s = s.without(k.From-secs+1, k.To-1)
			}
		}
	}
	if off&offPin == 0 && y.Pin != nil && y.Pin.Start != nil {
		keep(*y.Pin.Start, *y.Pin.Start)
	}
	if x.Water == nil {
		return s
	}
	return m.waterStarts(s, x.Water, jb, n, secs, off, y)
}

// waterStarts cuts the starts by what the water's tables and facts say by themselves.
func (m *model) waterStarts(s starts, wt *week.Water, jb *job, n int32, secs int64, off uint8, y *week.Visit) starts {
	keep := func(lo, hi int64) { s = meet(s, starts{{lo, hi}}) }
	low, covered := y.Water == week.NeedLow, y.Water == week.NeedCovered
	limited := wt.Way != week.WayWindow && len(wt.LowLimit) > 0
	if wt.Way == week.WayWindow && wt.Window != nil {
		if low {
			keep(wt.Window.From, wt.Window.To-secs)
		}
		if covered && len(wt.Covered) == 0 {
			keep(wt.Window.To, never)
		}
	}
	if v := &m.visits[n]; v.arrival {
		var h starts
		for _, p := range m.w.WaterHours {
			h = append(h, span{p.From, p.To - wt.ArrivalSeconds})
		}
		s = meet(s, normal(h))
		for c := range m.w.Closures {
			if k := &m.w.Closures[c]; k.StopsPumping && m.shuts(k, m.visits[n].place) {
				s = s.without(k.From-wt.ArrivalSeconds+1, k.To-1)
			}
		}
		s = meet(s, m.beginRange(wt, limited && off&offLow == 0))
	}
	if n == jb.drain {
		for _, p := range m.beginRange(wt, limited && off&offLow == 0) {
			keep(p.lo-secs, p.hi-secs)
		}
	}
	if low && wt.DrainedAt != nil && wt.Way != week.WayWindow && wt.Way != week.WayArrival {
		if y, ok := at(wt.LowLate, *wt.DrainedAt); ok {
			keep(y, never)
		} else {
			return nil
		}
	}
	if low && len(wt.Covered) > 0 {
		keep(wt.Covered[0].X-secs, wt.Covered[len(wt.Covered)-1].X-secs)
		if d := m.drainFact(jb); limited && off&offLow == 0 && d != nil {
			if lim, ok := limitOf(wt, *d); ok {
				keep(always, greatestX(wt.Covered, lim)-secs)
			} else {
				return nil
			}
		}
	}
	if covered && wt.FillFrom != nil && len(wt.Covered) > 0 {
		if y, ok := at(wt.Covered, *wt.FillFrom); ok {
			keep(y, never)
		} else {
			return nil
		}
	}
	return s
}

// drainFact is when draining began, if that is a fact; nil otherwise.
func (m *model) drainFact(jb *job) *int64 {
	if jb.water == nil {
		return nil
	}
	if jb.water.DrainedAt != nil {
		return jb.water.DrainedAt
	}
	if jb.drain >= 0 && m.visits[jb.drain].fixed {
		return &m.visits[jb.drain].begun1
	}
	if jb.water.Way == week.WayArrival && jb.firstLow >= 0 && m.visits[jb.firstLow].fixed {
		return &m.visits[jb.firstLow].begun0
	}
	return nil
}

// limitOf is the instant by which a pool must be covered if draining begins at d.
func limitOf(wt *week.Water, d int64) (int64, bool) {
	y, ok := at(wt.LowEarly, d)
	if !ok {
		return 0, false
	}
	return at(wt.LowLimit, y)
}

// beginRange is where draining may begin so that the tables have values.
func (m *model) beginRange(wt *week.Water, limited bool) starts {
	lo, hi := always, never
	if n := len(wt.LowEarly); n > 0 {
		lo, hi = wt.LowEarly[0].X, wt.LowEarly[n-1].X
		if k := len(wt.LowLimit); limited && k > 0 {
			lo = max(lo, leastX(wt.LowEarly, wt.LowLimit[0].X))
			hi = min(hi, greatestX(wt.LowEarly, wt.LowLimit[k-1].X))
		}
	}
	if n := len(wt.LowLate); n > 0 {
		lo, hi = max(lo, wt.LowLate[0].X), min(hi, wt.LowLate[n-1].X)
	}
	return starts{{lo, hi}}
}

// shuts reports whether a closure holds at a place.
func (m *model) shuts(c *week.Closure, place int32) bool {
	p := &m.w.Places[place]
	return c.All || c.Place != "" && c.Place == p.ID || c.Area != "" && c.Area == p.Area
}

// toldStarts are the begins e of an interval of the least width that a customer may
// be told.
func (m *model) toldStarts(jb *job) starts {
	c := jb.water.Customer
	n := never
	for _, h := range c.NoticeHours {
		if h.To >= m.w.T0 {
			n = min(n, max(h.From, m.w.T0))
		}
	}
	if n == never {
		return nil
	}
	var s starts
	for _, h := range c.Hours {
		s = append(s, span{max(h.From, n+c.Lead), h.To - c.Width})
	}
	limited := len(jb.water.LowLimit) > 0
	return meet(normal(s), m.beginRange(jb.water, limited))
}
