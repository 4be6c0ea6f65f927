package estimate

import (
	"math"
	"strings"
	"testing"

	"ebbline/jobs"
)

// savings makes an estimate of a pool with so many lights told and one group of
// old illuminators.
func savings(t *testing.T, set Settings, lights string, old map[string]string) Energy {
	t.Helper()
	units := map[string]string{"watts": "W", "input_watts": "W", "hours_night": "h"}
	v := func(text, unit string) jobs.Value {
		return jobs.Value{Text: text, Unit: unit, Known: jobs.KnownRead}
	}
	pool, supply, box := subject("pool", jobs.SubjectBody, ""), subject("supply", jobs.SubjectSupply, ""), subject("old", jobs.SubjectIlluminator, "supply")
	pool.Values["lights"] = v(lights, "")
	for name, text := range old {
		box.Values[name] = v(text, units[name])
	}
	s, err := jobs.Survey{Version: 1, Zone: "UTC", Subjects: []jobs.Subject{pool, supply, box}}.Settle()
	if err != nil {
		t.Fatal(err)
	}
	e := Make(s, set, Ask{})
	checkForm(t, e)
	return e.Energy
}

func plain(watts, rate int64) Settings {
	set := DefaultSettings()
	set.Catalogue.Lights[0].Power = watts * 1000
	set.Energy.KWh, set.Energy.BallastBand, set.Energy.LampBand = rate, 0, 0
	set.Catalogue.Supplies = []SupplyPart{{Key: "big", Name: "Big", Outputs: 2, Output: 90_000_000, Total: 90_000_000, Taps: []int64{12_000}}}
	return set
}

// 100 lamps of 60 W less, 10 h on 350 days: 21 000 kWh, and $2 625 at $0.125. A
// published LED payback page. Here 50 of 122 W against 100 lights
// of 1 W: the same 6 kW.
func TestSavedAgainstThePublishedExample(t *testing.T) {
	en := savings(t, plain(1, 1250), "100", map[string]string{"lamp": "halogen", "watts": "122", "count": "50", "hours_night": "10", "nights_year": "350"})
	if en.Saved.Value != 21_000_000 || en.Money.Value != 2625_00 {
		t.Errorf("%s, %s", en.Saved.Text, en.Money.Text)
	}
}

// 175 W halide x 1.18 = 206.5 W against 40 W, 4 h, 365 nights: 243.1 kWh and
// $41.33 at 17 cents, by arithmetic on published ballast figures.
func TestSavedByOneHalideLamp(t *testing.T) {
	old := map[string]string{"lamp": "halide", "watts": "175", "hours_night": "4", "nights_year": "365"}
	en := savings(t, plain(10, 1700), "4", old)
	if en.Before.Value != 206_500 || en.After.Value != 40_000 {
		t.Errorf("before %s, after %s", en.Before.Text, en.After.Text)
	}
	if got := float64(en.Saved.Value) / 1000; math.Abs(got-243.09) > .001 || en.Money.Value != 41_33 {
		t.Errorf("%v kWh, %s", got, en.Money.Text)
	}
	// 1 460 h of a lamp that lasts 6 000 h and costs $85: $20.68
	if en.Lamps.Value != 20_68 || en.Year.Value != 62_01 {
		t.Errorf("lamps %s, a year %s", en.Lamps.Text, en.Year.Text)
	}
	for _, want := range []string{"1,460 h", "243.1 kWh", "$41.33", "$20.68", "21 years", "not known yet"} {
		if !strings.Contains(en.Says, want) {
			t.Errorf("%q does not say %s", en.Says, want)
		}
	}
	// a 100 W halide lamp draws 118 to 128 W: lighting-design article
	set := DefaultSettings()
	old["watts"] = "100"
	en = savings(t, set, "4", old)
	if math.Abs(float64(en.Before.High)-128_000) > 100 || en.Before.Value != 118_000 || en.Money.Low >= en.Money.Value {
		t.Errorf("before up to %s, %+v", show(en.Before.High, UnitPower), en.Money)
	}
	old["input_watts"] = "131"
	if en = savings(t, set, "4", old); en.Before.Value != 131_000 || en.Before.High != 131_000 {
		t.Errorf("the nameplate governs: %+v", en.Before)
	}
}

func TestWhatIsNotKnownSavesNothingYet(t *testing.T) {
	whole := map[string]string{"lamp": "halide", "watts": "175", "hours_night": "4", "nights_year": "365"}
	for _, missing := range []string{"watts", "hours_night", "nights_year"} {
		old := map[string]string{}
		for name, text := range whole {
			if name != missing {
				old[name] = text
			}
		}
		en := savings(t, DefaultSettings(), "4", old)
		if en.Saved.Known || en.Year.Known || en.Payback.Known || !strings.Contains(en.Says, "not known yet") {
			t.Errorf("without %s: %s, %s", missing, en.Saved.Text, en.Says)
		}
	}
	// an LED illuminator has no lamp to replace, and may save nothing
	en := savings(t, DefaultSettings(), "4", map[string]string{"lamp": "led", "watts": "50", "hours_night": "4", "nights_year": "365"})
	if en.Lamps.Value != 0 || !en.Saved.Known || en.Saved.Value >= 0 || en.Payback.Known || !strings.Contains(en.Says, "save no power") {
		t.Errorf("%+v", en)
	}
}

// Payback by hand: price ÷ a year's savings × 12.
func TestPaybackFollowsThePrice(t *testing.T) {
	e := Make(survey(t, "lap_pool"), DefaultSettings(), Ask{})
	if want := float64(e.Price.Total.Value) / float64(e.Energy.Year.Value) * 12; math.Abs(float64(e.Energy.Payback.Value)-want) > 1 {
		t.Errorf("%d months, want %v", e.Energy.Payback.Value, want)
	}
	if e.Energy.Payback.Low > e.Energy.Payback.Value || e.Energy.Payback.High < e.Energy.Payback.Value || e.Energy.Payback.Low == e.Energy.Payback.High {
		t.Errorf("%+v", e.Energy.Payback)
	}
}

// Lamps of another kind cost and last otherwise: 50 halogen lamps lit 3,500 h a
// year at 2,000 h each take 87.5 lamps a year, at $45.00 that is $3,937.50.
func TestLampsByTheirKind(t *testing.T) {
	values := map[string]string{"lamp": "halogen", "watts": "122", "count": "50", "hours_night": "10", "nights_year": "350"}
	if en := savings(t, plain(1, 1250), "100", values); en.Lamps.Value != 3_937_50 {
		t.Errorf("halogen: %s", en.Lamps.Text)
	}
	values["lamp"] = "led"
	if en := savings(t, plain(1, 1250), "100", values); en.Lamps.Value != 0 {
		t.Errorf("led: %s", en.Lamps.Text)
	}
}
