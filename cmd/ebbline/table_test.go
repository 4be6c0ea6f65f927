package main

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ebbline/dispatch/week"
)

var update = flag.Bool("update", false, "write the golden files anew")

// golden compares with a file in testdata.
func golden(t *testing.T, file, have string) {
	t.Helper()
	path := filepath.Join("testdata", file)
	if *update {
		if err := os.WriteFile(path, []byte(have), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if have != string(want) {
		t.Errorf("have\n%s\nwant\n%s", have, want)
	}
}

func hours(h, m int64) int64  { return h*3600 + m*60 }
func at(seconds int64) *int64 { return &seconds }

// twoDays is a small week with one of everything that the table shows.
func twoDays() (*week.Week, *week.Plan) {
	day := int64(86_400)
	w := &week.Week{
		Version: week.Version, Label: "Two days", Zone: "America/Phoenix",
		Days: []week.Day{{Date: "2026-03-09", Start: 0}, {Date: "2026-03-10", Start: day}}, End: 2 * day,
		NextWorkday: week.NextWorkday{Day: 2, End: 3 * day},
		Places:      []week.Place{{ID: "yard", Label: "Yard"}, {ID: "p1", Label: "12 Agave Ct"}, {ID: "p2", Label: "3 Mesa Rd"}},
		Travel: week.Travel{Seconds: [][]int64{{0, 1080, 900}, {1080, 0, 600}, {900, 600, 0}},
			Metres: [][]int64{{0, 12_340, 9_000}, {12_340, 0, 5_060}, {9_000, 5_060, 0}}},
		Kinds: []week.Name{{ID: "drain", Label: "drain"}, {ID: "convert", Label: "convert"}, {ID: "commission", Label: "commission"}},
		Crews: []week.Name{{ID: "n", Label: "Crew North"}, {ID: "s", Label: "Crew South"}},
		Jobs: []week.Job{
			{ID: "j1", Label: "Alder", Water: &week.Water{Way: week.WayPump, DrainVisit: "v1"}, Visits: []week.Visit{
				{ID: "v1", Kind: "drain", Place: "p1", Seconds: 1200, Water: week.NeedNothing, DropsPump: true},
				{ID: "v2", Kind: "convert", Place: "p1", Seconds: 14_400, Water: week.NeedLow, CollectsPump: true, Interruptible: true},
				{ID: "v3", Kind: "commission", Place: "p1", Seconds: 3600, Water: week.NeedCovered, MayOwe: true}}},
			{ID: "j2", Label: "Birch", Water: &week.Water{Way: week.WayCustomer}, Visits: []week.Visit{
				{ID: "v4", Kind: "convert", Label: "convert, part 1", Place: "p2", Seconds: 7200, Water: week.NeedLow}}},
			{ID: "j3", Visits: []week.Visit{{ID: "v5", Kind: "convert", Place: "p2"}}},
		},
		Closures: []week.Closure{{ID: "c", Label: "storm", All: true, From: day + hours(13, 0), To: 2 * day, StopsPumping: true}},
	}
	for d := range 2 {
		for _, crew := range []string{"n", "s"} {
			start := int64(d) * day
			w.Tours = append(w.Tours, week.Tour{ID: crew + string(rune('1'+d)), Crew: crew, Day: d, Start: "yard", End: "yard",
				ShiftFrom: start + hours(7, 0), ShiftTo: start + hours(15, 0), OvertimeTo: start + hours(17, 0),
				Lunch: &week.Lunch{Seconds: 1800, From: start + hours(11, 0), To: start + hours(13, 0), DueAfter: 21_600}})
		}
	}
	p := &week.Plan{
		Version: week.Version,
		Tours: []week.PlanTour{
			{Tour: "n1", Load: 1, Depart: hours(7, 0), HeadHome: hours(12, 0), Return: hours(12, 15), Lunch: &week.LunchTaken{Start: hours(11, 28)},
				Stops: []week.Stop{
					{Visit: "v1", Leave: hours(7, 0), Arrive: hours(7, 18), Start: hours(7, 18), End: hours(7, 38), Slack: at(59)},
					{Visit: "v4", Leave: hours(7, 38), Arrive: hours(7, 48), Start: hours(9, 0), End: hours(11, 0), Slack: at(hours(1, 20)), Binds: "water surely low"}}},
			{Tour: "n2", Depart: day + hours(7, 0), HeadHome: day + hours(11, 48), Return: day + hours(15, 6), Lunch: &week.LunchTaken{Start: day + hours(11, 10), Inside: "v2"},
				Stops: []week.Stop{{Visit: "v2", Leave: day + hours(7, 0), Arrive: day + hours(7, 18), Start: day + hours(7, 18), End: day + hours(11, 48)}}},
		},
		Told:       []week.Told{{Job: "j2", Earliest: -hours(15, 0), Latest: -hours(13, 0)}},
		LeftOut:    []week.LeftOut{{Job: "j3", Why: []string{"no crew has the skill licensed on Tue 10 Mar"}}},
		Owed:       []week.Owed{{Visit: "v3", Latest: at(5 * day)}},
		RuleBreaks: []week.RuleBreak{{Rule: week.BreakLowLimit, Job: "j1"}},
		Cost:       week.Cost{Driving: 1234, PaidTime: 105_050, LeftOut: 20_000, Total: 126_284},
		Water: []week.PlanWater{
			{Job: "j1", MayBeLow: at(hours(14, 0)), SurelyLow: at(hours(20, 30)), FillFrom: at(day + hours(11, 48)), CoveredBy: at(day + hours(22, 0)), Limit: at(3 * day)},
			{Job: "j2", SurelyLow: at(hours(9, 0)), FillFrom: at(hours(11, 0))},
		},
	}
	return w, p
}

func TestPlanTable(t *testing.T) {
	var out bytes.Buffer
	w, p := twoDays()
	if err := printPlan(&out, w, p); err != nil {
		t.Fatal(err)
	}
	golden(t, "plan.txt", out.String())
	for _, line := range strings.Split(out.String(), "\n") {
		if len([]rune(line)) > 132 || strings.TrimRight(line, " ") != line {
			t.Errorf("too long, or blank at the end: %q", line)
		}
	}
}

// IANA zone database: America/New_York moves from UTC-5 to UTC-4 on 2026-03-08
// at 02:00, and back on 2026-11-01 at 02:00.
func TestCivilTimeAcrossAChangeOfTheClock(t *testing.T) {
	for _, c := range []struct {
		date   string
		second int64
		want   string
	}{
		{"2026-03-08", hours(1, 59), "Sun 01:59"},
		{"2026-03-08", hours(2, 0), "Sun 03:00"},
		{"2026-03-08", hours(23, 0), "Mon 00:00"},
		{"2026-11-01", hours(1, 30), "Sun 01:30"},
		{"2026-11-01", hours(2, 30), "Sun 01:30"},
		{"2026-11-01", hours(25, 0), "Mon 00:00"},
		{"2026-11-01", -hours(1, 0), "Sat 23:00"},
	} {
		civil, err := newCivil(&week.Week{Zone: "America/New_York", Days: []week.Day{{Date: c.date}}})
		if err != nil {
			t.Fatal(err)
		}
		if have := civil.dayHour(c.second); have != c.want {
			t.Errorf("%s + %d s: have %s, want %s", c.date, c.second, have, c.want)
		}
	}
}

func TestDaysMustBeginWhenTheZoneSays(t *testing.T) {
	for _, c := range []struct {
		start int64
		want  string
	}{{hours(23, 0), ""}, {hours(24, 0), "days[1].start: 86400 is not right; in America/New_York the day 2026-03-09 begins at second 82800"}} {
		civil, err := newCivil(&week.Week{Zone: "America/New_York", Days: []week.Day{{Date: "2026-03-08"}, {Date: "2026-03-09", Start: c.start}}})
		if err != nil {
			t.Fatal(err)
		}
		if err := civil.check(); (err == nil) != (c.want == "") || (err != nil && err.Error() != c.want) {
			t.Errorf("start %d: have %v, want %q", c.start, err, c.want)
		}
	}
}

func TestTableOfAnUnknownZoneSaysSo(t *testing.T) {
	w, p := twoDays()
	w.Zone = "America/Nowhere"
	if err := printPlan(&bytes.Buffer{}, w, p); err == nil || !strings.Contains(err.Error(), "America/Nowhere") {
		t.Errorf("have %v", err)
	}
}
