package jobs

import (
	"encoding/json"
	"errors"
	"reflect"
	"strings"
	"testing"
)

func TestDefaultSettingsAreRight(t *testing.T) {
	if err := DefaultSettings().Check(); err != nil {
		t.Fatal(err)
	}
	data, err := EncodeSettings(DefaultSettings())
	if err != nil {
		t.Fatal(err)
	}
	back, err := DecodeSettings(data)
	if err != nil {
		t.Fatal(err)
	}
	again, err := EncodeSettings(back)
	if err != nil || string(again) != string(data) {
		t.Errorf("%v\n%s\n%s", err, data, again)
	}
}

func TestSettingsRefuse(t *testing.T) {
	good, _ := EncodeSettings(DefaultSettings())
	for _, c := range []struct{ old, new, field, want string }{
		{`"speed_km_per_hour":45`, `"speed_km_per_hour":0`, "planning.speed_km_per_hour", "between 1 and 200"},
		{`"speed_km_per_hour":45`, `"speed_km_per_hour":45,"speed_km_per_hour":50`, "planning.speed_km_per_hour", "once"},
		{`"speed_km_per_hour":45`, `"Speed_km_per_hour":45`, "planning.Speed_km_per_hour", "one of"},
		{`"speed_km_per_hour":45`, `"speed_km_per_hour":45.5`, "planning.speed_km_per_hour", "whole number"},
		{`"speed_km_per_hour":45`, `"speed_km_per_hour":"45"`, "planning.speed_km_per_hour", "whole number"},
		{`"speed_km_per_hour":45`, `"speed_km_per_hour":null`, "planning.speed_km_per_hour", "leave the name out"},
		{`"speed_km_per_hour":45,`, ``, "planning.speed_km_per_hour", "sent whole"},
		{`"late_cents_per_day":6000`, `"late_cents_per_day":-1`, "planning.late_cents_per_day", "between 0"},
		{`"overtime_cents_per_hour":12600`, `"overtime_cents_per_hour":100`, "planning.overtime_cents_per_hour", "not less"},
		{`"lunch_to_minute":840`, `"lunch_to_minute":600`, "planning.lunch_to_minute", "not before"},
		{`{"weekday":1,"from_minute":420,"to_minute":1320}`, `{"weekday":1,"from_minute":1320,"to_minute":420}`, "planning.water_hours.1.to_minute", "after from_minute"},
		{`{"weekday":1,"from_minute":420,"to_minute":1320}`, `{"weekday":7,"from_minute":420,"to_minute":1320}`, "planning.water_hours.1.weekday", "0 (Sunday)"},
		{`{"weekday":1,"from_minute":420,"to_minute":1320}`, `{"weekday":0,"from_minute":430,"to_minute":1320}`, "planning.water_hours.1", "after the span"},
		{`"language":"en"`, `"language":"xx"`, "company.language", "one of en"},
		{`"email":""`, `"email":"nobody"`, "company.email", "e-mail"},
		{`"version":1`, `"version":2`, "version", "1"},
	} {
		bad := strings.Replace(string(good), c.old, c.new, 1)
		if bad == string(good) {
			t.Fatalf("%q is not in the settings", c.old)
		}
		_, err := DecodeSettings([]byte(bad))
		var e *Error
		if !errors.As(err, &e) || e.Code != CodeInvalid {
			t.Errorf("%s: %v", c.new, err)
			continue
		}
		found := false
		for _, f := range e.Fields {
			found = found || f.Field == c.field && strings.Contains(f.Want, c.want)
		}
		if !found {
			t.Errorf("%s: %v; want %s: %s", c.new, err, c.field, c.want)
		}
	}
	for _, bad := range []string{"", "{", "[]", `"x"`, string(good) + "{}", "{} trailing"} {
		if _, err := DecodeSettings([]byte(bad)); CodeOf(err) != CodeInvalid {
			t.Errorf("%q: %v", bad, err)
		}
	}
}

// Settings stored before a rate was known take its default.
func TestStoredSettingsFillIn(t *testing.T) {
	s, err := StoredSettings([]byte(`{"version":1,"planning":{"speed_km_per_hour":60}}`))
	if err != nil || s.Planning.SpeedKmPerHour != 60 || s.Planning.RoadFactorPermille != DefaultPlanning().RoadFactorPermille {
		t.Errorf("%+v %v", s, err)
	}
	if len(s.Planning.WaterHours) != 7 {
		t.Errorf("%d water hours", len(s.Planning.WaterHours))
	}
}

// Whatever DecodeStrict takes, encoding/json with unknown fields refused takes
// too; it is never the laxer one.
func FuzzDecodeStrict(f *testing.F) {
	for _, seed := range []string{`{"name":"x"}`, `{"name":"x","name":"y"}`, `{"Name":"x"}`, `{}`, `{"address":null}`, `{"name":{"a":1}}`, `[1]`} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		var c CompanySettings
		if DecodeStrict([]byte(text), &c) != nil {
			return
		}
		dec := json.NewDecoder(strings.NewReader(text))
		dec.DisallowUnknownFields()
		var other CompanySettings
		if err := dec.Decode(&other); err != nil || !reflect.DeepEqual(other, c) {
			t.Errorf("%q: %v", text, err)
		}
	})
}
