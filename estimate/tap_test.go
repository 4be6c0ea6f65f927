package estimate

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// The tap is the lowest that keeps every light inside its limits, found again
// by trying them all on each light by itself.
func TestTapByTryingAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, m := drawCalc(t), drawMains(t)
		part := c.set.Catalogue.Supplies[rapid.IntRange(0, 3).Draw(t, "supply")]
		var cords []Cord
		for range rapid.IntRange(1, 6).Draw(t, "lights") {
			cords = append(cords, Cord{needed: drawLength(t, "cord")})
		}
		var loads []load
		for i := range cords {
			w := rapid.Float64Range(5, 40).Draw(t, "W")
			loads = append(loads, load{cord: i, watts: w, va: w / .9})
		}
		inside := func(tap int64) (usable, enough bool) {
			usable, enough = float64(tap)*m.rated() <= 15_000, true
			for i, l := range loads {
				v := c.at(cords[i].needed, l.va, tap, m)
				usable = usable && v.hi <= float64(c.light.VoltsMax)
				enough = enough && v.lo >= float64(c.light.VoltsMin)
			}
			return usable, enough
		}
		want, enough := int64(0), false
		for _, tap := range part.Taps { // rising
			ok, all := inside(tap)
			if ok && !enough {
				want, enough = tap, all
			}
		}
		if got, all := c.tapFor(part, cords, loads, m); got != want || all != enough {
			t.Fatalf("%d %v, by trying all %d %v", got, all, want, enough)
		}
	})
}

// A supply whose outputs have taps of their own gives the near zone a lower one.
func TestEachOutputItsTap(t *testing.T) {
	s := survey(t, "lap_pool")
	e := Make(s, DefaultSettings(), Ask{Zones: 2})
	checkForm(t, e)
	if len(e.Supply.Outputs) != 2 || e.Supply.Outputs[0].Tap.Value != 14_000 || e.Supply.Outputs[1].Tap.Value != 15_000 {
		t.Fatalf("%s", e.Supply.Tap.Text)
	}
	set := DefaultSettings()
	for i := range set.Catalogue.Supplies {
		set.Catalogue.Supplies[i].TapsEach = false
	}
	one := Make(s, set, Ask{Zones: 2})
	if one.Supply.Outputs[0].Tap.Value != 15_000 || one.Supply.Tap.Text != "15.00 V" {
		t.Errorf("one tap for all: %s", one.Supply.Tap.Text)
	}
	// the farthest light of all is in zone 2: 220 ft
	if e.Supply.Least.Value != min(e.Supply.Outputs[0].Least.Value, e.Supply.Outputs[1].Least.Value) {
		t.Errorf("farthest %s", e.Supply.Least.Text)
	}
	// amperes by hand from the cords' volts: 15 W / 0.9 each
	amps := 0.0
	for _, cord := range e.Cords {
		amps += 15 / .9 / (float64(cord.Volts.Value) / 1000)
	}
	if got := float64(e.Supply.Amps.Value) / 1000; math.Abs(got-amps) > .003 {
		t.Errorf("%v A, by hand %v", got, amps)
	}
	if e.Supply.Outputs[0].Loading.Value != 200 { // 60 of 300 W
		t.Errorf("output 1 %s", e.Supply.Outputs[0].Loading.Text)
	}
}

// The cheapest supply that also has a tap high enough is taken before a cheaper
// one that leaves the farthest light in the dark.
func TestSupplyWithATapHighEnough(t *testing.T) {
	s := survey(t, "rectangle")
	for _, id := range []string{"c1", "c2"} {
		s = with(t, s, id, "length", "200", "ft")
	}
	e := Make(s, DefaultSettings(), Ask{})
	if e.Supply.Part != "supply-300" || result(e, "supply.volts") != Holds {
		t.Errorf("%s: volts %s", e.Supply.Part, result(e, "supply.volts"))
	}
	set := DefaultSettings()
	set.Catalogue.Supplies = slices.Delete(set.Catalogue.Supplies, 2, 4)
	if e = Make(s, set, Ask{}); e.Supply.Part != "supply-100" || result(e, "supply.volts") != Short || e.Supply.Tap.Value != 14_000 {
		t.Errorf("%s at %s: volts %s", e.Supply.Part, e.Supply.Tap.Text, result(e, "supply.volts"))
	}
}

