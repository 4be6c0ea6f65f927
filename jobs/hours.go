package jobs

import (
	"sort"
	"time"
)

// Stretch is a closed stretch of time.
type Stretch struct{ From, To time.Time }

// HoursBetween lays weekly hours over the civil days from first to last in a
// zone. Stretches that touch are joined, so hours of 0 to 1440 minutes on every
// weekday are one stretch, also across a clock change.
func HoursBetween(hours []Hours, first, last Day, zone *time.Location) []Stretch {
	var out []Stretch
	for d := first; d <= last; d = d.Add(1) {
		for _, h := range hours {
			if h.Weekday != int(d.Weekday()) {
				continue
			}
			from, to := MinuteOf(d, h.FromMinute, zone), MinuteOf(d, h.ToMinute, zone)
			if to.After(from) {
				out = append(out, Stretch{from, to})
			}
		}
	}
	sort.Slice(out, func(i, j int) bool { return out[i].From.Before(out[j].From) })
	joined := out[:0]
	for _, b := range out {
		if n := len(joined); n > 0 && !b.From.After(joined[n-1].To) {
			if b.To.After(joined[n-1].To) {
				joined[n-1].To = b.To
			}
			continue
		}
		joined = append(joined, b)
	}
	return joined
}

// MinuteOf is the instant at which clocks show the minute of the day; minute
// 1440 is the next midnight.
func MinuteOf(d Day, minute int64, zone *time.Location) time.Time {
	if minute >= 24*60 {
		return Wall(d.Add(int(minute/(24*60))), int(minute%(24*60))*60, zone)
	}
	return Wall(d, int(minute)*60, zone)
}

// NextWithin is the first instant at t or later that lies in the weekly hours
// of a zone, before the end of the hours. Without any hours it is t.
func NextWithin(hours []Hours, t time.Time, zone *time.Location) time.Time {
	day := DayOf(t, zone)
	for _, b := range HoursBetween(hours, day.Add(-1), day.Add(8), zone) {
		if t.Before(b.From) {
			return b.From
		}
		if t.Before(b.To) {
			return t
		}
	}
	return t
}

// Without cuts stretches out of others.
func Without(from []Stretch, cut []Stretch) []Stretch {
	for _, c := range cut {
		var left []Stretch
		for _, b := range from {
			if !c.To.After(b.From) || !c.From.Before(b.To) {
				left = append(left, b)
				continue
			}
			if c.From.After(b.From) {
				left = append(left, Stretch{b.From, c.From})
			}
			if c.To.Before(b.To) {
				left = append(left, Stretch{c.To, b.To})
			}
		}
		from = left
	}
	return from
}
