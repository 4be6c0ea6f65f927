package jobs

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"
)

// MaxSurveyBytes is the largest survey file that is read.
const MaxSurveyBytes = 1 << 20

// DecodeSurvey reads a survey file strictly: one JSON object, no unknown, no
// doubled and no misspelt name, nothing behind it; then settles it (see
// Settle). The error is CodeInvalid, or CodeTooLarge, and names field, value
// and what would be right.
func DecodeSurvey(data []byte) (Survey, error) {
	if len(data) > MaxSurveyBytes {
		return Survey{}, Errorf(CodeTooLarge, "a survey file of at most %d bytes is read, this one has %d", MaxSurveyBytes, len(data))
	}
	if !utf8.Valid(data) {
		return Survey{}, Errorf(CodeInvalid, "The file is not text in UTF-8")
	}
	if err := checkNames(data); err != nil {
		return Survey{}, err
	}
	var s Survey
	if err := json.Unmarshal(data, &s); err != nil {
		return Survey{}, jsonFault(err)
	}
	return s.Settle()
}

// EncodeSurvey writes a survey as DecodeSurvey reads it, indented, names of
// values in alphabetical order.
func EncodeSurvey(s Survey) ([]byte, error) {
	data, err := json.MarshalIndent(s, "", "  ")
	if err != nil {
		return nil, err
	}
	return append(data, '\n'), nil
}

func jsonFault(err error) error {
	var t *json.UnmarshalTypeError
	if errors.As(err, &t) {
		return Faults{{Field: t.Field, Value: t.Value, Want: "a " + kindWord(t.Type.Kind().String())}}.Err()
	}
	return &Error{Code: CodeInvalid, Text: "The file is not JSON that can be read", Cause: err}
}

func kindWord(kind string) string {
	switch {
	case strings.HasPrefix(kind, "int"):
		return "whole number"
	case kind == "slice":
		return "list"
	case kind == "struct", kind == "map":
		return "JSON object"
	}
	return kind
}

// names allowed at each place of a survey file; a place is the path with *
// for list positions and for the free names of values.
var surveyNames = map[string]string{
	"":                    " version zone subjects ",
	"subjects.*":          " id kind name of ends values ",
	"subjects.*.values.*": " text unit base known at by note ",
}

// checkNames walks the tokens once. encoding/json alone lets doubled names
// through and takes names in any case.
func checkNames(data []byte) error {
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.UseNumber()
	if err := walkNames(dec, "", "", 0); err != nil {
		var ours *Error
		if errors.As(err, &ours) {
			return err
		}
		if errors.Is(err, io.EOF) {
			err = io.ErrUnexpectedEOF
		}
		return &Error{Code: CodeInvalid, Text: "The file is not JSON that can be read", Cause: err}
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return &Error{Code: CodeInvalid, Text: "One JSON object and nothing behind it"}
	}
	return nil
}

func walkNames(dec *json.Decoder, path, place string, depth int) error {
	tok, err := dec.Token()
	if err != nil {
		return err
	}
	delim, nested := tok.(json.Delim)
	if place == "" && delim != '{' {
		return &Error{Code: CodeInvalid, Text: "A survey file is one JSON object"}
	}
	if tok == nil {
		return Faults{{Field: path, Value: "null", Want: "a value, or leave the name out"}}.Err()
	}
	if !nested {
		return nil
	}
	if depth > 8 {
		return Faults{{Field: path, Want: "fewer levels"}}.Err()
	}
	seen := map[string]bool{}
	for i := 0; dec.More(); i++ {
		name, step := strconv.Itoa(i), "*"
		if delim == '{' {
			key, err := dec.Token()
			if err != nil {
				return err
			}
			name = fmt.Sprint(key)
			if seen[name] {
				return Faults{{Field: join(path, name), Value: name, Want: "each name once"}}.Err()
			}
			seen[name] = true
			if allowed, ok := surveyNames[place]; ok {
				step = name
				if strings.ContainsAny(name, " ") || !strings.Contains(allowed, " "+name+" ") {
					return Faults{{Field: join(path, name), Value: name, Want: "one of" + strings.TrimRight(allowed, " ")}}.Err()
				}
			}
		}
		if err := walkNames(dec, join(path, name), join(place, step), depth+1); err != nil {
			return err
		}
	}
	_, err = dec.Token() // the closing bracket
	return err
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}
