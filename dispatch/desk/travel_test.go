package desk

import (
	"reflect"
	"slices"
	"testing"
	"time"

	"ebbline/dispatch/travel"
	"ebbline/dispatch/travel/town"
	"ebbline/dispatch/week"
	"ebbline/jobs"
)

func housePoint(t *testing.T, made *town.Town, number int, street string) point {
	t.Helper()
	h, err := made.Find(number, street)
	if err != nil {
		t.Fatal(err)
	}
	return point{h.LatE7, h.LonE7}
}

func TestLegsByRoad(t *testing.T) {
	made, roads := TownRoads(t)
	table := &roadTable{roads: roads}
	f := &weekFacts{Rules: jobs.DefaultPlanning(), Drives: drives{table: table}}
	yard, house := housePoint(t, made, 1, "Ironwood Spur"), housePoint(t, made, 953, "Saltbush Drive")
	private, island := housePoint(t, made, 7, "Terrace Lane"), housePoint(t, made, 12, "Heron Island Loop")
	desert := point{332_812_100, -1_136_942_400}
	l := f.legs([]spot{{yard, true}, {house, false}, {private, false}, {island, false}, {desert, false}, {house, false}})
	if want := []bool{false, false, false, true, true, false}; !reflect.DeepEqual(l.offRoad, want) {
		t.Fatalf("off the road: %v, want %v", l.offRoad, want)
	}
	a, _, _ := roads.Snap(int32(yard.latE7), int32(yard.lonE7))
	b, _, _ := roads.Snap(int32(house.latE7), int32(house.lonE7))
	m, err := roads.Matrix(t.Context(), []travel.Point{a, b})
	if err != nil {
		t.Fatal(err)
	}
	if l.seconds[0][1] != m.Seconds[1]+60 || l.metres[0][1] != m.Metres[1] {
		t.Errorf("to the house %d s, %d m; by road %d s, %d m and a minute to park", l.seconds[0][1], l.metres[0][1], m.Seconds[1], m.Metres[1])
	}
	if l.seconds[1][0] != m.Seconds[2] {
		t.Errorf("back to the yard %d s, by road %d s: nobody looks for parking there", l.seconds[1][0], m.Seconds[2])
	}
	if l.seconds[1][5] != 0 || l.metres[1][1] != 0 {
		t.Errorf("from a place to itself %d s, %d m", l.seconds[1][5], l.metres[1][1])
	}
	seconds, metres := lineTravel([]point{yard, island}, f.Rules.RoadFactorPermille, f.Rules.SpeedKmPerHour)
	if l.seconds[0][3] != seconds[0][1] || l.metres[0][3] != metres[0][1] || !l.straight(0, 3) || !l.straight(4, 1) || l.straight(0, 2) {
		t.Errorf("to the island %d s, %d m, straight %t; the line made longer takes %d s, %d m", l.seconds[0][3], l.metres[0][3], l.straight(0, 3), seconds[0][1], metres[0][1])
	}
	f.Drives.learnt = learnt{permille: 1200, drives: 9}
	if got, want := f.legs([]spot{{yard, true}, {house, false}}).seconds[0][1], (m.Seconds[1]*1200+999)/1000+60; got != want {
		t.Errorf("a fifth slower: %d s, want %d", got, want)
	}
	f.Drives = drives{}
	if l := f.legs([]spot{{yard, true}, {house, false}}); !l.straight(0, 1) || l.offRoad[1] {
		t.Error("without roads every drive is a straight line, and no place stands out")
	}
}

// A table that grows place by place is the one that is made at once.
func TestRoadTableGrows(t *testing.T) {
	made, roads := TownRoads(t)
	var places []point
	for i := 0; i < len(made.Houses); i += 400 {
		places = append(places, point{made.Houses[i].LatE7, made.Houses[i].LonE7})
	}
	grown := &roadTable{roads: roads}
	for n := 1; n <= len(places); n += 3 {
		grown.between(places[max(n-5, 0):n])
	}
	s1, m1, o1 := grown.between(places)
	s2, m2, o2 := (&roadTable{roads: roads}).between(places)
	if !reflect.DeepEqual(s1, s2) || !reflect.DeepEqual(m1, m2) || !reflect.DeepEqual(o1, o2) {
		t.Error("grown by rows it differs")
	}
	skew := 0
	for i := range s1 {
		for k := range s1 {
			if s1[i][k] != s1[k][i] {
				skew++
			}
		}
	}
	if skew == 0 {
		t.Error("as quick there as back everywhere, in a town with one-way streets")
	}
	for i := range mostPlaces + 10 { // beyond what it keeps it begins anew
		grown.between([]point{{332_000_000 + int64(i)*37, -1_137_780_000}})
	}
	if len(grown.points) > mostPlaces {
		t.Errorf("%d places are kept", len(grown.points))
	}
	if s3, _, _ := grown.between(places); !reflect.DeepEqual(s3, s2) {
		t.Error("begun anew it differs")
	}
}

