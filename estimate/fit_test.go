package estimate

import (
	"strings"
	"testing"

	"ebbline/jobs"
)

// fitted is the fit of one position with the values given.
func fitted(t testing.TB, set Settings, values map[string]jobs.Value) (Fit, Estimate) {
	t.Helper()
	s := jobs.Survey{Version: 1, Zone: "UTC", Subjects: []jobs.Subject{
		{ID: "pool", Kind: jobs.SubjectBody}, {ID: "l1", Kind: jobs.SubjectPosition, Of: "pool", Name: "North", Values: values},
	}}
	s, err := s.Settle()
	if err != nil {
		t.Fatal(err)
	}
	e := Make(s, set, Ask{})
	checkForm(t, e)
	return e.Fits[0], e
}

// The default light: body 38 mm wide and 75 mm long, threaded 1-1/2 in; 0.5 mm
// of play and 12.7 mm for the cord's turn are asked.
func TestFit(t *testing.T) {
	const dry, wet, told, read = jobs.KnownMeasuredDry, jobs.KnownMeasuredWet, jobs.KnownTold, jobs.KnownRead
	for _, c := range []struct {
		name                  string
		width, length, thread string
		known                 jobs.Known
		verdict, text         string
		adapter               bool
	}{
		{"measured dry", "41", "100", "threaded_1_1/2", dry, FitFits, "of play", false},
		{"other joint", "41", "100", "glued_1_1/2", dry, FitAdapter, "glued 1-1/2 in to threaded 1-1/2 in", true},
		{"wider joint", "52", "100", "glued_2", dry, FitAdapter, "glued 2 in to threaded 1-1/2 in", true},
		{"narrower joint", "41", "100", "threaded_1", dry, FitNo, "nominal 1\"", false},
		{"too narrow", "35.56", "100", "threaded_1_1/2", dry, FitNo, "too narrow", false},
		{"too short", "41", "60", "threaded_1_1/2", dry, FitNo, "too short in front of the elbow", false},
		{"within the band", "38.6", "100", "threaded_1_1/2", dry, FitMeasure, "too narrow to", false},
		{"a joint nobody named", "41", "100", "other", dry, FitMeasure, "which adapter", false},
		{"measured wet, room enough", "41", "100", "threaded_1_1/2", wet, FitFits, "of play", false},
		{"measured wet, within its band", "39.2", "100", "threaded_1_1/2", wet, FitMeasure, "too narrow to", false},
		{"only told", "48", "200", "threaded_1_1/2", told, FitMeasure, "as told it fits", false},
		{"only read", "60", "200", "glued_2", read, FitMeasure, "it would take an adapter", true},
		{"an inside that no such joint has", "86.4", "200", "threaded_1_1/2", dry, FitMeasure, "one of the two is not right", false},
		{"told, and far too narrow", "25", "200", "threaded_1_1/2", told, FitNo, "too narrow", false},
	} {
		fit, e := fitted(t, DefaultSettings(), map[string]jobs.Value{
			"fitting_inside": entered(c.known, c.width, "mm"), "elbow_depth": entered(c.known, c.length, "mm"), "fitting_thread": entered(c.known, c.thread, ""),
		})
		if fit.Verdict != c.verdict || !strings.Contains(fit.Text, c.text) || (fit.Adapter != nil) != c.adapter {
			t.Errorf("%s: %s, %q, %v; want %s with %q", c.name, fit.Verdict, fit.Text, fit.Adapter, c.verdict, c.text)
		}
		want := map[string]string{FitFits: Holds, FitAdapter: Holds, FitNo: Short, FitMeasure: Unknown}[c.verdict]
		for _, check := range e.Checks {
			if check.Key == "light.fit" && check.Result != want {
				t.Errorf("%s: check %s", c.name, check.Result)
			}
		}
	}
	if fit, _ := fitted(t, DefaultSettings(), nil); fit.Verdict != FitMeasure || len(fit.Missing) != 3 || !strings.Contains(fit.Text, "not known yet") {
		t.Errorf("nothing known: %+v", fit)
	}
	if fit, _ := fitted(t, DefaultSettings(), map[string]jobs.Value{"fitting_inside": entered(dry, "35", "mm")}); fit.Verdict != FitNo {
		t.Errorf("surely too narrow, whatever the elbow: %+v", fit)
	}
}

// NEC 680.23(A)(5): the top of the lens at least 18 in below the normal level
// unless the light is listed for less, and never less than 4 in.
func TestLensDepth(t *testing.T) {
	for _, c := range []struct {
		listed int64 // inches
		depth  string
		known  jobs.Known
		want   string
	}{
		{0, "19.3", jobs.KnownMeasuredDry, Unknown}, // 18.05 in, 0.19 in either way
		{0, "19.6", jobs.KnownMeasuredDry, Holds},
		{0, "19", jobs.KnownMeasuredDry, Short},
		{4, "5.4", jobs.KnownMeasuredDry, Holds},
		{4, "5", jobs.KnownMeasuredDry, Short},
		{1, "4", jobs.KnownMeasuredDry, Short}, // listed for one inch: four all the same
		{1, "5.4", jobs.KnownMeasuredDry, Holds},
		{0, "20.5", jobs.KnownTold, Unknown},
		{0, "24", jobs.KnownTold, Holds},
	} {
		set := DefaultSettings()
		set.Catalogue.Lights[0].ListedDepth = c.listed * 25_400
		_, e := fitted(t, set, map[string]jobs.Value{"depth": entered(c.known, c.depth, "in")})
		for _, check := range e.Checks {
			if check.Key == "light.depth" && check.Result != c.want {
				t.Errorf("listed for %d in, centre at %s in %s: %s, %q, want %s", c.listed, c.depth, c.known, check.Result, check.Text, c.want)
			}
		}
	}
	if s := DefaultSettings().Supply; s.LensDepth != 18*25_400 || s.LensListed != 4*25_400 {
		t.Errorf("lens %d and %d", s.LensDepth, s.LensListed)
	}
}
