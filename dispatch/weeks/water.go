package weeks

import "ebbline/dispatch/week"

// tradeWater is how the pool of a conversion becomes low, its tables but the limit, and
// the visit that begins the drain. Much was low before the week began, so crews have work on the
// first day.
func (b *builder) tradeWater() {
	m, j := b.m, b.j
	j.Water = &week.Water{}
	wt := j.Water
	m.fills(wt, m.between(4, 12)*hour, 3*hour)
	quarters := m.between(16, 48)
	wt.LowEarly = m.flow(quarters*900*8/10, 0)
	late := m.flow(quarters*900*12/10, 0)
	drains(wt, quarters*900*12/10)
	switch x := m.r.IntN(100); {
	case x < 30:
		wt.Way, wt.LowLate = week.WayPump, late
		v := b.visit("drain", m.draw(draining))
		v.DropsPump = true
		wt.DrainVisit = v.ID
	case x < 38:
		wt.Way, wt.LowLate = week.WayOutlet, late
		wt.DrainVisit = b.visit("drain", m.draw(draining)).ID
	case x < 58:
		wt.Way, wt.LowLate = week.WayCustomer, late
		wt.Customer = m.customer()
	case x < 74:
		wt.Way = week.WayArrival
		wt.ArrivalSeconds = m.between(60, 110) * 60
		wt.LowEarly = m.flow(wt.ArrivalSeconds*8/10, 0)
		drains(wt, wt.ArrivalSeconds)
	default:
		wt.Way, wt.LowEarly = week.WayWindow, nil
		wt.DrainMedian, wt.DrainLogSD = 0, 0
		wt.Window = &week.Span{} // as long as the work needs
	}
}

// customer is when somebody can be asked to start a drain; some were asked already.
func (m *maker) customer() *week.Customer {
	c := &week.Customer{Lead: 12 * hour, Width: 7200}
	for d := int64(0); d < int64(m.Days); d++ {
		c.Hours = append(c.Hours, week.Span{From: d*86400 + 7*hour, To: d*86400 + 21*hour})
		c.NoticeHours = append(c.NoticeHours, week.Span{From: d*86400 + 8*hour, To: d*86400 + 20*hour})
	}
	if m.chance(40) && !m.Plain {
		from := m.between(0, min(1, int64(m.Days)-1))*86400 + m.between(7, 17)*hour
		c.Sent = &week.Interval{Earliest: from, Latest: from + 2*hour}
	}
	return c
}
