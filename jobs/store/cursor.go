package store

import (
	"encoding/base64"
	"encoding/json"
	"strings"

	"ebbline/jobs"
)

// cursor is where a list was left: the order's key and the id of the last item.
// For people outside it is opaque text.
type cursor struct {
	Key string `json:"k"`
	ID  string `json:"i"`
}

func (c cursor) String() string {
	b, _ := json.Marshal(c) // two strings cannot fail
	return base64.RawURLEncoding.EncodeToString(b)
}

// readCursor is the zero cursor for the start of a list.
func readCursor(p jobs.Page) (cursor, error) {
	var c cursor
	if p.Cursor == "" {
		return c, nil
	}
	b, err := base64.RawURLEncoding.DecodeString(p.Cursor)
	if err == nil {
		err = json.Unmarshal(b, &c)
	}
	if err != nil || !jobs.ValidID(c.ID) || !jobs.PlainText(c.Key, false) {
		return c, wrongCursor(p)
	}
	return c, nil
}

// wrongCursor names a cursor that no page gave.
func wrongCursor(p jobs.Page) error {
	return jobs.Faults{{Field: "after", Value: jobs.Short(p.Cursor), Want: "the word that the page before gave as next"}}.Err()
}

// cut makes a part of a list from one row more than was asked for.
func cut[T any](rows []T, size int, at func(T) cursor) jobs.List[T] {
	if len(rows) <= size {
		return jobs.List[T]{Items: rows}
	}
	rows = rows[:size]
	return jobs.List[T]{Items: rows, Next: at(rows[size-1]).String()}
}

// likeText takes the meaning from the signs that LIKE knows; the pattern says
// ESCAPE '\'.
func likeText(s string) string {
	return strings.NewReplacer(`\`, `\\`, `%`, `\%`, `_`, `\_`).Replace(s)
}
