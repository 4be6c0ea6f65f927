package desk

import (
	"reflect"
	"strings"
	"testing"
	"time"

	"ebbline/dispatch/week"
	"ebbline/jobs"
)

// In Phoenix the shortest day of 2026 has civil dawn at 7:01 and dusk at 17:52
// (timeanddate.com's table for December there, from memory, to a few minutes).
func TestDaylightAtASite(t *testing.T) {
	zone, err := time.LoadLocation("America/Phoenix")
	if err != nil {
		t.Fatal(err)
	}
	got := daylight("2026-12-21", "2026-12-22", 334_484_000, -1_120_740_000, zone)
	if len(got) != 2 {
		t.Fatalf("%v", got)
	}
	for _, c := range []struct {
		got  time.Time
		want time.Time
	}{{got[0].From, time.Date(2026, 12, 21, 7, 1, 0, 0, zone)}, {got[0].To, time.Date(2026, 12, 21, 17, 52, 0, 0, zone)}} {
		if off := c.got.Sub(c.want); off < -4*time.Minute || off > 4*time.Minute {
			t.Errorf("%s, want %s", c.got.In(zone), c.want)
		}
	}
	if light := daylight("2026-06-20", "2026-06-22", 782_200_000, 156_500_000, time.UTC); len(light) != 1 || light[0].To.Sub(light[0].From) != 72*time.Hour {
		t.Errorf("where the sun stays up: %v", light)
	}
}

func TestOpenHoursOfASite(t *testing.T) {
	zone, err := time.LoadLocation("America/Phoenix")
	if err != nil {
		t.Fatal(err)
	}
	lat, lon, from, to := int64(334_484_000), int64(-1_120_740_000), int64(6*60), int64(12*60)
	m := &weekMaker{facts: weekFacts{FirstDay: "2026-12-21", Days: 1, Zone: zone, Rules: jobs.DefaultPlanning()}, w: &week.Week{}}
	j := &jobFacts{Site: jobs.Site{SiteData: jobs.SiteData{LatE7: &lat, LonE7: &lon}}, Zone: zone}
	if open, bound := m.open(j); bound {
		t.Errorf("nobody asks for anything, but %v", open)
	}
	j.Site.WorkFrom, j.Site.WorkTo = &from, &to
	hours, _ := m.open(j)
	m.facts.Rules.DaylightOnly = true
	both, bound := m.open(j)
	if !bound || len(both) != len(hours) {
		t.Fatalf("%v of %v", both, hours)
	}
	for i := range both {
		if !both[i].To.Equal(hours[i].To) || both[i].From.Sub(hours[i].From) < 50*time.Minute {
			t.Errorf("%v of %v: want from dawn to noon", both[i], hours[i])
		}
	}
	at := func(h int) time.Time { return time.Date(2026, 1, 1, h, 0, 0, 0, time.UTC) }
	if got := inBoth([]jobs.Stretch{{From: at(1), To: at(5)}, {From: at(6), To: at(9)}}, []jobs.Stretch{{From: at(4), To: at(7)}, {From: at(9), To: at(10)}}); !reflect.DeepEqual(got,
		[]jobs.Stretch{{From: at(4), To: at(5)}, {From: at(6), To: at(7)}}) {
		t.Errorf("%v", got)
	}
}

func TestDuskOnTheCrewsSheet(t *testing.T) {
	lat, lon := int64(334_484_000), int64(-1_120_740_000)
	stop := TodayStop{Visit: jobs.Visit{Kind: jobs.VisitCommission}, Site: jobs.Site{SiteData: jobs.SiteData{Zone: "America/Phoenix", LatE7: &lat, LonE7: &lon}},
		Stop: jobs.Stop{StartAt: time.Date(2026, 12, 22, 1, 0, 0, 0, time.UTC)}} // 21 December, 6 pm
	got := duskSpecs(stop)
	if len(got) != 1 || !strings.HasPrefix(got[0].Value, "5:2") || !strings.Contains(got[0].Value, ", 5:5") { // sunset 5:25, dusk 5:52
		t.Errorf("%+v", got)
	}
	stop.Visit.Kind = jobs.VisitDrain
	if got := duskSpecs(stop); got != nil {
		t.Errorf("water runs by day and night: %+v", got)
	}
}
