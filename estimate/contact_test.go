package estimate

import (
	"testing"

	"ebbline/jobs"
)

// The low-voltage contact limit: 15 V RMS of sinusoidal AC, 21.2 V peak of any
// other AC, 30 V of steady DC, 12.4 V peak of DC interrupted at 10 to 200 Hz.
// NEC article 100 (2023), 680.2 before.
func TestContactLimitTable(t *testing.T) {
	c := &calc{set: DefaultSettings()}
	steady := mains{mid: 1, low: 1, top: 1}
	for _, row := range []struct {
		part     SupplyPart
		tap      int64 // the highest that is inside
		hint     string
		measured float64
	}{
		{SupplyPart{}, 15_000, "RMS of a sine", 0},
		{SupplyPart{Form: FormChop, Crest: 1414}, 14_992, "21.2 V peak of a sine's crest", 0},
		{SupplyPart{Form: FormChop, Crest: 2000}, 10_600, "21.2 V peak, twice the RMS", 0},
		{SupplyPart{Form: FormDC}, 30_000, "steady DC", 0},
		{SupplyPart{Form: FormPulsed, Hertz: 120}, 12_400, "dimmed at 120 Hz", 0},
		{SupplyPart{Form: FormPulsed, Hertz: 10}, 12_400, "at 10 Hz", 0},
		{SupplyPart{Form: FormPulsed, Hertz: 200}, 12_400, "at 200 Hz", 0},
		{SupplyPart{Form: FormPulsed, Hertz: 20_000}, 12_400, "beyond the table the lowest is taken", 0},
		{SupplyPart{Form: FormPulsed}, 12_400, "at a rate nobody knows", 0},
		{SupplyPart{}, 14_285, "mains measured 5 % high", 1.05},
		{SupplyPart{}, 15_000, "mains measured low", .95},
	} {
		m := steady
		if row.measured > 0 {
			m = mains{measured: true, mid: row.measured, low: min(row.measured, 1), top: max(row.measured, 1)}
		}
		if !c.inContact(row.part, row.tap, m) || c.inContact(row.part, row.tap+2, m) {
			t.Errorf("%s: %d mV inside %v, %d mV inside %v", row.hint, row.tap, c.inContact(row.part, row.tap, m), row.tap+2, c.inContact(row.part, row.tap+2, m))
		}
	}
}

// A supply whose only taps lie above the limit gives no tap at all, and a mains
// above nominal lifts the tap with it.
func TestContactLimit(t *testing.T) {
	set := DefaultSettings()
	for i := range set.Catalogue.Supplies {
		set.Catalogue.Supplies[i].Taps = []int64{15_001, 24_000}
	}
	for i := range set.Catalogue.Lights {
		set.Catalogue.Lights[i].VoltsMax = 30_000
	}
	if e := Make(survey(t, "rectangle"), set, Ask{}); e.Supply.Tap.Known {
		t.Errorf("tap %s", e.Supply.Tap.Text)
	}
	for i := range set.Catalogue.Supplies {
		set.Catalogue.Supplies[i].Form = FormDC
	}
	if e := Make(survey(t, "rectangle"), set, Ask{}); e.Supply.Tap.Value != 15_001 || result(e, "supply.contact") != Holds {
		t.Errorf("steady DC: tap %s", e.Supply.Tap.Text)
	}
	for _, measured := range []struct {
		volts string
		tap   int64
	}{{"119", 15_000}, {"121", 14_000}, {"131", 13_000}} {
		s := with(t, survey(t, "lap_pool"), "supply", "voltage_box", measured.volts, "V")
		if e := Make(s, DefaultSettings(), Ask{}); e.Supply.Tap.Value != measured.tap {
			t.Errorf("%s V at the box: tap %d, want %d", measured.volts, e.Supply.Tap.Value, measured.tap)
		}
	}
}

// Settings may be stricter than the table, never looser; a supply whose AC is no
// sine must say its crest.
func TestContactSettings(t *testing.T) {
	for field, change := range map[string]func(*Settings){
		"supply.contact_peak":         func(s *Settings) { s.Supply.ContactPeak = 21_201 },
		"supply.contact_dc":           func(s *Settings) { s.Supply.ContactDC = 30_001 },
		"supply.contact_pulsed":       func(s *Settings) { s.Supply.ContactPulsed = 12_401 },
		"supply.output_amps":          func(s *Settings) { s.Supply.OutputAmps = 25_001 },
		"supply.branch_amps":          func(s *Settings) { s.Supply.BranchAmps = 0 },
		"catalogue.supplies.0.crest":  func(s *Settings) { s.Catalogue.Supplies[0].Form = FormChop },
		"catalogue.supplies.0.form":   func(s *Settings) { s.Catalogue.Supplies[0].Form = "square" },
		"catalogue.supplies.0.listed": func(s *Settings) { s.Catalogue.Supplies[0].Listed = "maybe" },
		"catalogue.lights.0.shell":    func(s *Settings) { s.Catalogue.Lights[0].Shell = "glass" },
		"energy.light_hours":          func(s *Settings) { s.Energy.LightHours = 0 },
	} {
		set := DefaultSettings()
		change(&set)
		if err := set.Check(); jobs.CodeOf(err) != jobs.CodeInvalid || !namesField(err, field) {
			t.Errorf("%s: %v", field, err)
		}
	}
	set := DefaultSettings()
	set.Supply.ContactLimit = 13_500
	if e := Make(survey(t, "lap_pool"), set, Ask{}); e.Supply.Tap.Value != 13_000 {
		t.Errorf("a stricter limit of 13.5 V: tap %s", e.Supply.Tap.Text)
	}
}
