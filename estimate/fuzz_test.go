package estimate

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"ebbline/jobs"
)

// nasty are surveys that somebody will send one day. The word wrong is a field
// that the error must name; empty: the survey is one, and what can't be computed
// is not known yet.
var nasty = []struct{ name, survey, wrong string }{
	{"nothing", ``, ""},
	{"no flow", body(`"read_rate":{"text":"0","unit":"gpm","known":"read"}`, ""), "pool.read_rate"},
	{"no refill", whole(`{"id":"in","kind":"refill","values":{"flow":{"text":"0","unit":"gpm","known":"read"}}}`), "in.flow"},
	{"ten miles", whole(`{"id":"c","kind":"conduit","ends":["l1","supply"],"values":{"length":{"text":"10","unit":"mi","known":"told"}}}`), "c.length"},
	{"NaN", body(`"length":{"text":"NaN","unit":"ft","known":"told"}`, ""), "pool.length"},
	{"infinite", body(`"length":{"text":"Inf","unit":"ft","known":"told"}`, ""), "pool.length"},
	{"huge", body(`"length":{"text":"1e300","unit":"ft","known":"told"}`, ""), "pool.length"},
	{"unknown unit", body(`"length":{"text":"3","unit":"cubits","known":"told"}`, ""), "pool.length"},
	{"another quantity's unit", body(`"length":{"text":"3","unit":"psi","known":"told"}`, ""), "pool.length"},
	{"1,000 lights told", body(`"lights":{"text":"1000","known":"told"}`, ""), "pool.lights"},
	{"1,000 positions", many(1000), "subjects"},
	{"200 positions", many(200), ""},
	{"sizes that contradict", body(`"shape":{"text":"rectangle","known":"told"},"length":{"text":"20","unit":"ft","known":"told"},"width":{"text":"10","unit":"ft","known":"told"},"area":{"text":"450","unit":"ft2","known":"told"}`, ""), ""},
	{"ground water above the pool", body(`"ground_water":{"text":"0","unit":"ft","known":"told"},"level":{"text":"-12","unit":"in","known":"told"}`, ""), ""},
	{"no lights", body(`"lights":{"text":"0","known":"told"}`, ""), ""},
	{"a dead circuit", whole(`{"id":"x","kind":"illuminator","of":"supply","values":{"watts":{"text":"150","unit":"W","known":"read"},"hours_night":{"text":"0","unit":"h","known":"told"},"nights_year":{"text":"0","known":"told"}}}`), ""},
	{"a light of 500 W on bell wire", body(``, `"watts":{"text":"500","unit":"W","known":"told"}`), ""},
	{"an unknown that has a number", body(`"length":{"text":"3","unit":"ft","known":"unknown"}`, ""), "pool.length"},
	{"a conduit into itself", whole(`{"id":"c","kind":"conduit","ends":["c","supply"]}`), "c.ends"},
	{"an unknown field", body(`"sparks":{"text":"3","known":"told"}`, ""), "pool.sparks"},
}

func whole(subjects string) string {
	return `{"version":1,"zone":"UTC","subjects":[{"id":"pool","kind":"body"},{"id":"l1","kind":"position","of":"pool"},{"id":"supply","kind":"supply","values":{"circuit_voltage":{"text":"120","unit":"V","known":"read"},"voltage_box":{"text":"0","unit":"V","known":"read"}}},` + subjects + `]}`
}

func body(values, position string) string {
	return `{"version":1,"zone":"UTC","subjects":[{"id":"pool","kind":"body","values":{` + values + `}},{"id":"supply","kind":"supply"},{"id":"l","kind":"position","of":"pool","values":{` + position + `}},{"id":"c","kind":"conduit","ends":["l","supply"],"values":{"length":{"text":"300","unit":"ft","known":"told"}}}]}`
}

func many(n int) string {
	var s strings.Builder
	s.WriteString(`{"version":1,"zone":"UTC","subjects":[{"id":"pool","kind":"body"},{"id":"supply","kind":"supply"}`)
	for i := range n {
		fmt.Fprintf(&s, `,{"id":"l%d","kind":"position","of":"pool"}`, i)
	}
	s.WriteString(`]}`)
	return s.String()
}

// Bad input is a named error or not known yet, never a wrong number.
func TestNastySurveys(t *testing.T) {
	for _, c := range nasty {
		s, err := jobs.DecodeSurvey([]byte(c.survey))
		if c.wrong != "" || c.survey == "" {
			if jobs.CodeOf(err) != jobs.CodeInvalid || c.wrong != "" && !namesField(err, c.wrong) {
				t.Errorf("%s: %v, it should name %q", c.name, err, c.wrong)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		for zones := range 4 {
			checkWhole(t, s, Ask{Zones: zones})
		}
	}
	// the light that no run of 300 ft of 16 AWG feeds
	for _, c := range nasty {
		if strings.Contains(c.survey, `"500"`) {
			s, err := jobs.DecodeSurvey([]byte(c.survey))
			if err != nil {
				t.Fatal(err)
			}
			if e := Make(s, DefaultSettings(), Ask{}); e.Cords[0].Volts.Known || e.Supply.Least.Known {
				t.Errorf("%s: %s", c.name, e.Cords[0].Volts.Text)
			}
		}
	}
}

// checkWhole makes an estimate and holds what must be true of any, through
// writing it and reading it back.
func checkWhole(t testing.TB, s jobs.Survey, ask Ask) {
	t.Helper()
	e := Make(s, DefaultSettings(), ask)
	checkForm(t, e)
	const far = int64(1e18)
	for _, f := range e.Figures() {
		if f.Value > far || f.Low < -far || f.High > far {
			t.Errorf("%s: %d to %d", f.Key, f.Low, f.High)
		}
	}
	if len(Sheet(e)) == 0 || len(Brief(e)) == 0 {
		t.Error("an empty sheet")
	}
	data, err := Encode(e)
	if err != nil {
		t.Fatal(err)
	}
	back, err := Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	again, err := Encode(back)
	if err != nil || !bytes.Equal(data, again) {
		t.Errorf("read back and written again it differs: %v\n%s\n%s", err, data, again)
	}
	if len(back.Figures()) != len(e.Figures()) || len(back.Checks) != len(e.Checks) {
		t.Error("read back it has other figures or checks")
	}
}

// FuzzMake sends any bytes as a survey. What decodes gives an estimate of sound
// form, whatever the numbers in it.
func FuzzMake(f *testing.F) {
	for _, name := range surveys {
		data, err := jobs.EncodeSurvey(survey(f, name))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data, 1)
		f.Add(data, 2)
	}
	for _, c := range nasty {
		f.Add([]byte(c.survey), 2)
	}
	f.Fuzz(func(t *testing.T, data []byte, zones int) {
		s, err := jobs.DecodeSurvey(data)
		if err != nil {
			if code := jobs.CodeOf(err); code != jobs.CodeInvalid {
				t.Fatalf("%s: %v", code, err)
			}
			return
		}
		checkWhole(t, s, Ask{Zones: zones})
	})
}
