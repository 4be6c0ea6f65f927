package desk

import (
	"slices"
	"testing"

	"ebbline/dispatch/travel"
	"ebbline/dispatch/travel/town"
	"ebbline/jobs"
)

// Places with their precision, and drives along roads between them: a house, a
// house on a private road, the island, a pin in the desert, one that nobody knows.
func TestMapOfPlaces(t *testing.T) {
	made, roads := TownRoads(t)
	m := &mapMaker{desk: townDesk(t), roads: roads, at: map[string]mapPoint{}}
	at := func(number int, street string) (*int64, *int64) {
		p := housePoint(t, made, number, street)
		return &p.latE7, &p.lonE7
	}
	desertLat, desertLon := int64(332_812_100), int64(-1_136_942_400)
	site := func(id string, lat, lon *int64, p jobs.Precision) {
		m.addSite(jobs.Site{ID: id, SiteData: jobs.SiteData{Street: id, LatE7: lat, LonE7: lon, Precision: p}}, "job of "+id)
	}
	lat, lon := at(1, "Ironwood Spur")
	m.add(MapPlace{ID: "yard", Home: true, LatE7: lat, LonE7: lon, Precision: jobs.PrecisionPin})
	lat, lon = at(953, "Saltbush Drive")
	site("house", lat, lon, jobs.PrecisionExact)
	gated := slices.IndexFunc(made.Houses, func(h town.House) bool {
		p, _, ok := roads.Snap(int32(h.LatE7), int32(h.LonE7))
		return ok && roads.Edge(p.Edge()).Flags&travel.FlagLimited != 0
	})
	if gated < 0 {
		t.Fatal("no house of the town lies on a private lane")
	}
	site("private", &made.Houses[gated].LatE7, &made.Houses[gated].LonE7, jobs.PrecisionStreet)
	lat, lon = at(12, "Heron Island Loop")
	site("island", lat, lon, jobs.PrecisionExact)
	site("desert", &desertLat, &desertLon, jobs.PrecisionPin)
	site("unknown", nil, nil, jobs.PrecisionUnknown)
	m.addSite(jobs.Site{ID: "house"}, "another job")

	for i, want := range []struct {
		id       string
		straight bool
		says     string
	}{
		{"yard", false, "the yard"},
		{"house", false, "at the house number"},
		{"private", false, "somewhere in the street; on a road that is not everybody's"},
		{"island", true, "at the house number; no road reaches it, drives are straight lines"},
		{"desert", true, "set by hand; no road reaches it, drives are straight lines"},
		{"unknown", false, "not on the map yet"},
	} {
		if p := m.places[i]; p.ID != want.id || p.Straight != want.straight || saysPlace(p, true) != want.says {
			t.Errorf("%s: straight %t, %q; want %+v", p.ID, p.Straight, saysPlace(p, true), want)
		}
	}
	if jobs := m.places[1].JobIDs; !slices.Equal(jobs, []string{"job of house", "another job"}) {
		t.Errorf("jobs of the house: %v", jobs)
	}

	leg := m.leg("yard", "private")
	a, _, _ := roads.Snap(m.at["yard"].at.Lat, m.at["yard"].at.Lon)
	b, _, _ := roads.Snap(m.at["private"].at.Lat, m.at["private"].at.Lon)
	line := roads.Path(a, b)
	if leg.Straight || len(line) < 5 || !slices.Equal(leg.Steps, steps(line)) {
		t.Errorf("%d steps, straight %t; the way has %d points", len(leg.Steps), leg.Straight, len(line))
	}
	// The steps lead to the place, within half a millionth of a degree.
	var sumLat, sumLon int64
	for i := 0; i < len(leg.Steps); i += 2 {
		sumLat, sumLon = sumLat+leg.Steps[i], sumLon+leg.Steps[i+1]
	}
	if p := m.at["private"].at; abs(sumLat*10-int64(p.Lat)) > 5 || abs(sumLon*10-int64(p.Lon)) > 5 {
		t.Errorf("the way ends at %d, %d; the place is at %d, %d", sumLat, sumLon, p.Lat, p.Lon)
	}
	if again := m.leg("yard", "private"); &again.Steps[0] != &leg.Steps[0] {
		t.Error("the way is not kept")
	}
	for _, pair := range [][2]string{{"yard", "island"}, {"desert", "house"}} {
		if leg := m.leg(pair[0], pair[1]); !leg.Straight || len(leg.Steps) != 4 {
			t.Errorf("%v: straight %t, %d steps; want one straight line", pair, leg.Straight, len(leg.Steps))
		}
	}
}

func abs(n int64) int64 { return max(n, -n) }

func TestStepsRound(t *testing.T) {
	got := steps([]travel.LatLon{{Lat: 334000004, Lon: -1120000006}, {Lat: 334000012, Lon: -1120000004}, {Lat: 334000030, Lon: -1120000010}})
	if want := []int64{33400000, -112000001, 1, 1, 2, -1}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}
