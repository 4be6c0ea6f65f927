package estimate

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ebbline/jobs"
)

// survey reads one of the invented surveys of testdata/survey.
func survey(t testing.TB, name string) jobs.Survey {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "testdata", "survey", name+".json"))
	if err != nil {
		t.Fatal(err)
	}
	s, err := jobs.DecodeSurvey(data)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

var surveys = []string{"rectangle", "pool_and_spa", "kidney_unknowns", "free_form", "lap_pool", "poor", "hard_runs"}

// checkForm holds what must be true of any estimate whatever the survey.
func checkForm(t testing.TB, e Estimate) {
	t.Helper()
	for _, f := range e.Figures() {
		switch {
		case f.Key == "" || f.Name == "" || f.Unit == "":
			t.Errorf("a figure without key, name or unit: %+v", f)
		case f.Known && (len(f.Missing) > 0 || f.Low > f.Value || f.Value > f.High):
			t.Errorf("%s: known, %d to %d to %d, missing %v", f.Key, f.Low, f.Value, f.High, f.Missing)
		case f.Known && f.Formula == "" && f.Source == "" && len(f.Inputs) == 0:
			t.Errorf("%s: a number without a working", f.Key)
		case !f.Known && (f.Text != NotKnown || f.Value != 0 || f.Low != 0 || f.High != 0):
			t.Errorf("%s: not known, yet it says %q %d", f.Key, f.Text, f.Value)
		case !f.Known && len(f.Missing) == 0:
			t.Errorf("%s: not known, and nothing says what to find out", f.Key)
		}
	}
	for _, c := range e.Checks {
		if c.Source == "" || c.Decides == "" || c.Text == "" || (c.Result == Unknown) != (len(c.Missing) > 0) {
			t.Errorf("check %s: %+v", c.Key, c)
		}
	}
	if e.Supply.Tap.Value > 15_000 {
		t.Errorf("tap %s is above the contact limit of 15 V RMS (NEC article 100, 2023)", e.Supply.Tap.Text)
	}
	if e.Safety == "" {
		t.Error("no safety line")
	}
}

func TestExamples(t *testing.T) {
	for _, name := range surveys {
		for zones := 1; zones <= 2; zones++ {
			e := Make(survey(t, name), DefaultSettings(), Ask{Zones: zones})
			checkForm(t, e)
			data, err := Encode(e)
			if err != nil {
				t.Fatal(err)
			}
			back, err := Decode(data)
			if err != nil {
				t.Fatal(err)
			}
			if Sheet(back) != Sheet(e) {
				t.Errorf("%s: the sheet changes when stored and read back", name)
			}
			if a, _ := e.PlanSeconds(); true {
				if b, _ := back.PlanSeconds(); a != b {
					t.Errorf("%s: planning time %d, read back %d", name, a, b)
				}
			}
		}
	}
}

func TestWellKnownSurveysHaveAPrice(t *testing.T) {
	for _, name := range []string{"rectangle", "pool_and_spa", "free_form", "lap_pool"} {
		e := Make(survey(t, name), DefaultSettings(), Ask{Zones: 1})
		median, ok := e.MedianSeconds()
		plan, _ := e.PlanSeconds()
		if !e.Price.Total.Known || !e.Clock.Known || !ok || plan <= median {
			t.Errorf("%s: price %s, clock %v, times %d %d", name, e.Price.Total.Text, e.Clock.Known, median, plan)
		}
	}
}

// Of the poor survey only the number of lights was told: labour and power follow
// from it, nothing else may be a number.
func TestPoorSurveyMakesNoNumbersUp(t *testing.T) {
	e := Make(survey(t, "poor"), DefaultSettings(), Ask{})
	for _, f := range e.Figures() {
		key := strings.SplitN(f.Key, ".", 2)[0]
		fromLights := key == "visit" || f.Key == "supply.power" || f.Key == "supply.loading" || f.Key == "energy.after" || f.Key == "clock.low_limit"
		if f.Known && !fromLights {
			t.Errorf("%s is %s, from nothing", f.Key, f.Text)
		}
	}
	for _, want := range []string{"Shape", "How it becomes low", "discharge place", "refill", "light positions"} {
		found := false
		for _, m := range e.Missing {
			found = found || strings.Contains(m.Text, want)
		}
		if !found {
			t.Errorf("nobody is asked for %q: %v", want, e.Missing)
		}
	}
}

