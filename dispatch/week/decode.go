package week

import (
	"errors"
	"fmt"
	"io"
	"reflect"
	"strconv"
	"strings"
)

// maxFaults is how many faults are collected before reading gives up.
const maxFaults = 100

// DecodeWeek reads a week strictly and validates it. The error is FieldErrors when
// the file is at fault.
func DecodeWeek(r io.Reader) (*Week, error) {
	w := new(Week)
	if err := decodeStrict(r, w); err != nil {
		return nil, err
	}
	if err := w.Validate(); err != nil {
		return nil, err
	}
	return w, nil
}

// DecodePlan reads a plan strictly. Whether it fits a week is for the checker to say.
func DecodePlan(r io.Reader) (*Plan, error) {
	p := new(Plan)
	if err := decodeStrict(r, p); err != nil {
		return nil, err
	}
	if err := p.Validate(); err != nil {
		return nil, err
	}
	return p, nil
}

// decodeStrict fills *into from one JSON object: every field known, none missing
// unless its tag says omitempty, none given twice, no null, numbers whole, nothing
// behind the object.
func decodeStrict(r io.Reader, into any) error {
	data, err := io.ReadAll(r)
	if err != nil {
		return fmt.Errorf("read: %w", err)
	}
	t, err := parseTree(data)
	if err != nil {
		var fault FieldError
		if errors.As(err, &fault) {
			return FieldErrors{fault}
		}
		return err
	}
	f := &filler{}
	f.fill("", t, reflect.ValueOf(into).Elem())
	if len(f.faults) > 0 {
		return f.faults
	}
	return nil
}

// filler copies a tree into Go values and collects what does not fit.
type filler struct{ faults FieldErrors }

func (f *filler) fault(path, value, want string) {
	if path == "" {
		path = "(file)"
	}
	if len(f.faults) < maxFaults {
		f.faults = append(f.faults, FieldError{path, value, want})
	}
}

func (f *filler) fill(path string, t tree, v reflect.Value) {
	want := wanted(v.Type())
	switch v.Kind() {
	case reflect.Pointer:
		if t.kind == '0' {
			f.fault(path, "null", want+", or the field left out")
			return
		}
		v.Set(reflect.New(v.Type().Elem()))
		f.fill(path, t, v.Elem())
	case reflect.Struct:
		if t.kind != 'o' {
			f.fault(path, t.String(), want)
			return
		}
		f.fillStruct(path, t, v)
	case reflect.Slice:
		if t.kind != 'a' {
			f.fault(path, t.String(), want)
			return
		}
		v.Set(reflect.MakeSlice(v.Type(), len(t.values), len(t.values)))
		for i := range t.values {
			f.fill(fmt.Sprintf("%s[%d]", path, i), t.values[i], v.Index(i))
		}
	case reflect.String:
		if t.kind != 's' {
			f.fault(path, t.String(), want)
			return
		}
		v.SetString(t.text)
	case reflect.Bool:
		if t.kind != 'b' {
			f.fault(path, t.String(), want)
			return
		}
		v.SetBool(t.text == "true")
	case reflect.Int, reflect.Int64:
		n, err := strconv.ParseInt(t.text, 10, 64)
		if t.kind != 'n' || err != nil {
			f.fault(path, t.String(), want)
			return
		}
		v.SetInt(n)
	default:
		panic("week: no rule to read a " + v.Type().String())
	}
}

func (f *filler) fillStruct(path string, t tree, v reflect.Value) {
	seen := make(map[string]bool, len(t.keys))
	for i, key := range t.keys {
		at := join(path, key)
		if seen[key] {
			f.fault(at, "given twice", "the field once")
			continue
		}
		seen[key] = true
		field := fieldByTag(v, key)
		if !field.IsValid() {
			f.fault(at, t.values[i].String(), "no such field; known here: "+strings.Join(tagNames(v.Type()), ", "))
			continue
		}
		f.fill(at, t.values[i], field)
	}
	for i := range v.NumField() {
		name, optional := tag(v.Type().Field(i))
		if !optional && !seen[name] {
			f.fault(join(path, name), "missing", wanted(v.Type().Field(i).Type))
		}
	}
}

// wanted says in words what form a type has.
func wanted(t reflect.Type) string {
	switch t.Kind() {
	case reflect.Pointer:
		return wanted(t.Elem())
	case reflect.Struct:
		return "an object with " + strings.Join(tagNames(t), ", ")
	case reflect.Slice:
		return "a list"
	case reflect.String:
		return "text"
	case reflect.Bool:
		return "true or false"
	}
	return "a whole number"
}

// tag gives a field's JSON name and whether it may be left out.
func tag(field reflect.StructField) (name string, optional bool) {
	name, rest, _ := strings.Cut(field.Tag.Get("json"), ",")
	return name, rest == "omitempty"
}

func tagNames(t reflect.Type) []string {
	names := make([]string, t.NumField())
	for i := range names {
		names[i], _ = tag(t.Field(i))
	}
	return names
}

func fieldByTag(v reflect.Value, key string) reflect.Value {
	for i := range v.NumField() {
		if name, _ := tag(v.Type().Field(i)); name == key {
			return v.Field(i)
		}
	}
	return reflect.Value{}
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}
