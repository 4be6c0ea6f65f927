package desk

import (
	"slices"
	"time"

	"ebbline/jobs"
)

// LevelStrip is a pool's water through the days.
type LevelStrip struct {
	JobID        string
	JobNumber    int64
	SiteName     string
	CustomerName string
	Drain        jobs.Drain
	LimitSays    string
	Points       []LevelPoint
	VisitIDs     []string
	Confirmed    string // what was last answered; empty: nothing
}

// LevelPoint is a level in thousandths of the way from full (0) to the planned
// low level (1000): Early if all goes fast, Late if all goes slowly.
type LevelPoint struct {
	At          time.Time
	Early, Late int64
}

// strips draws every pool whose water moves in these days, by its first stop.
func (v *weekViewer) strips(from, to time.Time) []LevelStrip {
	var out []LevelStrip
	for _, d := range v.live.Drains {
		j, ok := v.jobs[d.JobID]
		if !ok {
			continue
		}
		s := LevelStrip{JobID: d.JobID, JobNumber: j.Number, SiteName: j.SiteName, CustomerName: j.CustomerName, Drain: d, Confirmed: v.said[d.JobID]}
		if !d.LimitAt.IsZero() {
			s.LimitSays = "lights covered by " + d.LimitAt.In(v.facts.Zone).Format("Mon 3:04 pm")
		}
		var stops []jobs.Stop
		for _, stop := range v.live.Stops {
			if stop.JobID == d.JobID {
				stops = append(stops, stop)
			}
		}
		slices.SortFunc(stops, func(a, b jobs.Stop) int { return a.StartAt.Compare(b.StartAt) })
		for _, stop := range stops {
			s.VisitIDs = append(s.VisitIDs, stop.VisitID)
		}
		s.Points = v.points(d, stops, from, to)
		if touches(d, stops, s.Points, from, to) {
			out = append(out, s)
		}
	}
	slices.SortFunc(out, func(a, b LevelStrip) int {
		if c := begins(a).Compare(begins(b)); c != 0 {
			return c
		}
		return int(a.JobNumber - b.JobNumber)
	})
	return out
}

func begins(s LevelStrip) time.Time {
	if len(s.Points) > 0 {
		for _, p := range s.Points {
			if p.Early > 0 {
				return p.At
			}
		}
	}
	return s.Drain.LowEarlyAt
}

func touches(d jobs.Drain, stops []jobs.Stop, points []LevelPoint, from, to time.Time) bool {
	for _, p := range points {
		if p.Early > 0 && !p.At.Before(from) && !p.At.After(to) {
			return true
		}
	}
	return slices.ContainsFunc(stops, func(s jobs.Stop) bool { return s.StartAt.Before(to) && s.EndAt.After(from) }) && d.CoveredAt.After(from)
}

// move is water on its way between two levels.
type move struct {
	from, to time.Time
	a, b     int64 // thousandths
}

// points are the corners of a pool's two curves inside the view: water moves in
// water hours only, evenly.
func (v *weekViewer) points(d jobs.Drain, stops []jobs.Stop, from, to time.Time) []LevelPoint {
	early, late, work := v.begin(d, stops)
	if early.IsZero() || d.LowEarlyAt.IsZero() {
		return nil
	}
	lowLate := d.LowLateAt
	if lowLate.IsZero() {
		lowLate = d.LowEarlyAt
	}
	fast := []move{{early, d.LowEarlyAt, 0, 1000}}
	slow := []move{{late, lowLate, 0, 1000}}
	if !work.IsZero() && d.CoveredAt.After(work) {
		fast, slow = append(fast, move{work, d.CoveredAt, 1000, 0}), append(slow, move{work, d.CoveredAt, 1000, 0})
	}
	first, last := jobs.DayOf(earlier(early, from), v.facts.Zone), jobs.DayOf(to, v.facts.Zone).Add(dry/5)
	hours := jobs.HoursBetween(v.facts.Rules.WaterHours, first, last, v.facts.Zone)
	corners := []time.Time{from, to}
	for _, m := range append(slices.Clone(fast), slow...) {
		corners = append(corners, m.from, m.to)
		for _, h := range hours {
			if h.From.After(m.from) && h.From.Before(m.to) {
				corners = append(corners, h.From)
			}
			if h.To.After(m.from) && h.To.Before(m.to) {
				corners = append(corners, h.To)
			}
		}
	}
	slices.SortFunc(corners, time.Time.Compare)
	corners = slices.CompactFunc(corners, time.Time.Equal)
	var out []LevelPoint
	for _, at := range corners {
		if at.Before(from) || at.After(to) {
			continue
		}
		out = append(out, LevelPoint{At: at, Early: level(fast, hours, at), Late: level(slow, hours, at)})
	}
	return out
}

// begin is when draining may begin at the earliest and at the latest, and when
// the work in the low pool ends.
func (v *weekViewer) begin(d jobs.Drain, stops []jobs.Stop) (early, late, work time.Time) {
	early, late = d.ToldFrom, d.ToldTo
	for _, s := range stops {
		switch visit := v.visits[s.VisitID]; visit.Kind {
		case jobs.VisitDrain:
			early, late = s.EndAt, s.EndAt
		case jobs.VisitConvert:
			if early.IsZero() && d.WayLow == jobs.LowArrival {
				early, late = s.StartAt, s.StartAt
			}
			work = s.EndAt
		}
	}
	return early, late, work
}

// level is where a curve stands at an instant.
func level(moves []move, hours []jobs.Stretch, at time.Time) int64 {
	for i := len(moves) - 1; i >= 0; i-- {
		m := moves[i]
		if at.Before(m.from) {
			continue
		}
		if !at.Before(m.to) {
			return m.b
		}
		whole := open(hours, m.from, m.to)
		if whole <= 0 {
			return m.a
		}
		return m.a + int64(open(hours, m.from, at)*time.Duration(m.b-m.a)/whole)
	}
	return moves[0].a
}

// open is how much of the hours lies between two instants.
func open(hours []jobs.Stretch, from, to time.Time) time.Duration {
	sum := time.Duration(0)
	for _, h := range hours {
		a, b := h.From, h.To
		if a.Before(from) {
			a = from
		}
		if b.After(to) {
			b = to
		}
		if b.After(a) {
			sum += b.Sub(a)
		}
	}
	return sum / time.Second // whole seconds, so that products stay inside 64 bits
}
