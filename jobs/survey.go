package jobs

import "strings"

// SurveyVersion is the version of the survey file form that this program
// writes; it reads no other.
const SurveyVersion = 1

// Known says how a survey value came to be known, weakest first. The better it
// is known, the narrower the band around what is computed from it.
type Known string

// The ways of knowing. KnownNot is an explicit "nobody could tell", with the
// reason in the note; a value that is simply absent is unknown as well.
const (
	KnownTold        Known = "told"         // somebody said so
	KnownRead        Known = "read"         // from a drawing, plate or photo
	KnownMeasuredWet Known = "measured_wet" // measured with water in the way
	KnownMeasuredDry Known = "measured_dry" // measured at the bare thing
	KnownNot         Known = "unknown"
)

// Knowns lists the ways of knowing, weakest first.
var Knowns = []Known{KnownNot, KnownTold, KnownRead, KnownMeasuredWet, KnownMeasuredDry}

// Rank orders ways of knowing: 0 unknown, 4 measured dry, -1 for no such way.
func (k Known) Rank() int {
	for i, other := range Knowns {
		if k == other {
			return i
		}
	}
	return -1
}

// Value is one survey value: as entered, in whole base units, and how it is
// known. Text is what the person wrote; Unit the unit chosen beside it (empty
// when the text carries it, or the quantity has none). Base is derived by
// Settle, never entered. Choices and free text live in Text alone.
type Value struct {
	Text  string `json:"text"`
	Unit  string `json:"unit,omitempty"`
	Base  int64  `json:"base,omitempty"`
	Known Known  `json:"known"`
	At    int64  `json:"at,omitempty"` // unix seconds; 0 when not noted
	By    string `json:"by,omitempty"`
	Note  string `json:"note,omitempty"`
}

// Subject is one thing that was looked at: a body of water, a light position,
// a conduit. Of is the id of the subject it hangs on (a position on its body);
// Ends are the ids a conduit joins: positions, the supply place, and other
// conduits where it runs into a trunk.
type Subject struct {
	ID     string           `json:"id"`
	Kind   SubjectKind      `json:"kind"`
	Name   string           `json:"name,omitempty"`
	Of     string           `json:"of,omitempty"`
	Ends   []string         `json:"ends,omitempty"`
	Values map[string]Value `json:"values,omitempty"`
}

// Survey is all that is known of a site's water, lights and circuits. What is
// absent is unknown, never zero.
type Survey struct {
	Version  int       `json:"version"`
	Zone     string    `json:"zone"` // IANA name of the site's time zone
	Subjects []Subject `json:"subjects"`
}

// Value gives a value by field name; false when it is absent or explicitly
// unknown.
func (s Subject) Value(name string) (Value, bool) {
	v, ok := s.Values[name]
	if !ok || v.Known == KnownNot {
		return Value{}, false
	}
	return v, true
}

// Base gives a value in whole base units; false when it is not known.
func (s Subject) Base(name string) (int64, bool) {
	v, ok := s.Value(name)
	return v.Base, ok
}

// Choice gives the text of a choice or free-text field; empty when unknown.
func (s Subject) Choice(name string) string {
	v, _ := s.Value(name)
	return v.Text
}

// Yes is true only when the field is known and says yes.
func (s Subject) Yes(name string) bool {
	v, ok := s.Value(name)
	return ok && v.Base == 1
}

// No is true only when the field is known and says no.
func (s Subject) No(name string) bool {
	v, ok := s.Value(name)
	return ok && v.Base == 0
}

// Label is the subject's name, or its kind and id where it has none.
func (s Subject) Label() string {
	if s.Name != "" {
		return s.Name
	}
	// Ids that forms give are the kind and a number: "Light position 3".
	return s.Kind.Label() + " " + strings.TrimPrefix(s.ID, string(s.Kind)+"-")
}

// Subject finds a subject by id.
func (s Survey) Subject(id string) (Subject, bool) {
	for _, sub := range s.Subjects {
		if sub.ID == id {
			return sub, true
		}
	}
	return Subject{}, false
}

// OfKind lists the subjects of a kind in survey order.
func (s Survey) OfKind(kind SubjectKind) []Subject {
	var of []Subject
	for _, sub := range s.Subjects {
		if sub.Kind == kind {
			of = append(of, sub)
		}
	}
	return of
}

// On lists the subjects of a kind that hang on the subject with the given id.
func (s Survey) On(id string, kind SubjectKind) []Subject {
	var on []Subject
	for _, sub := range s.Subjects {
		if sub.Kind == kind && sub.Of == id {
			on = append(on, sub)
		}
	}
	return on
}

// ConduitsAt lists the conduits that have the subject as one of their ends.
func (s Survey) ConduitsAt(id string) []Subject {
	var at []Subject
	for _, sub := range s.Subjects {
		if sub.Kind != SubjectConduit {
			continue
		}
		for _, end := range sub.Ends {
			if end == id {
				at = append(at, sub)
				break
			}
		}
	}
	return at
}
