package main

import (
	"bytes"
	"encoding/json"
	"io"
)

// renamed writes a value down, gives each text that is a name its new one, and
// reads it again.
func renamed[T any](value T, name map[string]string, decode func(io.Reader) (T, error)) (T, error) {
	var none T
	text, err := json.Marshal(value)
	if err != nil {
		return none, err
	}
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	var tree any
	if err := d.Decode(&tree); err != nil {
		return none, err
	}
	if text, err = json.Marshal(rename(tree, name)); err != nil {
		return none, err
	}
	return decode(bytes.NewReader(text))
}

func rename(x any, name map[string]string) any {
	switch v := x.(type) {
	case string:
		if to := name[v]; to != "" {
			return to
		}
	case []any:
		for i := range v {
			v[i] = rename(v[i], name)
		}
	case map[string]any:
		for k := range v {
			if k != "label" {
				v[k] = rename(v[k], name)
			}
		}
	}
	return x
}
