package jobs

import (
	"errors"
	"fmt"
	"strings"
	"testing"
)

const smallSurvey = `{"version":1,"zone":"America/Phoenix","subjects":[
 {"id":"pool","kind":"body","name":"Pool","values":{
  "shape":{"text":"rectangle","known":"told"},
  "length":{"text":"32","unit":"ft","known":"read"},
  "width":{"text":"16' 0\"","known":"measured_wet","at":1764000000,"by":"Rosa","note":"tape"},
  "ground_water":{"text":"","known":"unknown","note":"nobody on site could say"}}},
 {"id":"l1","kind":"position","of":"pool","values":{"depth":{"text":"24","unit":"in","known":"told"}}},
 {"id":"supply","kind":"supply"},
 {"id":"c1","kind":"conduit","ends":["l1","supply"],"values":{"tug":{"text":"moves","known":"measured_wet"}}}]}`

func TestDecodeSurvey(t *testing.T) {
	s, err := DecodeSurvey([]byte(smallSurvey))
	if err != nil {
		t.Fatal(err)
	}
	pool, _ := s.Subject("pool")
	if base, ok := pool.Base("length"); !ok || base != 9_753_600 {
		t.Errorf("length %d %v", base, ok)
	}
	if base, _ := pool.Base("width"); base != 4_876_800 {
		t.Errorf("width %d", base)
	}
	if _, ok := pool.Base("ground_water"); ok {
		t.Error("explicitly unknown must not give a number")
	}
	if got := s.ConduitsAt("l1"); len(got) != 1 || got[0].ID != "c1" {
		t.Errorf("conduits at l1: %v", got)
	}
	data, err := EncodeSurvey(s)
	if err != nil {
		t.Fatal(err)
	}
	again, err := DecodeSurvey(data)
	if err != nil {
		t.Fatal(err)
	}
	if fmt.Sprint(again) != fmt.Sprint(s) {
		t.Errorf("there and back:\n%v\n%v", s, again)
	}
}

func TestDecodeSurveyRefuses(t *testing.T) {
	for _, c := range []struct{ old, new, field, value string }{
		{`"version":1`, `"version":2`, "version", "2"},
		{`"version":1,`, ``, "version", "0"},
		{`America/Phoenix`, `Phoenix time`, "zone", "Phoenix time"},
		{`"length":{`, `"lenght":{`, "pool.lenght", "lenght"},
		{`"text":"32","unit":"ft"`, `"text":"32","unit":"gal"`, "pool.length", "32 gal"},
		{`"text":"32","unit":"ft"`, `"text":"-32","unit":"ft"`, "pool.length", "-32 ft"},
		{`"text":"32","unit":"ft"`, `"text":"NaN","unit":"ft"`, "pool.length", "NaN ft"},
		{`"text":"32","unit":"ft"`, `"text":"10","unit":"mi"`, "pool.length", "10 mi"},
		{`"text":"32","unit":"ft"`, `"text":"32"`, "pool.length", "32"},
		{`"text":"32","unit":"ft"`, `"text":"32","unit":"ft","base":5`, "pool.length.base", "5"},
		{`"text":"24","unit":"in"`, `"text":"-24","unit":"in"`, "l1.depth", "-24 in"},
		{`"known":"read"`, `"known":"guessed"`, "pool.length.known", "guessed"},
		{`"note":"nobody on site could say"`, `"note":""`, "pool.ground_water", ""},
		{`["l1","supply"]`, `["l2","supply"]`, "c1.ends", "l2"},
		{`["l1","supply"]`, `["l1","l1"]`, "c1.ends", "l1"},
		{`["l1","supply"]`, `["pool"]`, "c1.ends", "pool"},
		{`"of":"pool"`, `"of":"supply"`, "l1.of", "supply"},
		{`"kind":"position","of":"pool"`, `"kind":"position"`, "l1.of", ""},
		{`"text":"moves"`, `"text":"wiggles"`, "c1.tug", "wiggles"},
		{`"id":"l1"`, `"id":"pool"`, "subjects.1.id", "pool"},
		{`"kind":"supply"`, `"kind":"shed"`, "subjects.2.kind", "shed"},
		{`"zone":`, `"Zone":`, "Zone", "Zone"},
		{`"zone":`, `"version":1,"zone":`, "version", "version"},
		{`"kind":"supply"`, `"kind":"supply","colour":"red"`, "subjects.2.colour", "colour"},
		{`"note":"tape"`, `"note":"ta\u0000pe"`, "pool.width", "16' 0\""},
		{`"name":"Pool"`, `"name":"Po\u0007ol"`, "pool.name", "Po\aol"},
		{`"text":"24"`, `"text":24`, "subjects.values.text", "number"},
		{`"text":"24"`, `"text":null`, "subjects.1.values.depth.text", "null"},
	} {
		text := strings.Replace(smallSurvey, c.old, c.new, 1)
		if text == smallSurvey {
			t.Fatalf("%q is not in the survey", c.old)
		}
		_, err := DecodeSurvey([]byte(text))
		var e *Error
		if !errors.As(err, &e) || e.Code != CodeInvalid || len(e.Fields) == 0 {
			t.Errorf("%s: %v", c.new, err)
			continue
		}
		found := false
		for _, f := range e.Fields {
			if f.Field == c.field && f.Value == c.value && f.Want != "" {
				found = true
			}
		}
		if !found {
			t.Errorf("%s: want field %s value %q, got %v", c.new, c.field, c.value, err)
		}
	}
	for _, text := range []string{"", "{", "[]", "null", "1", smallSurvey + "{}", strings.Replace(smallSurvey, "]}", "]", 1)} {
		if _, err := DecodeSurvey([]byte(text)); CodeOf(err) != CodeInvalid {
			t.Errorf("%.20q: %v", text, err)
		}
	}
	if _, err := DecodeSurvey(make([]byte, MaxSurveyBytes+1)); CodeOf(err) != CodeTooLarge {
		t.Errorf("too large: %v", err)
	}
}

