package check

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"ebbline/dispatch/week"
)

func TestDrive(t *testing.T) {
	// From 8:00 half the speed, from 9:00 the usual again, from 10:00 double.
	rush := []week.Period{{From: 8 * hour, Permille: 500}, {From: 9 * hour, Permille: 1000}, {From: 10 * hour, Permille: 2000}}
	for _, c := range []struct {
		name    string
		periods []week.Period
		leave   int64
		seconds int64
		want    int64
	}{
		{"no periods", nil, 8 * hour, 1200, 8*hour + 1200},
		{"no road", rush, 8 * hour, 0, 8 * hour},
		{"before the rush", rush, 7*hour + 40*minute, 1200, 8 * hour},
		{"a second into it", rush, 7*hour + 40*minute + 1, 1200, 8*hour + 2},
		{"inside", rush, 8*hour + 10*minute, 1200, 8*hour + 50*minute},
		{"through: 10 min before, 30 at half, 15 after", rush, 7*hour + 50*minute, 55 * minute, 9*hour + 15*minute},
		{"the last period holds on", rush, 12 * hour, 1201, 12*hour + 601},
		{"odd speeds round up once", []week.Period{{From: 0, Permille: 300}, {From: 10, Permille: 700}}, 0, 10, 20}, // 3,000 by second 10, 7,000 in 10 more
		{"one thousandth short", []week.Period{{From: 0, Permille: 333}}, 0, 1, 4},
	} {
		if got := drive(c.periods, c.leave, c.seconds); got != c.want {
			t.Errorf("%s: arrives %d, want %d", c.name, got, c.want)
		}
	}
}

// TestDriveBySeconds compares with the definition word for word: the least t at which
// the permilles of the seconds from leaving to t-1 add up to the road; and who leaves
// later never arrives earlier.
func TestDriveBySeconds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var periods []week.Period
		from := rapid.Int64Range(-50, 50).Draw(t, "first")
		for range rapid.IntRange(0, 6).Draw(t, "periods") {
			periods = append(periods, week.Period{From: from, Permille: rapid.Int64Range(1, 3000).Draw(t, "permille")})
			from += rapid.Int64Range(1, 40).Draw(t, "length")
		}
		speed := func(at int64) int64 {
			v := int64(1000)
			for _, p := range periods {
				if p.From <= at {
					v = p.Permille
				}
			}
			return v
		}
		leave, seconds := rapid.Int64Range(-100, 200).Draw(t, "leave"), rapid.Int64Range(0, 60).Draw(t, "seconds")
		want, sum := leave, int64(0)
		for sum < seconds*1000 {
			sum += speed(want)
			want++
		}
		got := drive(periods, leave, seconds)
		if got != want {
			t.Fatalf("arrives %d, by seconds %d", got, want)
		}
		if next := drive(periods, leave+1, seconds); next < got {
			t.Fatalf("leaving a second later arrives %d, before %d", next, got)
		}
	})
}

func TestValue(t *testing.T) {
	table := week.Table{{X: 0, Y: 100}, {X: 10, Y: 105}, {X: 11, Y: 200}, {X: 20, Y: 200}}
	for x, want := range map[int64]int64{0: 100, 1: 100, 2: 101, 3: 101, 9: 104, 10: 105, 11: 200, 15: 200, 20: 200} {
		if got, ok := value(table, x); !ok || got != want {
			t.Errorf("at %d: %d %v, want %d", x, got, ok, want)
		}
	}
	for _, x := range []int64{-1, 21} {
		if _, ok := value(table, x); ok {
			t.Errorf("at %d: a value outside of the table", x)
		}
	}
}

// TestPeriodTravel: the same tour through a slow hour.
func TestPeriodTravel(t *testing.T) {
	w, p := survey() // leaves 8:40, arrives 9:00, starts 9:00
	w.Travel.Periods = []week.Period{{From: at(0, 8, 0), Permille: 500}, {From: at(0, 9, 30), Permille: 1000}}
	wantBroken(t, w, p, RuleDrive)
	s := stopOf(p, "s.look")
	s.Arrive, s.Start, s.End = at(0, 9, 20), at(0, 9, 20), at(0, 10, 20)
	p.Tours[0].HeadHome, p.Tours[0].Return = at(0, 10, 20), at(0, 10, 40)
	wantOK(t, w, p)
}

