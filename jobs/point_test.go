package jobs

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParsePoints(t *testing.T) {
	for _, c := range []struct {
		text, unit string
		want       []Point
	}{
		{"0,0; 32,0; 32,16; 0,16", "ft", []Point{{0, 0}, {32 * ft, 0}, {32 * ft, 16 * ft}, {0, 16 * ft}}},
		{" 1.5 , -2 ;", "m", []Point{{1_500_000, -2_000_000}}},
		{"12 1/2,8", "in", []Point{{317_500, 8 * in}}},
		{"10 ft,3 m", "", []Point{{10 * ft, 3_000_000}}},
	} {
		got, err := ParsePoints(c.text, c.unit)
		if err != nil || !slices.Equal(got, c.want) {
			t.Errorf("%q %s: %v, %v; want %v", c.text, c.unit, got, err, c.want)
		}
	}
	for text, names := range map[string]string{
		"":                            "place 1",
		"0,0; 12":                     "place 2",
		"0,0; x,1":                    "place 2",
		"0,NaN":                       "place 1",
		"0,Inf":                       "place 1",
		"0,1e300":                     "place 1",
		"9999999,0":                   "5000 ft",
		"1,2,3":                       "place 1",
		"0,0;;1,1":                    "place 2",
		strings.Repeat("0,0;", 401):   "at most 400",
		"0,0 m; 1,1":                  "place 1",
		"0,999999999999999999999 ft;": "place 1",
	} {
		if got, err := ParsePoints(text, "ft"); err == nil || !strings.Contains(err.Error(), names) {
			t.Errorf("%q: %v, %v; want an error that names %s", Short(text), got, err, names)
		}
	}
	if _, err := ParsePoints("1,2", ""); err == nil {
		t.Error("no unit: want an error")
	}
}

func TestPointsThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom(UnitNames(QuantityPoints)).Draw(t, "unit")
		var points []Point
		for range rapid.IntRange(1, 20).Draw(t, "points") {
			points = append(points, Point{rapid.Int64Range(-maxAcross, maxAcross).Draw(t, "x"), rapid.Int64Range(-maxAcross, maxAcross).Draw(t, "y")})
		}
		text, err := FormatPoints(points, unit, 12)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := ParsePoints(text, unit); err != nil || !slices.Equal(back, points) {
			t.Fatalf("%v in %s is %q and comes back as %v, %v", points, unit, text, back, err)
		}
	})
}

// The base counts the places, and the field's limits count them too.
func TestSettlePoints(t *testing.T) {
	outline, _ := FieldOf(SubjectBody, "outline")
	place, _ := FieldOf(SubjectPosition, "place")
	v, fault := outline.Settle(Value{Text: "0,0; 32,0; 32,16", Unit: "ft", Known: KnownRead})
	if fault != nil || v.Base != 3 {
		t.Errorf("three corners: base %d, %v", v.Base, fault)
	}
	if _, fault = outline.Settle(Value{Text: "0,0; 32,0", Unit: "ft", Known: KnownRead}); fault == nil || !strings.Contains(fault.Want, "3 places") {
		t.Errorf("two corners: %v", fault)
	}
	if _, fault = place.Settle(Value{Text: "0,0; 32,0", Unit: "ft", Known: KnownRead}); fault == nil || fault.Want != "1 place" {
		t.Errorf("a light in two places: %v", fault)
	}
	for _, f := range []struct {
		kind SubjectKind
		name string
	}{{SubjectConduit, "path"}, {SubjectSupply, "place"}, {SubjectDischarge, "place"}, {SubjectRefill, "place"}} {
		if spec, ok := FieldOf(f.kind, f.name); !ok || spec.Quantity != QuantityPoints || spec.Unit != "ft" {
			t.Errorf("%s.%s: %+v", f.kind, f.name, spec)
		}
	}
}
