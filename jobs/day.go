package jobs

import (
	"fmt"
	"time"
)

// Day is a civil day in the zone of the place it is about, as ISO 8601 text
// (2026-03-08). The empty Day means "none". Text order is time order.
type Day string

// ParseDay reads ISO 8601 calendar text and refuses days that do not exist.
func ParseDay(s string) (Day, error) {
	if _, err := time.Parse(time.DateOnly, s); err != nil || len(s) != 10 {
		return "", fmt.Errorf("%q is not a day like 2026-03-08", s)
	}
	return Day(s), nil
}

// DayOf is the civil day of an instant in a zone.
func DayOf(t time.Time, zone *time.Location) Day {
	return Day(t.In(zone).Format(time.DateOnly))
}

// Valid says whether d is a real calendar day.
func (d Day) Valid() bool { _, err := ParseDay(string(d)); return err == nil }

func (d Day) date() time.Time {
	t, _ := time.Parse(time.DateOnly, string(d))
	return t
}

// Add is the day n calendar days later; negative n goes back.
func (d Day) Add(n int) Day { return Day(d.date().AddDate(0, 0, n).Format(time.DateOnly)) }

// Sub is the number of calendar days from e to d.
func (d Day) Sub(e Day) int { return int(d.date().Sub(e.date()).Hours() / 24) }

// Weekday of the day.
func (d Day) Weekday() time.Weekday { return d.date().Weekday() }

// ISOWeek is the year and week number of ISO 8601, in which week 1 holds the
// year's first Thursday.
func (d Day) ISOWeek() (year, week int) { return d.date().ISOWeek() }

// Monday is the first day of d's ISO week.
func (d Day) Monday() Day { return d.Add(-int((d.Weekday() + 6) % 7)) }

// Words is the day as people read it, always with its weekday: Sun Mar 8, 2026.
// The empty Day stays empty.
func (d Day) Words() string {
	if !d.Valid() {
		return string(d)
	}
	return d.date().Format("Mon Jan 2, 2006")
}

// Start is the first instant of the day in the zone. In the few zones whose
// midnight is skipped by a clock change it is the first instant that exists.
func (d Day) Start(zone *time.Location) time.Time { return Wall(d, 0, zone) }

// Wall is the instant at which clocks in the zone show the given second of
// the day. RFC 5545 (3.3.5) settles the two odd cases: a time skipped by a
// clock change is read with the offset before the gap, and a time that occurs
// twice is the first of the two. (time.Date promises neither.)
func Wall(d Day, secondOfDay int, zone *time.Location) time.Time {
	y, m, dd := d.date().Date()
	naive := time.Date(y, m, dd, 0, 0, secondOfDay, 0, time.UTC)
	// Offsets in force well before and after cover both sides of any change.
	_, before := naive.Add(-36 * time.Hour).In(zone).Zone()
	first := naive.Add(-time.Duration(before) * time.Second)
	var best time.Time
	for _, probe := range []time.Duration{-36 * time.Hour, -3 * time.Hour, 0, 3 * time.Hour, 36 * time.Hour} {
		_, off := naive.Add(probe).In(zone).Zone()
		t := naive.Add(-time.Duration(off) * time.Second)
		_, real := t.In(zone).Zone()
		if real == off && (best.IsZero() || t.Before(best)) {
			best = t
		}
	}
	if !best.IsZero() {
		return best.UTC()
	}
	return first.UTC()
}
