package weeks

import "ebbline/dispatch/week"

// flow is the table of water that moves for some seconds in water hours only, and
// then settles.
func (m *maker) flow(seconds, settle int64) week.Table {
	hours := m.waterHours()
	end := func(x int64) int64 {
		left := seconds
		for _, h := range hours {
			a, b := max(h.From, x), h.To
			if b <= a {
				continue
			}
			if b-a >= left {
				return a + left + settle
			}
			left -= b - a
		}
		return hours[len(hours)-1].To + settle // far past every horizon
	}
	var t week.Table
	add := func(x int64) {
		if n := len(t); n == 0 || t[n-1].X < x {
			t = append(t, week.Point{X: x, Y: end(x)})
		}
	}
	for i, h := range hours {
		if i == 0 || h.From >= 30*86400 {
			continue
		}
		add(h.From)
		// Between two of these the end moves as the begin does: it jumps only for a
		// drain that begins so long before a closing that it just ends with it.
		for _, x := range ends(hours, i, seconds) {
			add(x)
			add(x + 1)
		}
		add(h.To)
		add(h.To + 1)
	}
	return t
}

// ends are the instants inside hours[i] from which a flow ends exactly as some later
// span does, rising.
func ends(hours []week.Span, i int, seconds int64) []int64 {
	var list []int64
	h, sum := hours[i], int64(0)
	for k := i; k < len(hours) && sum <= seconds; k++ {
		if k > i {
			sum += hours[k].To - hours[k].From
		}
		// From x in hours[i], h.To-x+sum seconds pass by the end of span k.
		if x := h.To + sum - seconds; x >= h.From && x < h.To {
			list = append(list, x)
		}
	}
	return list
}

// pumping is when water may be moved on a day.
func (m *maker) pumping(day int64) week.Span {
	if m.Load > 0 { // the town wants quiet
		return week.Span{From: day*86400 + 8*hour, To: day*86400 + 21*hour}
	}
	return week.Span{From: day*86400 + 6*hour, To: day*86400 + 22*hour}
}

// waterHours are the hours of water, less the storms that stop pumping, from before
// the horizon to well past it.
func (m *maker) waterHours() []week.Span {
	var list []week.Span
	for d := int64(-11); d < 60; d++ {
		h := m.pumping(d)
		for _, c := range m.w.Closures {
			if c.All && c.StopsPumping && c.From < h.To && h.From < c.To {
				if h.From < c.From {
					list = append(list, week.Span{From: h.From, To: c.From})
				}
				h.From = c.To
			}
		}
		if h.From < h.To {
			list = append(list, h)
		}
	}
	return list
}