// Without a reading, low mains must leave the farthest light enough and high
// mains the nearest not too much.
func TestMainsNotMeasured(t *testing.T) {
	s := survey(t, "rectangle")
	open := with(t, s, "supply", "voltage_box", "", "")
	a, b := Make(s, DefaultSettings(), Ask{}), Make(open, DefaultSettings(), Ask{})
	if b.Supply.Tap.Value < a.Supply.Tap.Value || result(b, "supply.mains") != Unknown || result(a, "supply.mains") != Holds {
		t.Errorf("tap %s measured, %s not", a.Supply.Tap.Text, b.Supply.Tap.Text)
	}
	set := DefaultSettings()
	set.Catalogue.Supplies = []SupplyPart{{Key: "one", Name: "One tap", Outputs: 1, Output: 300_000, Total: 300_000, Taps: []int64{14_500}}}
	near := open
	for _, id := range []string{"c1", "c2"} {
		near = with(t, near, id, "length", "3", "ft")
	}
	if e := Make(near, set, Ask{}); e.Supply.Tap.Known { // 14.5 V × 1.05 is 15.2 V, and next to nothing is lost
		t.Errorf("tap %s, nearest %s up to %d", e.Supply.Tap.Text, e.Supply.Most.Text, e.Supply.Most.High)
	}
}

// Adding a light never lowers the power, nor the loading of the same supply.
func TestAddingALightNeverLowersTheLoading(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := draw(t, true)
		ask := Ask{Zones: rapid.IntRange(1, 2).Draw(t, "zones")}
		a := Make(s, DefaultSettings(), ask)
		d := &drawn{T: t, whole: true, survey: s}
		d.survey.Subjects = slices.Clone(s.Subjects)
		d.addLight("b0", "more")
		b := Make(d.settled(), DefaultSettings(), ask)
		if b.Supply.Power.Value <= a.Supply.Power.Value {
			t.Fatalf("%s, with one more %s", a.Supply.Power.Text, b.Supply.Power.Text)
		}
		if a.Supply.Part == b.Supply.Part && b.Supply.Loading.Value < a.Supply.Loading.Value {
			t.Fatalf("%s, with one more %s", a.Supply.Loading.Text, b.Supply.Loading.Text)
		}
	})
}

// The planned part is a margin: where only the whole listing carries the lights
// it does, and the margin falls short.
func TestListedPowerGoverns(t *testing.T) {
	set := DefaultSettings()
	set.Catalogue.Supplies = []SupplyPart{{Key: "small", Name: "Small", Outputs: 1, Output: 60_000, Total: 60_000, Taps: []int64{12_000, 13_000}}}
	e := Make(survey(t, "rectangle"), set, Ask{}) // four lights of 15 W
	if e.Supply.Part != "small" || e.Supply.Loading.Value != 1000 || result(e, "supply.loading") != Short {
		t.Errorf("%s: %s, %s", e.Supply.Part, e.Supply.Loading.Text, result(e, "supply.loading"))
	}
	set.Catalogue.Supplies[0].Total, set.Catalogue.Supplies[0].Output = 59_000, 59_000
	if e = Make(survey(t, "rectangle"), set, Ask{}); e.Supply.Part != "" || result(e, "supply.loading") != Short {
		t.Errorf("%s: %s", e.Supply.Part, e.Supply.Loading.Text)
	}
	// two outputs, each listed for less than its zone
	set.Catalogue.Supplies[0] = SupplyPart{Key: "two", Name: "Two", Outputs: 2, Output: 29_000, Total: 100_000, Taps: []int64{12_000}}
	if e = Make(survey(t, "rectangle"), set, Ask{Zones: 2}); e.Supply.Part != "" {
		t.Errorf("30 W on an output of 29 W")
	}
}
