package estimate

import (
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"ebbline/jobs"
)

// An inch of rain on 450 ft² is 280.5 gal, a quarter inch of evaporation 70 gal:
// arithmetic from 7.48052 gallons in a cubic foot.
func TestRainAndEvaporation(t *testing.T) {
	w := Make(lowered(t, "450", "24", "12"), DefaultSettings(), Ask{}).Bodies[0]
	if got := float64(w.Rain.Value) / mlPerGallon; math.Abs(got-280.5) > .05 {
		t.Errorf("rain %v gal, want 280.5", got)
	}
	if got := float64(w.Evaporates.Value) / mlPerGallon; math.Abs(got-70) > .2 || w.Evaporates.Low >= w.Evaporates.Value {
		t.Errorf("evaporation %v gal, want 70, with a band", got)
	}
	if !strings.Contains(w.Evaporates.Source, "0.27 in") {
		t.Errorf("checked against %q", w.Evaporates.Source)
	}
}

// Water of 80 °F in air of 90 °F and 40 % with 200 ft/min: 0.0794 lb an hour and
// square foot by Carrier's formula (ASHRAE Transactions 1998 104(1A), paper 4146,
// abstract), the vapour pressures by Magnus's formula.
func TestEvaporationFormula(t *testing.T) {
	if got := evaporates(200, vapour(80), .4*vapour(90), 1048); math.Abs(got-.0794) > .0003 {
		t.Errorf("%v, want 0.0794", got)
	}
}

// Refill of 6 732.5 gal: 10.2 h at 11 gpm, 6.2 h at 18 gpm, from the hose table
// of Iowa State University Extension (1996) by arithmetic.
func TestRefill(t *testing.T) {
	set := DefaultSettings()
	set.Water.BelowFitting = -25_400
	for gpm, hours := range map[string]float64{"11": 10.2, "18": 6.2} {
		s := changedValue(t, lowered(t, "450", "24", "12"), "in", "flow", gpm, "gpm")
		if got := float64(Make(s, set, Ask{}).Bodies[0].Fill.Value) / 3600; math.Abs(got-hours) > .05 {
			t.Errorf("%s gpm: %v h, want %v", gpm, got, hours)
		}
	}
	s := lowered(t, "450", "24", "12")
	delete(s.Subjects[3].Values, "flow")
	for _, v := range [][3]string{{"pressure", "40", "psi"}, {"hose_length", "100", "ft"}, {"hose_inside", "0.625", "in"}} {
		s = changedValue(t, s, "in", v[0], v[1], v[2])
	}
	if got := float64(Make(s, set, Ask{}).Bodies[0].Refill.Value) / mlPerGallon; math.Round(got) != 11 {
		t.Errorf("100 ft of 5/8 in at 40 psi: %v gpm, want 11", got)
	}
}

// A truck brings whole loads: 6 732.5 gal are 3 loads of 3 000 gal, 90 min each;
// the 7 in up to 6 in above the fitting take one.
func TestRefillByTruck(t *testing.T) {
	set := DefaultSettings()
	set.Water.BelowFitting = -25_400
	s := lowered(t, "450", "24", "12")
	delete(s.Subjects[3].Values, "flow")
	s = changedValue(t, s, "in", "source", jobs.RefillTruck, "")
	if w := Make(s, set, Ask{}).Bodies[0]; w.Fill.Known || len(w.Fill.Missing) != 2 {
		t.Errorf("a truck of unknown size fills in %s, lacking %v", w.Fill.Text, w.Fill.Missing)
	}
	s = changedValue(t, s, "in", "truck_load", "3000", "gal")
	s = changedValue(t, s, "in", "truck_every", "90", "min")
	w := Make(s, set, Ask{}).Bodies[0]
	if w.Loads.Value != 3 || w.Fill.Value != 3*90*60 || w.Cover.Value != 90*60 {
		t.Errorf("%d loads, filled in %s, covered in %s", w.Loads.Value, w.Fill.Text, w.Cover.Text)
	}
}

// changedValue sets a value, measured dry, and settles the survey again.
func changedValue(t testing.TB, s jobs.Survey, id, name, text, unit string) jobs.Survey {
	t.Helper()
	s.Subjects = slices.Clone(s.Subjects)
	for i, sub := range s.Subjects {
		if sub.ID == id {
			s.Subjects[i].Values = maps.Clone(sub.Values)
			s.Subjects[i].Values[name] = jobs.Value{Text: text, Unit: unit, Known: jobs.KnownMeasuredDry}
		}
	}
	out, err := s.Settle()
	if err != nil {
		t.Fatal(err)
	}
	return out
}
