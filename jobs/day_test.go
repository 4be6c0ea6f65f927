package jobs

import (
	"testing"
	"time"
	_ "time/tzdata"

	"pgregory.net/rapid"
)

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

// TestWallAcrossTransitions: the instants of the changes are those of the IANA
// time zone database (files northamerica, australasia, southamerica, africa and
// asia), as zdump prints them; what a skipped or doubled time means is RFC 5545,
// 3.3.5.
func TestWallAcrossTransitions(t *testing.T) {
	for _, row := range []struct {
		zone, day, wall, utc, why string
	}{
		// Los Angeles 2026: gap 8 March 02:00 -> 03:00 (10:00Z), overlap 1 November 02:00 -> 01:00 (09:00Z).
		{"America/Los_Angeles", "2026-03-08", "00:00", "2026-03-08T08:00:00Z", "before the gap"},
		{"America/Los_Angeles", "2026-03-08", "01:59", "2026-03-08T09:59:00Z", "last before the gap"},
		{"America/Los_Angeles", "2026-03-08", "02:00", "2026-03-08T10:00:00Z", "skipped: the offset before, which is 03:00"},
		{"America/Los_Angeles", "2026-03-08", "02:30", "2026-03-08T10:30:00Z", "skipped: 03:30"},
		{"America/Los_Angeles", "2026-03-08", "03:00", "2026-03-08T10:00:00Z", "first after the gap"},
		{"America/Los_Angeles", "2026-03-08", "12:00", "2026-03-08T19:00:00Z", "noon after"},
		{"America/Los_Angeles", "2026-11-01", "00:59", "2026-11-01T07:59:00Z", "before the overlap"},
		{"America/Los_Angeles", "2026-11-01", "01:00", "2026-11-01T08:00:00Z", "twice: the first"},
		{"America/Los_Angeles", "2026-11-01", "01:30", "2026-11-01T08:30:00Z", "twice: the first"},
		{"America/Los_Angeles", "2026-11-01", "02:00", "2026-11-01T10:00:00Z", "after the overlap"},
		// New York 2026: the same local times, 07:00Z and 06:00Z.
		{"America/New_York", "2026-03-08", "02:30", "2026-03-08T07:30:00Z", "skipped"},
		{"America/New_York", "2026-11-01", "01:30", "2026-11-01T05:30:00Z", "twice"},
		// Phoenix has no summer time.
		{"America/Phoenix", "2026-03-08", "02:30", "2026-03-08T09:30:00Z", "no change"},
		{"America/Phoenix", "2026-11-01", "01:30", "2026-11-01T08:30:00Z", "no change"},
		// Denver, and the Navajo part of Arizona, which follows it.
		{"America/Denver", "2026-03-08", "02:15", "2026-03-08T09:15:00Z", "skipped"},
		// Sydney 2026: overlap 5 April 03:00 -> 02:00 (16:00Z the day before), gap 4 October 02:00 -> 03:00.
		{"Australia/Sydney", "2026-04-05", "02:30", "2026-04-04T15:30:00Z", "twice: the first"},
		{"Australia/Sydney", "2026-04-05", "03:00", "2026-04-04T17:00:00Z", "after the overlap"},
		{"Australia/Sydney", "2026-10-04", "02:30", "2026-10-03T16:30:00Z", "skipped"},
		// Lord Howe changes by half an hour: overlap 5 April 02:00 -> 01:30, gap 4 October 02:00 -> 02:30.
		{"Australia/Lord_Howe", "2026-04-05", "01:29", "2026-04-04T14:29:00Z", "before"},
		{"Australia/Lord_Howe", "2026-04-05", "01:45", "2026-04-04T14:45:00Z", "twice: the first"},
		{"Australia/Lord_Howe", "2026-04-05", "02:00", "2026-04-04T15:30:00Z", "after"},
		{"Australia/Lord_Howe", "2026-10-04", "02:15", "2026-10-03T15:45:00Z", "skipped: 02:45"},
		{"Australia/Lord_Howe", "2026-10-04", "02:30", "2026-10-03T15:30:00Z", "first after"},
		// Auckland 2026: gap 27 September 02:00 -> 03:00.
		{"Pacific/Auckland", "2026-09-27", "02:30", "2026-09-26T14:30:00Z", "skipped"},
		// Santiago changes at midnight: 6 September 2026 has no 00:00 to 01:00.
		{"America/Santiago", "2026-09-06", "00:00", "2026-09-06T04:00:00Z", "midnight skipped: the first instant of the day"},
		{"America/Santiago", "2026-09-06", "00:30", "2026-09-06T04:30:00Z", "skipped"},
		// Apia left out 30 December 2011 whole.
		{"Pacific/Apia", "2011-12-29", "23:59", "2011-12-30T09:59:00Z", "last minute before the day that was not"},
		{"Pacific/Apia", "2011-12-31", "00:00", "2011-12-30T10:00:00Z", "first minute after"},
		// Kathmandu: an offset of quarter hours.
		{"Asia/Kathmandu", "2026-06-01", "12:00", "2026-06-01T06:15:00Z", "five and three quarters"},
		{"UTC", "2038-01-19", "03:14", "2038-01-19T03:14:00Z", "beyond 31 bits of seconds a minute later"},
		{"UTC", "2038-01-20", "00:00", "2038-01-20T00:00:00Z", "beyond 31 bits"},
	} {
		clock, err := time.Parse("15:04", row.wall)
		if err != nil {
			t.Fatal(err)
		}
		want, err := time.Parse(time.RFC3339, row.utc)
		if err != nil {
			t.Fatal(err)
		}
		got := Wall(Day(row.day), clock.Hour()*3600+clock.Minute()*60, zone(t, row.zone))
		if !got.Equal(want) || got.Location() != time.UTC {
			t.Errorf("%s %s %s: %s, want %s (%s)", row.zone, row.day, row.wall, got.Format(time.RFC3339), row.utc, row.why)
		}
	}
}

