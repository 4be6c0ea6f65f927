package week

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestDecodeRefuses changes the text of the example and wants one fault with path,
// value and what would be right.
func TestDecodeRefuses(t *testing.T) {
	whole := string(readFile(t, "week.example.json"))
	for _, c := range []struct {
		name, old, new    string
		path, value, want string
	}{
		{"unknown field", `"t0": 21600`, `"t0": 21600, "tzero": 1`, "tzero", "1", "no such field; known here: version, label, zone, t0"},
		{"unknown field deep down", `"drops_pump": true`, `"drop_pump": true`, "jobs[0].visits[0].drop_pump", "true", "no such field"},
		{"another case", `"t0": 21600`, `"T0": 21600`, "T0", "21600", "no such field"},
		{"missing", `"t0": 21600,`, ``, "t0", "missing", "a whole number"},
		{"missing deep down", `"people": 2,`, ``, "tours[0].people", "missing", "a whole number"},
		{"twice", `"t0": 21600`, `"t0": 21600, "t0": 21600`, "t0", "given twice", "once"},
		{"null", `"t0": 21600`, `"t0": null`, "t0", "null", "a whole number"},
		{"null for an optional object", `"way": "pump"`, `"way": "pump", "customer": null`, "jobs[0].water.customer", "null", "left out"},
		{"text for a number", `"t0": 21600`, `"t0": "6:00"`, "t0", `"6:00"`, "a whole number"},
		{"a fraction", `"t0": 21600`, `"t0": 21600.5`, "t0", "21600.5", "a whole number"},
		{"a whole fraction", `"t0": 21600`, `"t0": 21600.0`, "t0", "21600.0", "a whole number"},
		{"an exponent", `"t0": 21600`, `"t0": 2e4`, "t0", "2e4", "a whole number"},
		{"too large", `"t0": 21600`, `"t0": 99999999999999999999`, "t0", "99999999999999999999", "a whole number"},
		{"number for text", `"zone": "America/Phoenix"`, `"zone": 7`, "zone", "7", "text"},
		{"text for a flag", `"may_owe": true`, `"may_owe": "yes"`, "jobs[0].visits[2].may_owe", `"yes"`, "true or false"},
		{"object for a list", `"promises": [`, `"promises": {}, "closures": [`, "promises", "an object", "a list"},
		{"list for an object", `"next_workday": {"day": 3, "end": 345600}`, `"next_workday": [3]`, "next_workday", "a list of 1", "an object with day, end"},
		{"text behind", "", "x", "(file", "text after the end", "nothing"},
		{"another object behind", "", "{}", "(file", "text after the end", "nothing"},
		{"cut off", whole[len(whole)/2:], "", "(file)", "ends too early", "one whole JSON object"},
		{"not JSON", `"t0": 21600`, `"t0" 21600`, "(file, near byte", "invalid character", "valid JSON"},
		{"comment", `"t0": 21600`, `/* now */ "t0": 21600`, "(file, near byte", "invalid character", "valid JSON"},
		{"not UTF-8", `Mesquite Flats`, "Mesquite \xff", "(file)", "not UTF-8", "UTF-8"},
		{"deeply nested", `"t0": 21600`, `"t0": ` + strings.Repeat("[", 100) + strings.Repeat("]", 100), "(file, near byte", "nested more than 20", "valid JSON"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := whole + c.new
			if c.old != "" {
				if !strings.Contains(whole, c.old) {
					t.Fatalf("the example has no %s", c.old)
				}
				text = strings.Replace(whole, c.old, c.new, 1)
			}
			_, err := DecodeWeek(strings.NewReader(text))
			wantFault(t, err, c.path, c.value, c.want)
		})
	}
	for _, text := range []string{"", "  ", "null", "[]", "7"} {
		if _, err := DecodeWeek(strings.NewReader(text)); !errors.As(err, new(FieldErrors)) {
			t.Errorf("%q: %v, want FieldErrors", text, err)
		}
	}
}

