package travel

import (
	"strings"
	"testing"

	"ebbline/dispatch/travel/osm"
)

// tagged turns "highway=residential oneway=yes" into tags; _ stands for a space.
func tagged(text string) (tags osm.Tags) {
	for pair := range strings.FieldsSeq(text) {
		key, value, _ := strings.Cut(pair, "=")
		tags = append(tags, osm.Tag{Key: key, Value: strings.ReplaceAll(value, "_ ", " ")})
	}
	return tags
}

// Forms of https://wiki.openstreetmap.org/wiki/Key:maxspeed; a mile has
// 1609.344 m and a nautical mile 1852 m by definition.
func TestParseSpeed(t *testing.T) {
	for text, want := range map[string]int32{
		"50": 50_000, "35 mph": 56_327, "35mph": 56_327, " 25 MPH ": 40_234, "10 knots": 18_520,
		"60 km/h": 60_000, "60 kmh": 60_000, "60kph": 60_000, "62.5": 62_500, "none": unlimited, "walk": walking,
		"35 mph; 45 mph": 56_327, "45 mph;35 mph": 56_327, "signals;30": 30_000, "55 mph|65 mph": 88_514,
		"": 0, "signals": 0, "variable": 0, "US:urban": 0, "fast": 0, "mph": 0, "0": 0, "-5": 0, "1e9": 0, "999999999999": 0,
		"400": 0, "0.1": 0, "..": 0, "5 furlongs": 0, "NaN": 0, "inf": 0,
	} {
		if got := parseSpeed(text); got != want {
			t.Errorf("%q: %d m/h, want %d", text, got, want)
		}
	}
}

// What each way means. Speeds in miles an hour, rounded; 0 is closed.
func TestRoadOf(t *testing.T) {
	for _, c := range []struct {
		tags              string
		forward, backward int
		flags             uint8
	}{
		{"highway=residential", 25, 25, 0},
		{"highway=residential maxspeed=30mph", 30, 30, 0},
		{"highway=primary maxspeed=none", 81, 81, 0},
		{"highway=primary maxspeed=35mph maxspeed:forward=45mph", 45, 35, 0},
		{"highway=primary maxspeed:conditional=25mph@(22:00-06:00)", 45, 45, 0},
		{"highway=secondary oneway=yes", 40, 0, FlagOneway},
		{"highway=secondary oneway=1", 40, 0, FlagOneway},
		{"highway=secondary oneway=-1", 0, 40, FlagOneway},
		{"highway=secondary oneway=reverse maxspeed:backward=20mph", 0, 20, FlagOneway},
		{"highway=secondary oneway=no", 40, 40, 0},
		{"highway=secondary oneway=alternating", 40, 40, 0},
		{"highway=secondary oneway=yes oneway:motor_vehicle=no", 40, 40, 0},
		{"highway=motorway", 65, 0, FlagOneway},
		{"highway=motorway oneway=no", 65, 65, 0},
		{"highway=motorway_link", 40, 0, FlagOneway | FlagLink},
		{"highway=primary_link", 30, 30, FlagLink},
		{"highway=tertiary junction=roundabout", 35, 0, FlagOneway | FlagRoundabout},
		{"highway=tertiary junction=circular oneway=-1", 0, 35, FlagOneway | FlagRoundabout},
		{"highway=residential access=private", 15, 15, FlagLimited},
		{"highway=residential access=destination", 15, 15, FlagLimited},
		{"highway=residential access=private motor_vehicle=yes", 25, 25, 0},
		{"highway=residential access=no motorcar=destination", 15, 15, FlagLimited},
		{"highway=residential access=yes vehicle=no motor_vehicle=permissive", 25, 25, 0},
		{"highway=residential access=something_new", 25, 25, 0},
		{"highway=residential motor_vehicle=agricultural;private", 15, 15, FlagLimited},
		{"highway=service service=driveway", 10, 10, 0},
		{"highway=service service=driveway access=private", 10, 10, FlagLimited},
		{"highway=tertiary surface=gravel", 30, 30, 0},
		{"highway=track surface=sand", 12, 12, 0},
		{"highway=living_street", 10, 10, 0},
		{"highway=residential bridge=yes tunnel=no", 25, 25, FlagBridge},
		{"highway=path motor_vehicle=yes", 15, 15, 0},
	} {
		r, ok := roadOf(tagged(c.tags))
		miles := func(v int32) int { return int(float64(v)/1609.344 + 0.5) }
		if !ok || miles(r.forward) != c.forward || miles(r.backward) != c.backward || r.flags != c.flags {
			t.Errorf("%s: %d and %d mph, flags %b, %v; want %d and %d, %b", c.tags, miles(r.forward), miles(r.backward), r.flags, ok, c.forward, c.backward, c.flags)
		}
	}
	for _, tags := range []string{
		"", "building=yes", "highway=footway", "highway=path", "highway=steps", "highway=construction", "highway=proposed",
		"highway=residential access=no", "highway=residential motor_vehicle=no", "highway=track access=agricultural",
		"highway=track motor_vehicle=forestry", "highway=residential access=yes motorcar=no", "highway=service service=emergency_access",
		"highway=service area=yes", "highway=primary oneway=reversible", "highway=pedestrian access=yes", "route=ferry", "highway=busway",
		"highway=service access=psv", "highway=residential access=private vehicle=no",
	} {
		if r, ok := roadOf(tagged(tags)); ok {
			t.Errorf("%s: %+v, want no road", tags, r)
		}
	}
}

func TestStops(t *testing.T) {
	for tags, want := range map[string]bool{
		"": false, "highway=crossing": false, "barrier=bollard": true, "barrier=gate": false, "barrier=gate access=private": false,
		"barrier=gate access=no": true, "barrier=gate motor_vehicle=no access=yes": true, "barrier=bollard motor_vehicle=yes": false,
		"barrier=block": true, "barrier=cattle_grid": false, "barrier=toll_booth": false, "barrier=lift_gate access=destination": false,
		"barrier=jersey_barrier": true, "barrier=swing_gate foot=no": false,
	} {
		if got := stops(tagged(tags)); got != want {
			t.Errorf("%s: stops %v, want %v", tags, got, want)
		}
	}
}