func TestLearntFromDrives(t *testing.T) {
	made, roads := TownRoads(t)
	table := &roadTable{roads: roads}
	a, b := housePoint(t, made, 1, "Ironwood Spur"), housePoint(t, made, 953, "Saltbush Drive")
	seconds, _, _ := table.between([]point{a, b})
	road := seconds[0][1]
	drive := func(permille int64) recordedDrive { return recordedDrive{a, b, road*permille/1000 + 60, 1000} }
	for _, c := range []struct {
		name     string
		list     []recordedDrive
		permille int64
		drives   int
	}{
		{"none", nil, 0, 0},
		{"one slow drive says nothing", []recordedDrive{drive(1500)}, 0, 1},
		{"eight, and an odd one", append(slices.Repeat([]recordedDrive{drive(1500)}, 8), drive(9000)), 1143, 8}, // (1.5 * 8 + 20) / 28
		{"next door", []recordedDrive{{a, a, 300, 1000}}, 0, 0},
	} {
		if got := learntFrom(c.list, table, 60); got.drives != c.drives || got.permille < c.permille-1 || got.permille > c.permille+1 {
			t.Errorf("%s: %+v, want %d of %d", c.name, got, c.permille, c.drives)
		}
	}
	slow := drive(2000) // at an hour that is known to be half as quick
	slow.speed = 500
	if got := learntFrom(slices.Repeat([]recordedDrive{slow}, 8), table, 60); got.permille < 999 || got.permille > 1001 {
		t.Errorf("slow at a slow hour is as expected, but %+v", got)
	}
	var many []recordedDrive
	for range 180 { // (1.2 * 180 + 20) / 200
		many = append(many, drive(1200))
	}
	if got := learntFrom(many, table, 60); got.permille < 1178 || got.permille > 1181 {
		t.Errorf("after many drives %+v, want 1180", got)
	}
	if (learnt{}).over(100) != 100 || (learnt{permille: 1001}).over(100) != 101 {
		t.Error("what was learnt is put on, rounded up")
	}
}

func TestRecordedDrives(t *testing.T) {
	at := func(day, hour, minute int) time.Time { return time.Date(2026, 3, day, hour, minute, 0, 0, time.UTC) }
	where := map[string]point{"a": {1, 1}, "b": {2, 2}}
	record := func(crew, job string, from, to time.Time) jobs.FieldRecord {
		return jobs.FieldRecord{CrewID: crew, JobID: job, ArrivedAt: from, LeftAt: to}
	}
	got := recordedDrives([]jobs.FieldRecord{
		record("x", "b", at(2, 10, 20), at(2, 11, 0)), // second of the day
		record("x", "a", at(2, 9, 0), at(2, 10, 0)),
		record("y", "a", at(2, 10, 0), at(2, 10, 10)), // another crew
		record("x", "a", at(3, 9, 0), at(3, 9, 30)),   // the next day
		record("x", "a", at(3, 9, 40), at(3, 9, 50)),  // the same pool
		record("x", "b", at(3, 14, 0), at(3, 15, 0)),  // hours later
		record("x", "c", at(3, 15, 10), at(3, 16, 0)), // nobody knows where
	}, where, time.UTC, []jobs.TravelPeriod{{Weekday: 1, FromMinute: 600, ToMinute: 660, SpeedPermille: 800}})
	if want := []recordedDrive{{point{1, 1}, point{2, 2}, 20 * 60, 800}}; !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
}

// Phoenix has no summer time (IANA), so hours of the clock are hours.
func TestPeriodsOfTheWeek(t *testing.T) {
	zone, err := time.LoadLocation("America/Phoenix")
	if err != nil {
		t.Fatal(err)
	}
	f := weekFacts{FirstDay: "2026-03-09", Days: 1, Zone: zone, Rules: jobs.DefaultPlanning()} // a Monday
	f.Rules.TravelPeriods = []jobs.TravelPeriod{{Weekday: 1, FromMinute: 420, ToMinute: 480, SpeedPermille: 800}, {Weekday: 1, FromMinute: 480, ToMinute: 540, SpeedPermille: 900},
		{Weekday: 2, FromMinute: 0, ToMinute: 60, SpeedPermille: 1000}, {Weekday: 3, FromMinute: 0, ToMinute: 60, SpeedPermille: 700}}
	m := weekMaker{facts: f, base: f.FirstDay.Start(zone).Unix(), w: &week.Week{}}
	want := []week.Period{{From: 7 * 3600, Permille: 800}, {From: 8 * 3600, Permille: 900}, {From: 9 * 3600, Permille: 1000}}
	if got := m.periods(); !reflect.DeepEqual(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	if got := f.longest(100); got != 143 { // Wednesday's 700 permille
		t.Errorf("100 s take %d at the slowest hour, want 143", got)
	}
}