func TestCautions(t *testing.T) {
	has := func(e Estimate, key string) bool {
		for _, c := range e.Cautions {
			if c.Key == key {
				return true
			}
		}
		return false
	}
	s := lowered(t, "450", "30", "20")
	set := func(name, text, unit string) {
		v := jobs.Value{Text: text, Unit: unit, Known: jobs.KnownRead}
		s.Subjects[0].Values[name] = v
	}
	make := func() Estimate {
		settled, err := s.Settle()
		if err != nil {
			t.Fatal(err)
		}
		return Make(settled, DefaultSettings(), Ask{})
	}
	if !has(make(), "uplift") {
		t.Error("unknown ground water needs a caution")
	}
	set("ground_water", "40", "ft")
	if has(make(), "uplift") {
		t.Error("ground water 40 ft down lifts nothing")
	}
	set("ground_water", "2", "ft")
	set("finish", "vinyl", "")
	set("filler", "yes", "")
	set("salt", "yes", "")
	e := make()
	for _, key := range []string{"uplift", "liner", "filler", "unattended", "guard", "salt"} {
		if !has(e, key) {
			t.Errorf("no caution %s in %v", key, e.Cautions)
		}
	}
	if e.Clock.LowLimit != 24*3600 {
		t.Errorf("vinyl may stay low %d s", e.Clock.LowLimit)
	}
	set("finish", "plaster", "")
	if e := make(); !has(e, "heat") || has(e, "liner") {
		t.Errorf("plaster: %v", e.Cautions)
	}
	set("finish", "fibreglass", "")
	set("depth_shallow", "35", "in")
	set("depth_deep", "8", "ft")
	set("area", "450", "ft2")
	if e := make(); !has(e, "fibreglass") || !has(e, "floor") || has(e, "empty") {
		t.Errorf("fibreglass, shallow: %v", e.Cautions)
	}
	set("depth_deep", "36", "in")
	if !has(make(), "empty") {
		t.Error("a working level below the floor")
	}
	set("shape", "rectangle", "")
	set("length", "20", "ft")
	set("width", "10", "ft")
	if !has(make(), "sizes") {
		t.Error("200 ft² by sizes and 450 noted contradict each other")
	}
}

func TestChecksFallShort(t *testing.T) {
	s := survey(t, "rectangle")
	want := map[string]string{}
	for i, sub := range s.Subjects {
		set := func(name, text, unit, check string) {
			s.Subjects[i].Values[name] = jobs.Value{Text: text, Unit: unit, Known: jobs.KnownMeasuredDry}
			want[check] = text
		}
		switch sub.ID {
		case "supply":
			set("distance", "3", "ft", "supply.distance")
			set("height_deck", "3", "in", "supply.above_deck")
			set("height_water", "7", "in", "supply.above_water")
			set("protection", "none", "", "supply.protection")
			set("circuit_other", "15.5", "A", "supply.circuit")
		case "l1":
			set("fitting_inside", "1.4", "in", "light.fit")
			set("depth", "4", "in", "light.depth")
		case "c1":
			set("bend_total", "361", "°", "conduit.bends")
			set("material", "emt", "", "conduit.material")
			set("length", "400", "ft", "supply.volts")
		}
	}
	s, err := s.Settle()
	if err != nil {
		t.Fatal(err)
	}
	e := Make(s, DefaultSettings(), Ask{})
	checkForm(t, e)
	for _, c := range e.Checks {
		if c.Result == Short {
			delete(want, c.Key)
		}
	}
	if len(want) > 0 {
		t.Errorf("these hold and should not: %v\n%+v", want, e.Checks)
	}
	if v, _ := e.Visit("circuit"); !v.Needed {
		t.Error("a circuit that falls short asks for a circuit visit")
	}
}

func TestParts(t *testing.T) {
	v := Visit{Plan: Figure{Known: true, Value: 40_000}, Again: 1200}
	if got := v.Parts(40_000); len(got) != 1 || got[0] != 40_000 {
		t.Errorf("%v", got)
	}
	if got := v.Parts(28_800); len(got) != 2 || got[0] != 20_600 {
		t.Errorf("%v", got)
	}
	if got := v.Parts(1000); got != nil {
		t.Errorf("%v", got)
	}
}

func BenchmarkMake(b *testing.B) {
	s, set := survey(b, "lap_pool"), DefaultSettings()
	b.ReportAllocs()
	for b.Loop() {
		Make(s, set, Ask{Zones: 2})
	}
}
