package estimate

import (
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
