package week

import (
	"fmt"
	"strings"
)

// FieldError is one fault of an input file.
type FieldError struct {
	// Path of the field, jobs[3].visits[0].seconds.
	Path string
	// Value as it was found, in JSON form or shortened.
	Value string
	// Want says what would be right.
	Want string
}

// Error says path, value and what would be right.
func (e FieldError) Error() string {
	return fmt.Sprintf("%s: %s is not right; want %s", e.Path, e.Value, e.Want)
}

// FieldErrors are all the faults found, in the order of the file's fields.
type FieldErrors []FieldError

// Error lists all faults, one a line.
func (e FieldErrors) Error() string {
	lines := make([]string, len(e))
	for i := range e {
		lines[i] = e[i].Error()
	}
	return strings.Join(lines, "\n")
}
