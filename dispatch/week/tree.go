package week

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"
)

// maxDepth bounds how deeply objects and lists may be nested in a file.
const maxDepth = 20

// tree is a JSON value with its keys in the order of the file; unlike a map it
// still knows a repeated key.
type tree struct {
	kind   byte // o object, a list, s text, n number, b true/false, 0 null
	keys   []string
	values []tree
	text   string // of s and n; "true" or "false" of b
}

// parseTree reads exactly one JSON value from data.
func parseTree(data []byte) (tree, error) {
	if !utf8.Valid(data) {
		return tree{}, FieldError{"(file)", "bytes that are not UTF-8", "UTF-8 text"}
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	t, err := parseValue(d, 0)
	if err != nil {
		if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
			return tree{}, FieldError{"(file)", "a file that ends too early", "one whole JSON object"}
		}
		return tree{}, FieldError{fmt.Sprintf("(file, near byte %d)", d.InputOffset()), err.Error(), "valid JSON"}
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return tree{}, FieldError{fmt.Sprintf("(file, byte %d)", d.InputOffset()), "text after the end of the object", "nothing after it"}
	}
	return t, nil
}

func parseValue(d *json.Decoder, depth int) (tree, error) {
	if depth > maxDepth {
		return tree{}, fmt.Errorf("nested more than %d deep", maxDepth)
	}
	token, err := d.Token()
	if err != nil {
		return tree{}, err
	}
	switch v := token.(type) {
	case nil:
		return tree{kind: '0', text: "null"}, nil
	case bool:
		return tree{kind: 'b', text: fmt.Sprint(v)}, nil
	case string:
		return tree{kind: 's', text: v}, nil
	case json.Number:
		return tree{kind: 'n', text: v.String()}, nil
	case json.Delim:
		t := tree{kind: 'a'}
		if v == '{' {
			t.kind = 'o'
		}
		for d.More() {
			if t.kind == 'o' {
				key, err := d.Token()
				if err != nil {
					return tree{}, err
				}
				t.keys = append(t.keys, key.(string))
			}
			child, err := parseValue(d, depth+1)
			if err != nil {
				return tree{}, err
			}
			t.values = append(t.values, child)
		}
		_, err := d.Token() // the closing bracket
		return t, err
	}
	return tree{}, fmt.Errorf("unexpected %v", token)
}

// String shows the value for an error text, shortened.
func (t tree) String() string {
	switch t.kind {
	case 'o':
		return "an object"
	case 'a':
		return fmt.Sprintf("a list of %d", len(t.values))
	case 's':
		return quote(t.text)
	}
	return t.text
}

// quote puts text in quotes and cuts it at 60 bytes.
func quote(s string) string {
	if len(s) > 60 {
		s = s[:60] + "..."
	}
	return fmt.Sprintf("%q", s)
}
