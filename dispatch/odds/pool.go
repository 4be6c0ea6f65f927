package odds

import "ebbline/dispatch/week"

// pool is the water of a planned job.
type pool struct {
	job           string
	drain, fill   length
	late, covered week.Table
	// lateDrain and lateFill are the lengths that the tables stand for.
	lateDrain, lateFill int64
	hours               *hours
	customer            *week.Told // told interval; nil: another way
	startKey            uint64
	drainedAt           *int64
	fillFrom            *int64
	window              *week.Span
	arrival             int64 // planned seconds of lowering on arrival; 0: another way
	lows                int32 // planned visits that need it low
	owed                bool  // one of them is not in the plan
}

// isLow is when a pool is low whose draining began at an instant.
func (m *model) isLow(p *pool, began int64, l *life) int64 {
	at := read(p.late, began)
	if at == never || !p.drain.known() {
		return at
	}
	return max(began, p.hours.shift(at, p.drain.draw(l.s, l.run, l.dayWater[m.day(began)])-p.lateDrain))
}

// isCovered is when its lights are under water again, if filling began at an instant.
func (m *model) isCovered(p *pool, began int64, l *life) int64 {
	if len(p.covered) == 0 { // low by season
		return p.window.To
	}
	at := read(p.covered, began)
	if at == never || !p.fill.known() {
		return at
	}
	return max(began, p.hours.shift(at, p.fill.draw(l.s, l.run, l.dayWater[m.day(began)])-p.lateFill))
}

// read gives a table's value; before its first point that point's, after the last never.
func read(t week.Table, x int64) int64 {
	if len(t) == 0 || x > t[len(t)-1].X {
		return never
	}
	if x <= t[0].X {
		return t[0].Y
	}
	a, b := 0, len(t)-1 // t[a].X < x <= t[b].X
	for b-a > 1 {
		if c := (a + b) / 2; t[c].X < x {
			a = c
		} else {
			b = c
		}
	}
	p, q := t[a], t[b]
	if x == q.X {
		return q.Y
	}
	return p.Y + (x-p.X)*(q.Y-p.Y)/(q.X-p.X)
}
