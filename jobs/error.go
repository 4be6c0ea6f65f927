package jobs

import (
	"errors"
	"fmt"
	"strings"
)

// Code is the machine word of an error. Each maps to one HTTP status, in
// server alone.
type Code string

// The codes. Anything that is not an *Error counts as CodeInternal and is
// only logged.
const (
	CodeInvalid         Code = "invalid"         // a field is wrong; the caller can mend it
	CodeNotFound        Code = "not_found"       // no such thing, or not yours to see
	CodeConflict        Code = "conflict"        // the state of things forbids it now
	CodeStale           Code = "stale"           // somebody changed it since you read it
	CodePrecondition    Code = "precondition"    // a version (If-Match) must be sent
	CodeForbidden       Code = "forbidden"       // your role may not
	CodeUnauthenticated Code = "unauthenticated" // sign in first
	CodeKeyReused       Code = "key_reused"      // same idempotency key, other request
	CodeKeyBusy         Code = "key_busy"        // same idempotency key still running
	CodeTooLarge        Code = "too_large"       // body or file over the limit
	CodeTooMany         Code = "too_many"        // slow down
	CodeUnavailable     Code = "unavailable"     // something we need is down; try again
	CodeInternal        Code = "internal"        // our fault
)

// FieldError names one wrong field: where it stands (dotted path, list
// positions from 0), the value as it came, and what would be right.
type FieldError struct {
	Field string `json:"field"`
	Value string `json:"value"`
	Want  string `json:"want"`
}

func (f FieldError) String() string {
	if f.Value == "" {
		return fmt.Sprintf("%s: %s", f.Field, f.Want)
	}
	return fmt.Sprintf("%s: %q is not right; %s", f.Field, f.Value, f.Want)
}

// Error is a refusal with a sentence for a person, the fields it concerns and
// the cause for the log.
type Error struct {
	Code   Code
	Text   string
	Fields []FieldError
	Cause  error
}

func (e *Error) Error() string {
	text := e.Text
	for _, f := range e.Fields {
		text += "; " + f.String()
	}
	if e.Cause != nil {
		text += ": " + e.Cause.Error()
	}
	return strings.TrimPrefix(text, "; ")
}

func (e *Error) Unwrap() error { return e.Cause }

// Errorf makes an error with a code and a sentence for the person. A cause for
// the log goes through Wrap.
func Errorf(code Code, format string, args ...any) *Error {
	return &Error{Code: code, Text: fmt.Sprintf(format, args...)}
}

// Wrap keeps cause for the log behind a sentence for the person.
func Wrap(code Code, cause error, text string) *Error {
	return &Error{Code: code, Text: text, Cause: cause}
}

// CodeOf is the code of err: empty for nil, CodeInternal for what is not ours.
func CodeOf(err error) Code {
	if err == nil {
		return ""
	}
	var e *Error
	if errors.As(err, &e) {
		return e.Code
	}
	return CodeInternal
}

// Faults gathers field errors while an input is looked through, so that a
// person hears all of them at once.
type Faults []FieldError

// Add notes a wrong field.
func (f *Faults) Add(field, value, want string) {
	*f = append(*f, FieldError{Field: field, Value: value, Want: want})
}

// Check notes the field when ok is false.
func (f *Faults) Check(ok bool, field, value, want string) {
	if !ok {
		f.Add(field, value, want)
	}
}

// Err is nil when nothing was noted, else a CodeInvalid error with all of it.
func (f Faults) Err() error {
	if len(f) == 0 {
		return nil
	}
	text := "One value is not right"
	if len(f) > 1 {
		text = fmt.Sprintf("%d values are not right", len(f))
	}
	return &Error{Code: CodeInvalid, Text: text, Fields: f}
}