// A day is as long as the zone makes it.
func TestDaysAreNotAlways24Hours(t *testing.T) {
	for _, row := range []struct {
		zone  string
		day   Day
		hours float64
	}{
		{"America/Los_Angeles", "2026-03-08", 23}, {"America/Los_Angeles", "2026-11-01", 25}, {"America/Los_Angeles", "2026-07-01", 24},
		{"America/Phoenix", "2026-03-08", 24}, {"Australia/Lord_Howe", "2026-04-05", 24.5}, {"Australia/Lord_Howe", "2026-10-04", 23.5},
		{"America/Santiago", "2026-09-06", 23},
	} {
		z := zone(t, row.zone)
		if got := row.day.Add(1).Start(z).Sub(row.day.Start(z)).Hours(); got != row.hours {
			t.Errorf("%s in %s has %v hours, want %v", row.day, row.zone, got, row.hours)
		}
		if d := DayOf(row.day.Start(z), z); d != row.day {
			t.Errorf("the first instant of %s in %s lies on %s", row.day, row.zone, d)
		}
		if d := DayOf(row.day.Start(z).Add(-time.Second), z); d != row.day.Add(-1) {
			t.Errorf("the second before %s in %s lies on %s", row.day, row.zone, d)
		}
	}
}

// ISO 8601 weeks, from the examples that the standard's users print: the first
// week holds the first Thursday, so days about New Year belong to either year.
func TestISOWeeks(t *testing.T) {
	for _, row := range []struct {
		day        Day
		year, week int
		monday     Day
	}{
		{"2005-01-01", 2004, 53, "2004-12-27"}, {"2005-01-02", 2004, 53, "2004-12-27"}, {"2005-12-31", 2005, 52, "2005-12-26"},
		{"2007-01-01", 2007, 1, "2007-01-01"}, {"2008-12-29", 2009, 1, "2008-12-29"}, {"2010-01-03", 2009, 53, "2009-12-28"},
		{"2026-01-01", 2026, 1, "2025-12-29"}, {"2026-12-31", 2026, 53, "2026-12-28"}, {"2027-01-03", 2026, 53, "2026-12-28"},
	} {
		year, week := row.day.ISOWeek()
		if year != row.year || week != row.week || row.day.Monday() != row.monday {
			t.Errorf("%s: %d-W%02d from %s", row.day, year, week, row.day.Monday())
		}
	}
}

func TestDaysThatAreNone(t *testing.T) {
	for _, s := range []string{"", "2026-02-29", "2026-02-30", "2026-13-01", "0000-00-00", "2026-3-8", "20260308", "2026-03-08T00:00:00Z", " 2026-03-08", "2026-W10-7"} {
		if d, err := ParseDay(s); err == nil {
			t.Errorf("%q was read as %s", s, d)
		}
	}
	if !Day("2028-02-29").Valid() || Day("2028-02-28").Add(2) != "2028-03-01" || Day("2026-03-01").Sub("2026-02-28") != 1 {
		t.Error("leap days")
	}
}

// Whatever the zone, day and second: the wall shows what was asked for, unless a
// change skipped it, and never an instant of the second pass through an hour.
func TestWallProperties(t *testing.T) {
	zones := []string{"America/Los_Angeles", "America/Phoenix", "Australia/Lord_Howe", "America/Santiago", "Europe/Dublin", "Africa/Casablanca", "Asia/Kathmandu"}
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom(zones).Draw(t, "zone")
		z, _ := time.LoadLocation(name)
		day := Day("2025-01-01").Add(rapid.IntRange(0, 1500).Draw(t, "day"))
		second := rapid.IntRange(0, 86399).Draw(t, "second")
		got := Wall(day, second, z)
		local := got.In(z)
		shown := local.Hour()*3600 + local.Minute()*60 + local.Second()
		if DayOf(got, z) == day && shown == second {
			if before := got.Add(-time.Hour).In(z); DayOf(before, z) == day && before.Hour()*3600+before.Minute()*60+before.Second() == second {
				t.Fatalf("%s %s %d: the second of two", name, day, second)
			}
			return
		}
		// Skipped: it lies beyond by less than the change, and the offset is that before.
		_, off := got.Add(-3 * time.Hour).In(z).Zone()
		if want := day.date().Add(time.Duration(second-off) * time.Second); !got.Equal(want) {
			t.Fatalf("%s %s %d: %s shows %s", name, day, second, got, local)
		}
	})
}

// Lead times count elapsed time: twenty hours before a visit are twenty hours
// though the clock says nineteen or twenty-one.
func TestLeadTimesElapse(t *testing.T) {
	z := zone(t, "America/Los_Angeles")
	visit := Wall("2026-03-08", 12*3600, z)
	if got := visit.Add(-20 * time.Hour).In(z).Format("02 15:04"); got != "07 15:00" {
		t.Errorf("twenty hours before noon after the gap: %s", got)
	}
	visit = Wall("2026-11-01", 12*3600, z)
	if got := visit.Add(-20 * time.Hour).In(z).Format("02 15:04"); got != "31 17:00" {
		t.Errorf("twenty hours before noon after the overlap: %s", got)
	}
}