// wantFault wants a fault whose path begins so, and whose value and want hold these words.
func wantFault(t *testing.T, err error, path, value, want string) {
	t.Helper()
	var faults FieldErrors
	if !errors.As(err, &faults) {
		t.Fatalf("got %v, want FieldErrors", err)
	}
	for _, f := range faults {
		if strings.HasPrefix(f.Path, path) && strings.Contains(f.Value, value) && strings.Contains(f.Want, want) {
			return
		}
	}
	t.Fatalf("no fault at %s with value %q and want %q in:\n%v", path, value, want, faults)
}

// TestCollectsFaults: several faults come in one answer, in the order of the file.
func TestCollectsFaults(t *testing.T) {
	text := string(readFile(t, "week.example.json"))
	text = strings.Replace(text, `"zone": "America/Phoenix"`, `"zone": 7`, 1)
	text = strings.Replace(text, `"t0": 21600`, `"t0": true`, 1)
	text = strings.Replace(text, `"people": 2`, `"people": "two"`, 1)
	_, err := DecodeWeek(strings.NewReader(text))
	var faults FieldErrors
	if !errors.As(err, &faults) || len(faults) != 3 {
		t.Fatalf("got %v, want three faults", err)
	}
	for i, path := range []string{"zone", "t0", "tours[0].people"} {
		if faults[i].Path != path {
			t.Errorf("fault %d is at %s, want %s", i, faults[i].Path, path)
		}
	}
	if got := strings.Count(err.Error(), "\n"); got != 2 {
		t.Errorf("the text has %d line ends, want 2: %v", got, err)
	}
}

// TestDecodeSurvivesDamage: whatever happens to the bytes of a week, reading gives a week
// or an error that names something, and never panics.
func TestDecodeSurvivesDamage(t *testing.T) {
	whole := readFile(t, "week.example.json")
	rapid.Check(t, func(t *rapid.T) {
		data := bytes.Clone(whole)
		for range rapid.IntRange(1, 3).Draw(t, "changes") {
			i := rapid.IntRange(0, len(data)-1).Draw(t, "at")
			switch rapid.IntRange(0, 2).Draw(t, "how") {
			case 0:
				data[i] = rapid.Byte().Draw(t, "byte")
			case 1:
				data = append(data[:i:i], data[min(len(data), i+rapid.IntRange(1, 40).Draw(t, "cut")):]...)
			case 2:
				data[i] = rapid.SampledFrom([]byte(`0123456789-{}[]",:`)).Draw(t, "char")
			}
			if len(data) == 0 {
				break
			}
		}
		w, err := DecodeWeek(bytes.NewReader(data))
		if (w == nil) == (err == nil) {
			t.Fatalf("week %v, error %v", w, err)
		}
		var faults FieldErrors
		if err != nil && (!errors.As(err, &faults) || len(faults) == 0 || faults[0].Path == "" || faults[0].Want == "") {
			t.Fatalf("an error that names nothing: %v", err)
		}
	})
}

func TestDecodePlanRefuses(t *testing.T) {
	whole := string(readFile(t, "plan.example.json"))
	for _, c := range []struct{ name, old, new, path, value, want string }{
		{"version", `"version": 1`, `"version": 7`, "version", "7", "1"},
		{"tour twice", `"tour": "quail-mon"`, `"tour": "heron-mon"`, "tours[1].tour", `"heron-mon"`, "tours[0].tour has it already"},
		{"negative load", `"load": 1`, `"load": -1`, "tours[0].load", "-1", "0 or more"},
		{"unknown break", `"rule_breaks": []`, `"rule_breaks": [{"rule": "physics"}]`, "rule_breaks[0].rule", `"physics"`, "low_limit, commission_limit, availability or pin"},
		{"unknown field", `"seed": 1`, `"seed": 1, "luck": 3`, "luck", "3", "no such field"},
		{"missing", `"seed": 1,`, ``, "seed", "missing", "a whole number"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if !strings.Contains(whole, c.old) {
				t.Fatalf("the example has no %s", c.old)
			}
			_, err := DecodePlan(strings.NewReader(strings.Replace(whole, c.old, c.new, 1)))
			wantFault(t, err, c.path, c.value, c.want)
		})
	}
}
