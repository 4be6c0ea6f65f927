package main

import (
	"fmt"
	"time"

	"ebbline/dispatch/week"
)

// civil turns the instants of a week, seconds from its first local midnight,
// into what a clock on the wall shows.
type civil struct {
	zone  *time.Location
	first time.Time
	days  []week.Day
}

func newCivil(w *week.Week) (civil, error) {
	zone, err := time.LoadLocation(w.Zone)
	if err != nil {
		return civil{}, fmt.Errorf("zone: %q is not right; a name of the IANA list, such as America/Phoenix", w.Zone)
	}
	if len(w.Days) == 0 {
		return civil{}, fmt.Errorf("days: there is none")
	}
	first, err := time.ParseInLocation(time.DateOnly, w.Days[0].Date, zone)
	if err != nil {
		return civil{}, fmt.Errorf("days[0].date: %q is not right; a day such as 2026-03-09", w.Days[0].Date)
	}
	return civil{zone, first, w.Days}, nil
}

// check tests that every day begins at the zone's midnight of its date.
func (c civil) check() error {
	for i, day := range c.days {
		midnight, err := time.ParseInLocation(time.DateOnly, day.Date, c.zone)
		if err != nil {
			return fmt.Errorf("days[%d].date: %q is not right; a day such as 2026-03-09", i, day.Date)
		}
		if want := midnight.Unix() - c.first.Unix(); day.Start != want {
			return fmt.Errorf("days[%d].start: %d is not right; in %s the day %s begins at second %d", i, day.Start, c.zone, day.Date, want)
		}
	}
	return nil
}

// at is the instant as a civil time. Adding seconds to the first midnight is
// right on days of 23 and 25 hours too: both count elapsed time.
func (c civil) at(second int64) time.Time { return c.first.Add(time.Duration(second) * time.Second) }

// hour shows the time of day: 07:05.
func (c civil) hour(second int64) string { return c.at(second).Format("15:04") }

// dayHour shows the day too: Mon 07:05.
func (c civil) dayHour(second int64) string { return c.at(second).Format("Mon 15:04") }

// date shows the day: Mon 9 Mar.
func (c civil) date(day int) string { return c.at(c.days[day].Start).Format("Mon 2 Jan") }

// hourFrom shows the time of day, and the day where it is not that of day.
func (c civil) hourFrom(day int, second int64) string {
	a, b := c.at(second), c.at(c.days[day].Start)
	if a.YearDay() == b.YearDay() && a.Year() == b.Year() {
		return c.hour(second)
	}
	return c.dayHour(second)
}

// length shows a length of time: 45 min, 3 h, 3 h 20.
func length(seconds int64) string {
	minutes := (seconds + 30) / 60
	switch {
	case minutes < 60:
		return fmt.Sprintf("%d min", minutes)
	case minutes%60 == 0:
		return fmt.Sprintf("%d h", minutes/60)
	default:
		return fmt.Sprintf("%d h %02d", minutes/60, minutes%60)
	}
}
