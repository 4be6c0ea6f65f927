package jobs

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"reflect"
	"strconv"
	"strings"
)

// DecodeStrict reads one JSON value into a pointer. Names that into does not
// have, names written twice or in another case, null, and anything behind the
// value are refused; encoding/json alone lets all of these through. What the
// text leaves out keeps the value that into has. The error is CodeInvalid and
// names the field.
func DecodeStrict(data []byte, into any) error {
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.UseNumber()
	if err := walkStrict(dec, reflect.TypeOf(into).Elem(), "", 0); err != nil {
		if CodeOf(err) == CodeInvalid {
			return err
		}
		if errors.Is(err, io.EOF) {
			err = io.ErrUnexpectedEOF
		}
		return Wrap(CodeInvalid, err, "This is not JSON that can be read")
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return Errorf(CodeInvalid, "One JSON value and nothing behind it")
	}
	if err := json.Unmarshal(data, into); err != nil {
		return jsonFault(err)
	}
	return nil
}

// maxDepth is deeper than any form of ours.
const maxDepth = 20

func walkStrict(dec *json.Decoder, t reflect.Type, path string, depth int) error {
	tok, err := dec.Token()
	if err != nil {
		return err
	}
	if tok == nil {
		if k := bare(t).Kind(); path != "" && (k == reflect.Slice || k == reflect.Map || k == reflect.Interface) {
			return nil // Go writes an empty list this way
		}
		return Faults{{Field: path, Value: "null", Want: "a value, or leave the name out"}}.Err()
	}
	delim, nested := tok.(json.Delim)
	if !nested {
		return nil
	}
	if depth > maxDepth {
		return Faults{{Field: path, Want: "fewer levels"}}.Err()
	}
	names := jsonNames(t)
	seen := map[string]bool{}
	for i := 0; dec.More(); i++ {
		name, next := strconv.Itoa(i), elemOf(t)
		if delim == '{' {
			key, err := dec.Token()
			if err != nil {
				return err
			}
			name, _ = key.(string)
			if seen[name] {
				return Faults{{Field: join(path, name), Value: name, Want: "each name once"}}.Err()
			}
			seen[name] = true
			if names != nil {
				field, ok := names[name]
				if !ok {
					return Faults{{Field: join(path, name), Value: name, Want: "one of " + strings.Join(orderedNames(t), ", ")}}.Err()
				}
				next = field
			}
		}
		if err := walkStrict(dec, next, join(path, name), depth+1); err != nil {
			return err
		}
	}
	_, err = dec.Token() // the closing bracket
	return err
}

var rawType = reflect.TypeOf(json.RawMessage(nil))

// elemOf is the type of a list's or map's members; any for what is not looked
// into.
func elemOf(t reflect.Type) reflect.Type {
	t = bare(t)
	if t != rawType && (t.Kind() == reflect.Slice || t.Kind() == reflect.Map || t.Kind() == reflect.Array) {
		return t.Elem()
	}
	return reflect.TypeOf((*any)(nil)).Elem()
}

func bare(t reflect.Type) reflect.Type {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	return t
}

// jsonNames maps a struct's JSON names to their types; nil for what is no
// struct, whose names are free.
func jsonNames(t reflect.Type) map[string]reflect.Type {
	t = bare(t)
	if t.Kind() != reflect.Struct {
		return nil
	}
	names := map[string]reflect.Type{}
	for i := range t.NumField() {
		if name := jsonName(t.Field(i)); name != "" {
			names[name] = t.Field(i).Type
		}
	}
	return names
}

func orderedNames(t reflect.Type) []string {
	t = bare(t)
	var names []string
	for i := range t.NumField() {
		if name := jsonName(t.Field(i)); name != "" {
			names = append(names, name)
		}
	}
	return names
}

func jsonName(f reflect.StructField) string {
	name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
	if name == "-" || !f.IsExported() {
		return ""
	}
	if name == "" {
		return f.Name
	}
	return name
}
