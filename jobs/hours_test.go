package jobs

import (
	"testing"
	"time"
	_ "time/tzdata"
)

func loadZone(t *testing.T, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

// The changes of 2026-03-08 and 2026-11-01 in Los Angeles are those of the IANA
// time zone database.
func TestHoursAcrossClockChanges(t *testing.T) {
	zone := loadZone(t, "America/Los_Angeles")
	night := []Hours{{Weekday: 0, FromMinute: 0, ToMinute: 240}}
	for _, c := range []struct {
		day  Day
		want time.Duration
	}{{"2026-03-08", 3 * time.Hour}, {"2026-11-01", 5 * time.Hour}, {"2026-03-15", 4 * time.Hour}} {
		got := HoursBetween(night, c.day, c.day, zone)
		if len(got) != 1 || got[0].To.Sub(got[0].From) != c.want {
			t.Errorf("%s: %v, want one stretch of %v", c.day, got, c.want)
		}
	}
	whole := daily(0, 6, 0, 1440)
	got := HoursBetween(whole, "2026-03-06", "2026-03-10", zone)
	if len(got) != 1 || got[0].To.Sub(got[0].From) != 5*24*time.Hour-time.Hour {
		t.Errorf("whole days: %v", got)
	}
}

func TestNextWithin(t *testing.T) {
	zone := loadZone(t, "America/Phoenix")
	hours := daily(1, 5, 8*60, 20*60)
	at := func(s string) time.Time {
		got, err := time.ParseInLocation("2006-01-02 15:04", s, zone)
		if err != nil {
			t.Fatal(err)
		}
		return got
	}
	for _, c := range []struct{ from, want string }{
		{"2026-03-09 06:00", "2026-03-09 08:00"},
		{"2026-03-09 08:00", "2026-03-09 08:00"},
		{"2026-03-09 19:59", "2026-03-09 19:59"},
		{"2026-03-09 20:00", "2026-03-10 08:00"},
		{"2026-03-13 21:00", "2026-03-16 08:00"}, // Friday night to Monday
	} {
		if got := NextWithin(hours, at(c.from), zone); !got.Equal(at(c.want)) {
			t.Errorf("%s: %v, want %s", c.from, got.In(zone), c.want)
		}
	}
}

func TestWithoutCuts(t *testing.T) {
	at := func(h int) time.Time { return time.Date(2026, 3, 9, h, 0, 0, 0, time.UTC) }
	from := []Stretch{{at(7), at(12)}, {at(14), at(20)}}
	got := Without(from, []Stretch{{at(10), at(15)}, {at(16), at(17)}})
	want := []Stretch{{at(7), at(10)}, {at(15), at(16)}, {at(17), at(20)}}
	if len(got) != len(want) {
		t.Fatalf("%v", got)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("%d: %v, want %v", i, got[i], want[i])
		}
	}
}

func TestWindowHoldsItsStart(t *testing.T) {
	for minute := range 24 * 60 {
		start := time.Date(2026, 3, 9, 0, minute, 0, 0, time.UTC)
		for _, width := range []time.Duration{15 * time.Minute, time.Hour, 2 * time.Hour, 4 * time.Hour} {
			from, to := Window(start, width)
			if p := (Promise{FromAt: from, ToAt: to}); !p.Holds(start) || to.Sub(from) != width {
				t.Fatalf("start %v width %v: %v to %v", start, width, from, to)
			}
		}
	}
	from, to := Window(time.Date(2026, 3, 9, 9, 10, 0, 0, time.UTC), 2*time.Hour)
	if from.Minute() != 30 || from.Hour() != 8 || to.Hour() != 10 {
		t.Errorf("9:10 is promised as %v to %v", from, to)
	}
}
