package jobs

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Lengths of texts, in characters.
const (
	MaxName = 200
	MaxNote = 8000
)

// CleanLine is s without space at its ends and with each inner run of white
// space as one blank: how names and addresses are kept.
func CleanLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// FoldKey is the form of a name by which it is searched and ordered: clean and
// in lower case, by Unicode's rules and no country's. Databases never fold.
func FoldKey(s string) string { return strings.ToLower(CleanLine(s)) }

// FoldEmail is the form of an e-mail address by which it is compared. The part
// before the @ is folded too: no mailbox in use tells case apart.
func FoldEmail(s string) string { return strings.ToLower(strings.TrimSpace(s)) }

// PlainText says whether s is valid UTF-8 without control characters; line
// ends and tabs pass where lines is true. Postgres keeps no NUL in text.
func PlainText(s string, lines bool) bool {
	if !utf8.ValidString(s) {
		return false
	}
	for _, r := range s {
		if unicode.IsControl(r) && !(lines && (r == '\n' || r == '\t' || r == '\r')) {
			return false
		}
	}
	return true
}

// Line checks a one-line text of least to most characters.
func (f *Faults) Line(field, s string, least, most int) {
	n := utf8.RuneCountInString(s)
	switch {
	case !PlainText(s, false):
		f.Add(field, strings.ToValidUTF8(s, "?"), "one line of text without control characters")
	case n < least:
		f.Add(field, s, "must not be empty")
	case n > most:
		f.Add(field, Short(s), "at most "+itoa(most)+" characters")
	}
}

// Note checks a text of several lines, at most MaxNote characters.
func (f *Faults) Note(field, s string) {
	if !PlainText(s, true) {
		f.Add(field, "", "text without control characters")
	} else if utf8.RuneCountInString(s) > MaxNote {
		f.Add(field, Short(s), "at most "+itoa(MaxNote)+" characters")
	}
}

// ID checks a reference to another thing by its form.
func (f *Faults) ID(field, s string) {
	f.Check(ValidID(s), field, s, "an id as the server gave it")
}

// OneOf checks a word against the words there are.
func OneOf[T ~string](f *Faults, field string, got T, words []T) {
	all := make([]string, len(words))
	for i, w := range words {
		if w == got {
			return
		}
		all[i] = string(w)
	}
	f.Add(field, string(got), "one of "+strings.Join(all, ", "))
}

// Short is s cut to 40 characters, for repeating it in an error.
func Short(s string) string {
	if r := []rune(strings.ToValidUTF8(s, "?")); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return strings.ToValidUTF8(s, "?")
}