// TestClockChange: on 2026-03-08 clocks in New York go from 2:00 to 3:00 (IANA time zone
// database, America/New_York), so that Sunday has 23 hours. The problem knows it only
// from the second at which Monday begins; days late, the clock in sentences and the
// tours' shifts follow.
func TestClockChange(t *testing.T) {
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	first := time.Date(2026, 3, 7, 0, 0, 0, 0, zone)
	of := func(d, h, m int) int64 {
		return int64(time.Date(2026, 3, d, h, m, 0, 0, zone).Sub(first) / time.Second)
	}
	w, p := newWeek(), &week.Plan{}
	w.Zone = zone.String()
	for i := range w.Days {
		w.Days[i] = week.Day{Date: first.AddDate(0, 0, i).Format(time.DateOnly), Start: of(7+i, 0, 0)}
	}
	w.End, w.NextWorkday.End = of(10, 0, 0), of(11, 0, 0)
	if w.Days[2].Start != 47*hour {
		t.Fatalf("Monday begins at %d, want 47 h", w.Days[2].Start)
	}
	for i := range w.Tours {
		tour := &w.Tours[i]
		d := 7 + tour.Day
		tour.ShiftFrom, tour.ShiftTo, tour.OvertimeTo = of(d, 7, 0), of(d, 15, 30), of(d, 17, 30)
		tour.Lunch.From, tour.Lunch.To = of(d, 11, 0), of(d, 13, 0)
	}
	j := addSurvey(w, "s", "ash", hour)
	j.DueDay = 0
	addTour(w, p, "red2", 0, nil, go1{"s.look", of(9, 7, 20)}) // Monday 7:20
	wantOK(t, w, p)
	if p.Cost.Late != 10_000 { // Saturday to Monday
		t.Errorf("late costs %d, want 2 days, 10000", p.Cost.Late)
	}
	w.T0 = of(7, 8, 21) // Saturday 8:21: 46 h 59 min before, though two clock days less a minute
	wantOK(t, w, p)
	if p.Cost.Waiting != 200 {
		t.Errorf("waiting costs %d, want 1 whole day, 200", p.Cost.Waiting)
	}
	p.Tours[0].Depart--
	r := wantBroken(t, w, p, RuleShift)
	if !strings.Contains(r.Broken[0].Text, "Mon 06:59:59") {
		t.Errorf("the sentence says %q", r.Broken[0].Text)
	}
	c := &checker{w: w}
	for _, k := range []struct {
		d, h, m int
		want    string
	}{{7, 23, 0, "Sat 23:00"}, {8, 0, 30, "Sun 00:30"}, {8, 1, 59, "Sun 01:59"}, {8, 6, 0, "Sun 06:00"}, {8, 12, 5, "Sun 12:05"}, {9, 0, 0, "Mon 00:00"}} {
		if got := c.clock(of(k.d, k.h, k.m)); got != k.want {
			t.Errorf("clock says %q, want %q", got, k.want)
		}
	}
}

func TestDayOf(t *testing.T) {
	c := &checker{w: newWeek()}
	for at, want := range map[int64]int64{-day - 1: -2, -day: -1, -1: -1, 0: 0, day - 1: 0, day: 1, 3*day - 1: 2, 3 * day: 3, 4 * day: 4} {
		if got := c.dayOf(at); got != want {
			t.Errorf("second %d lies on day %d, want %d", at, got, want)
		}
	}
}

func TestLength(t *testing.T) {
	for s, want := range map[int64]string{1: "1 s", 59: "59 s", 60: "1 min", 61: "61 s", 3600: "1 h", 3660: "1 h 1 min", 3661: "1 h 1 min 1 s", 7200: "2 h", -60: "-1 min"} {
		if got := length(s); got != want {
			t.Errorf("%d s is %q, want %q", s, got, want)
		}
	}
}
