package estimate

import (
	"math"
	"strings"
	"testing"

	"ebbline/jobs"
)

func TestSettingsThereAndBack(t *testing.T) {
	data, err := EncodeSettings(DefaultSettings())
	if err != nil {
		t.Fatal(err)
	}
	back, err := DecodeSettings(data)
	if err != nil {
		t.Fatal(err)
	}
	a, b := Make(survey(t, "lap_pool"), DefaultSettings(), Ask{}), Make(survey(t, "lap_pool"), back, Ask{})
	if Sheet(a) != Sheet(b) {
		t.Error("settings read back give another estimate")
	}
}

func TestSettingsRefuse(t *testing.T) {
	for _, c := range []struct {
		field  string
		change func(*Settings)
	}{
		{"supply.contact_limit", func(s *Settings) { s.Supply.ContactLimit = 24_000 }},
		{"bands.length.measured_dry", func(s *Settings) { s.Bands.Length[jobs.KnownMeasuredDry] = 500 }},
		{"labour.tasks.0.usual", func(s *Settings) { s.Labour.Tasks[0].Usual = 0 }},
		{"labour.tasks.0.visit", func(s *Settings) { s.Labour.Tasks[0].Visit = "picnic" }},
		{"labour.quantile", func(s *Settings) { s.Labour.Quantile = 1000 }},
		{"catalogue.lights.0.awg", func(s *Settings) { s.Catalogue.Lights[0].AWG = 7 }},
		{"catalogue.lights.0.sets.1.length", func(s *Settings) { s.Catalogue.Lights[0].Sets[1].Length = 1 }},
		{"catalogue.supplies.0.output", func(s *Settings) { s.Catalogue.Supplies[0].Output = 900_000 }},
		{"price.crew_hour", func(s *Settings) { s.Price.CrewHour = -1 }},
		{"water.pump.flow", func(s *Settings) { s.Water.Pump.Flow = 0 }},
		{"energy.lamp_hours", func(s *Settings) { s.Energy.LampHours = 0 }},
	} {
		s := DefaultSettings()
		c.change(&s)
		if err := s.Check(); err == nil || !strings.Contains(err.Error(), c.field+":") {
			t.Errorf("%s: %v", c.field, err)
		}
	}
	for _, text := range []string{`{}`, `{"versions":1}`, `{"version":1}{}`, `nonsense`} {
		if _, err := DecodeSettings([]byte(text)); jobs.CodeOf(err) != jobs.CodeInvalid {
			t.Errorf("%s: %v", text, err)
		}
	}
	if _, err := Decode([]byte(`{"version":9}`)); err == nil || !strings.Contains(err.Error(), "9") {
		t.Errorf("an estimate of another version: %v", err)
	}
}

// The contact limit is 15 V RMS for sinusoidal AC (NEC article 100, 2023; 680.2
// before). A supply whose only taps lie above it gives no tap at all, and a mains
// above nominal lifts the tap with it.
func TestContactLimit(t *testing.T) {
	if got := DefaultSettings().Supply.ContactLimit; got != 15_000 {
		t.Errorf("contact limit %d mV", got)
	}
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
	for _, measured := range []struct {
		volts string
		tap   int64
	}{{"119", 15_000}, {"121", 14_000}, {"131", 13_000}} {
		s := survey(t, "lap_pool")
		for _, sub := range s.Subjects {
			if sub.ID == "supply" {
				sub.Values["voltage_box"] = jobs.Value{Text: measured.volts, Unit: "V", Known: jobs.KnownRead}
			}
		}
		s, err := s.Settle()
		if err != nil {
			t.Fatal(err)
		}
		if e := Make(s, DefaultSettings(), Ask{}); e.Supply.Tap.Value != measured.tap {
			t.Errorf("%s V at the box: tap %d, want %d", measured.volts, e.Supply.Tap.Value, measured.tap)
		}
	}
}

// 100 lamps of 60 W, 10 h, 350 days: 21 000 kWh, and $2 625 at $0.125. A
// published LED payback page.
func TestPayback(t *testing.T) {
	wattHours := savedWattHours(100*60*1000, 10*350*3600)
	if math.Abs(wattHours-21_000_000) > 1e-6 {
		t.Errorf("%v Wh", wattHours)
	}
	if dollars := wattHours / 1000 * .125; math.Abs(dollars-2625) > 1e-9 {
		t.Errorf("$%v", dollars)
	}
	// 175 W halide x 1.18 = 206.5 W against 40 W, 4 h, 365 nights: 243.1 kWh and
	// $41.33 at 17 cents, by arithmetic.
	s := survey(t, "rectangle")
	for _, sub := range s.Subjects {
		if sub.ID == "illuminator" {
			sub.Values = nil
		}
	}
	for i := range s.Subjects {
		if s.Subjects[i].Kind == jobs.SubjectIlluminator {
			v := func(text, unit string) jobs.Value { return jobs.Value{Text: text, Unit: unit, Known: jobs.KnownRead} }
			s.Subjects[i].Values = map[string]jobs.Value{"lamp": v("halide", ""), "watts": v("175", "W"), "hours_night": v("4", "h"), "nights_year": v("365", "")}
		}
	}
	s, err := s.Settle()
	if err != nil {
		t.Fatal(err)
	}
	set := DefaultSettings()
	set.Catalogue.Lights[0].Power = 10_000 // four lights: 40 W
	for i := range set.Catalogue.Supplies {
		set.Catalogue.Supplies[i].Loss = 0
	}
	e := Make(s, set, Ask{})
	if got := float64(e.Energy.Saved.Value) / 1e6; math.Abs(got-.2431) > .0001 || e.Energy.Money.Value != 41_33 {
		t.Errorf("%v MWh, %s", got, e.Energy.Money.Text)
	}
}

// Money adds up to the cent: the lines are the price before tax.
func TestPriceAddsUp(t *testing.T) {
	for _, name := range []string{"rectangle", "pool_and_spa", "free_form", "lap_pool"} {
		p := Make(survey(t, name), DefaultSettings(), Ask{Zones: 2}).Price
		total := jobs.Cents(0)
		for _, line := range p.Lines {
			total += line.Cents
		}
		if int64(total) != p.Net.Value || p.Net.Value+p.Tax.Value != p.Total.Value {
			t.Errorf("%s: lines %s, before tax %s, tax %s, price %s", name, total, p.Net.Text, p.Tax.Text, p.Total.Text)
		}
	}
}
