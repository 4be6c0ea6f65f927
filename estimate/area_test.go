package estimate

import (
	"math"
	"testing"

	"ebbline/jobs"
)

// pool makes a settled survey of one pool from field, text, unit triples.
func pool(t testing.TB, triples ...string) jobs.Survey {
	t.Helper()
	values := map[string]jobs.Value{}
	for i := 0; i < len(triples); i += 3 {
		values[triples[i]] = jobs.Value{Text: triples[i+1], Unit: triples[i+2], Known: jobs.KnownMeasuredDry}
	}
	s, err := jobs.Survey{Version: 1, Zone: "UTC", Subjects: []jobs.Subject{{ID: "pool", Kind: jobs.SubjectBody, Values: values}}}.Settle()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func squareFeet(f Figure) float64 { return float64(f.Value) / 92_903.04 }

func TestArea(t *testing.T) {
	for _, c := range []struct {
		name    string
		triples []string
		want    float64 // square feet
		source  string
	}{
		{"kidney", []string{"shape", "kidney", "", "length", "20", "ft", "width", "10", "ft", "width_2", "15", "ft"}, 225, "(10+15)*20*0.45, a how-to page on pool volume"},
		{"rectangle", []string{"shape", "rectangle", "", "length", "32", "ft", "width", "16", "ft"}, 512, "plane geometry"},
		{"round", []string{"shape", "round", "", "diameter", "20", "ft"}, 100 * math.Pi, "plane geometry"},
		{"oval", []string{"shape", "oval", "", "length", "30", "ft", "width", "15", "ft"}, 112.5 * math.Pi, "plane geometry"},
		{"Simpson", []string{"shape", "free_form", "", "widths", "0 9 12 11 13 8 0", "ft", "width_step", "5", "ft"}, 270, "5/3*(0 + 4*(9+11+8) + 2*(12+13) + 0), arithmetic"},
		{"trapezoid", []string{"shape", "free_form", "", "widths", "0 9 12 11 13 0", "ft", "width_step", "5", "ft"}, 225, "5*(9+12+11+13), arithmetic"},
		{"known", []string{"shape", "area", "", "area", "450", "ft2"}, 450, "as given"},
	} {
		e := Make(pool(t, c.triples...), DefaultSettings(), Ask{})
		if got := squareFeet(e.Bodies[0].Area); !e.Bodies[0].Area.Known || math.Abs(got-c.want) > .01 {
			t.Errorf("%s: %v ft², want %v (%s)", c.name, got, c.want, c.source)
		}
	}
	if got := 5 * trapezoid([]int64{0, 9, 12, 11, 13, 8, 0}); got != 265 {
		t.Errorf("trapezoid rule: %v, want 265", got)
	}
}

// lowered is a survey whose only light asks for a drop of the given inches.
func lowered(t testing.TB, area, drop, gpm string) jobs.Survey {
	t.Helper()
	v := func(text, unit string) jobs.Value {
		return jobs.Value{Text: text, Unit: unit, Known: jobs.KnownMeasuredDry}
	}
	s, err := jobs.Survey{Version: 1, Zone: "UTC", Subjects: []jobs.Subject{
		{ID: "pool", Kind: jobs.SubjectBody, Values: map[string]jobs.Value{
			"shape": v("area", ""), "area": v(area, "ft2"), "becomes_low": v("pool_outlet", ""), "outlet_rate": v(gpm, "gpm"), "finish": v("tile", "")}},
		{ID: "l", Kind: jobs.SubjectPosition, Of: "pool", Values: map[string]jobs.Value{"depth": v(drop, "in"), "fitting_size": v("2", "in")}},
		{ID: "out", Kind: jobs.SubjectDischarge, Values: map[string]jobs.Value{"rate_limit": v("60", "gpm")}},
		{ID: "in", Kind: jobs.SubjectRefill, Values: map[string]jobs.Value{"flow": v("10", "gpm")}},
	}}.Settle()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestVolumeAndDrain(t *testing.T) {
	set := DefaultSettings()
	set.Water.BelowFitting = -25_400 // so that the drop is the depth: half the 2 in face is taken off again
	for _, c := range []struct {
		area, drop, gpm string
		gallons, off    float64
		hours           float64
		source          string
	}{
		{"512", "1", "12", 320, .003, 0, "16 x 32 ft, one inch: 320 gal, chart of a Californian water district"},
		{"416", "3.5", "12", 909, .005, 0, "32 x 13 ft, 3.5 in: 909 gal, Flower Mound (TX) town FAQ, rounded factors"},
		{"450", "24", "12", 6732.5, .00002, 9.35, "arithmetic"},
		{"450", "24", "25", 6732.5, .00002, 4.49, "arithmetic"},
		{"450", "24", "50", 6732.5, .00002, 2.24, "arithmetic"},
		{"225", "24", "12", 3366.2, .00002, 4.68, "arithmetic"},
		{"512", "27", "12", 8617.6, .00002, 11.97, "arithmetic"},
	} {
		e := Make(lowered(t, c.area, c.drop, c.gpm), set, Ask{})
		w := e.Bodies[0]
		if got := float64(w.Volume.Value) / mlPerGallon; math.Abs(got/c.gallons-1) > c.off {
			t.Errorf("%s ft², %s in: %v gal, want %v (%s)", c.area, c.drop, got, c.gallons, c.source)
		}
		if got := float64(w.Drain.Value) / 3600; c.hours > 0 && math.Abs(got-c.hours) > .006 {
			t.Errorf("%s ft², %s in at %s gpm: %v h, want %v", c.area, c.drop, c.gpm, got, c.hours)
		}
	}
}
