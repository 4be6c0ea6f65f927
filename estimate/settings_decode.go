package estimate

import (
	"encoding/json"
	"reflect"
	"strings"

	"ebbline/jobs"
)

// DecodeSettings reads settings strictly and checks them (see Settings.Check).
// A number that the text leaves out, because it was kept before this program
// knew it, takes its default, never zero; names that settings do not have are
// refused. A list or table that is there is taken whole, as the office left it.
func DecodeSettings(data []byte) (Settings, error) {
	s := Settings{}
	if err := jobs.DecodeStrict(data, &s); err != nil {
		return Settings{}, err
	}
	s = DefaultSettings()
	s.Version = 0 // who keeps settings says which they are
	if err := overlay(reflect.ValueOf(&s).Elem(), data); err != nil {
		return Settings{}, jobs.Wrap(jobs.CodeInvalid, err, "The JSON does not have the form asked for")
	}
	return s, s.Check()
}

// overlay writes what the text names over a value, struct by struct.
// encoding/json alone would do so too, but it decodes a list's items over
// whatever items the default has at the same place, and adds a table's rows to
// the default's.
func overlay(to reflect.Value, data []byte) error {
	if to.Kind() != reflect.Struct {
		fresh := reflect.New(to.Type())
		if err := json.Unmarshal(data, fresh.Interface()); err != nil {
			return err
		}
		to.Set(fresh.Elem())
		return nil
	}
	var parts map[string]json.RawMessage
	if err := json.Unmarshal(data, &parts); err != nil {
		return err
	}
	for i := range to.NumField() {
		name, _, _ := strings.Cut(to.Type().Field(i).Tag.Get("json"), ",")
		if part, ok := parts[name]; ok {
			if err := overlay(to.Field(i), part); err != nil {
				return err
			}
		}
	}
	return nil
}
