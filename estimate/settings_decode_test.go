package estimate

import (
	"encoding/json"
	"errors"
	"reflect"
	"testing"

	"ebbline/jobs"
)

func namesField(err error, field string) bool {
	var e *jobs.Error
	if !errors.As(err, &e) {
		return false
	}
	for _, f := range e.Fields {
		if f.Field == field {
			return true
		}
	}
	return false
}

// edited gives the default settings' JSON with one object changed.
func edited(t *testing.T, change func(map[string]any)) []byte {
	t.Helper()
	data, err := EncodeSettings(DefaultSettings())
	if err != nil {
		t.Fatal(err)
	}
	var tree map[string]any
	if err := json.Unmarshal(data, &tree); err != nil {
		t.Fatal(err)
	}
	change(tree)
	if data, err = json.Marshal(tree); err != nil {
		t.Fatal(err)
	}
	return data
}

// Each single number left out, as settings kept before this program knew it
// leave it out, takes its default; the whole of the rest stays.
func TestWhatIsLeftOutTakesItsDefault(t *testing.T) {
	want := DefaultSettings()
	var walk func(path []string, node map[string]any)
	left := 0
	walk = func(path []string, node map[string]any) {
		for name, value := range node {
			at := append(append([]string{}, path...), name)
			if child, ok := value.(map[string]any); ok && !isTable(at) {
				walk(at, child)
			}
			if len(at) == 1 && name == "version" {
				continue
			}
			left++
			got, err := DecodeSettings(edited(t, func(tree map[string]any) {
				for _, step := range path {
					tree = tree[step].(map[string]any)
				}
				delete(tree, name)
			}))
			if err != nil || !reflect.DeepEqual(got, want) {
				t.Errorf("without %v: %v", at, err)
			}
		}
	}
	var tree map[string]any
	if err := json.Unmarshal(edited(t, func(map[string]any) {}), &tree); err != nil {
		t.Fatal(err)
	}
	walk(nil, tree)
	if left < 70 {
		t.Errorf("only %d numbers were tried", left)
	}
}

// isTable says whether a JSON object is a table whose rows the office names.
func isTable(path []string) bool {
	to := reflect.TypeOf(Settings{})
	for _, name := range path {
		for i := range to.NumField() {
			if to.Field(i).Tag.Get("json") == name {
				to = to.Field(i).Type
				break
			}
		}
	}
	return to.Kind() != reflect.Struct
}

// A list or a table is the office's own: what it took out does not come back,
// and an item does not inherit from the default's item at the same place.
func TestListsAreTakenWhole(t *testing.T) {
	s, err := DecodeSettings(edited(t, func(tree map[string]any) {
		catalogue := tree["catalogue"].(map[string]any)
		lights := catalogue["lights"].([]any)
		light := lights[2].(map[string]any)
		for _, name := range []string{"shell", "ungrounded", "dry_safe", "cord_weight", "conductors"} {
			delete(light, name)
		}
		catalogue["lights"] = []any{light}
		delete(tree["water"].(map[string]any)["rate_by_place"].(map[string]any), "dry_well")
	}))
	if err != nil {
		t.Fatal(err)
	}
	if l := s.Catalogue.Lights; len(l) != 1 || l[0].Key != "long-run" || l[0].Shell != "" || l[0].Conductors != 0 {
		t.Errorf("%+v", l)
	}
	if _, back := s.Water.RateByPlace["dry_well"]; back || len(s.Water.RateByPlace) != len(DefaultSettings().Water.RateByPlace)-1 {
		t.Errorf("%v", s.Water.RateByPlace)
	}
}

func TestSettingsOfTheFirstForm(t *testing.T) {
	// the form that settings were first kept in
	kept := edited(t, func(tree map[string]any) {
		supply := tree["supply"].(map[string]any)
		for name := range supply {
			switch name {
			case "loading", "contact_limit", "continuous", "distance", "above_deck", "above_water", "lens_depth", "lens_listed", "edition":
			default:
				delete(supply, name)
			}
		}
		supply["loading"] = 750
		delete(tree, "conduit")
		delete(tree["price"].(map[string]any), "allowances")
	})
	s, err := DecodeSettings(kept)
	if err != nil {
		t.Fatal(err)
	}
	want := DefaultSettings()
	want.Supply.Loading = 750
	if !reflect.DeepEqual(s, want) {
		t.Errorf("%+v", s.Supply)
	}
}

func TestSettingsRefuseNamesTheyDoNotHave(t *testing.T) {
	for _, c := range []struct {
		field  string
		change func(map[string]any)
	}{
		{"sparks", func(tree map[string]any) { tree["sparks"] = 1 }},
		{"supply.sparks", func(tree map[string]any) { tree["supply"].(map[string]any)["sparks"] = 1 }},
		{"catalogue.lights.0.sparks", func(tree map[string]any) {
			tree["catalogue"].(map[string]any)["lights"].([]any)[0].(map[string]any)["sparks"] = 1
		}},
		{"version", func(tree map[string]any) { delete(tree, "version") }},
		{"supply.cool", func(tree map[string]any) { tree["supply"].(map[string]any)["cool"] = nil }},
	} {
		if _, err := DecodeSettings(edited(t, c.change)); jobs.CodeOf(err) != jobs.CodeInvalid || !namesField(err, c.field) {
			t.Errorf("%s: %v", c.field, err)
		}
	}
}