func TestMissingAsksOnlyWhatApplies(t *testing.T) {
	s, err := DecodeSurvey([]byte(smallSurvey))
	if err != nil {
		t.Fatal(err)
	}
	asked := map[string]bool{}
	estimateDone := false
	for _, g := range s.Missing() {
		asked[g.Subject+"."+g.Field.Name] = true
		if g.Field.Need == NeedVisit {
			estimateDone = true
		} else if estimateDone {
			t.Errorf("%s comes after fields that only a visit needs", g.Field.Key())
		}
	}
	for key, want := range map[string]bool{
		"pool.length": false, "pool.width_2": false, "pool.diameter": false, "pool.ground_water": true,
		"pool.finish": true, "c1.length": true, "c1.tug": false, "supply.circuit_breaker": true, "pool.filler_valve": false,
	} {
		if asked[key] != want {
			t.Errorf("%s asked: %v, want %v", key, asked[key], want)
		}
	}
}

func TestFieldsAreSound(t *testing.T) {
	seen := map[string]bool{}
	for _, f := range Fields() {
		if seen[f.Key()] || f.Label == "" || f.Name == "" {
			t.Errorf("%s: named twice or without a label", f.Key())
		}
		seen[f.Key()] = true
		if (f.Quantity == QuantityChoice) != (len(f.Choices) > 0) {
			t.Errorf("%s: choices %v", f.Key(), f.Choices)
		}
		if f.Min > f.Max {
			t.Errorf("%s: least %d is above the most %d", f.Key(), f.Min, f.Max)
		}
		if f.Unit != "" {
			if _, ok := UnitNamed(f.Quantity, f.Unit); !ok {
				t.Errorf("%s: no unit %s", f.Key(), f.Unit)
			}
		}
		if f.Quantity.Measured() && f.Quantity != QuantityText && f.Max == 0 {
			t.Errorf("%s: no limits, so an absurd value would pass", f.Key())
		}
	}
	for _, kind := range SubjectKinds {
		if len(FieldsOf(kind)) == 0 {
			t.Errorf("no fields for %s", kind)
		}
	}
}
