package jobs

import "strings"

// SubjectKind is what a survey value is about.
type SubjectKind string

// The kinds of subject. A conduit is a thing of its own: it may serve several
// light positions and the supply.
const (
	SubjectSite        SubjectKind = "site"
	SubjectBody        SubjectKind = "body"        // a body of water: pool, raised spa, spill-over, water feature
	SubjectPosition    SubjectKind = "position"    // a light position in a body of water
	SubjectConduit     SubjectKind = "conduit"     // ends: positions and the supply place
	SubjectSupply      SubjectKind = "supply"      // where the supply stands or will stand
	SubjectIlluminator SubjectKind = "illuminator" // the old light source
	SubjectEquipment   SubjectKind = "equipment"   // pump controls, heater, cell, valves as found
	SubjectDischarge   SubjectKind = "discharge"   // where the water may go
	SubjectRefill      SubjectKind = "refill"      // where the water comes from
)

// SubjectKinds in the order that forms and sheets show them.
var SubjectKinds = []SubjectKind{
	SubjectSite, SubjectBody, SubjectPosition, SubjectConduit, SubjectSupply,
	SubjectIlluminator, SubjectEquipment, SubjectDischarge, SubjectRefill,
}

// Label is the kind as people say it.
func (k SubjectKind) Label() string {
	switch k {
	case SubjectBody:
		return "Body of water"
	case SubjectPosition:
		return "Light position"
	case SubjectSupply:
		return "Supply place"
	case SubjectIlluminator:
		return "Old illuminator"
	}
	if k == "" {
		return ""
	}
	return strings.ToUpper(string(k[:1])) + string(k[1:])
}

// Of is the kind of subject that this kind hangs on; empty when it stands
// alone. A body may hang on another body (a raised spa on its pool), or alone.
func (k SubjectKind) Of() SubjectKind {
	switch k {
	case SubjectPosition, SubjectBody:
		return SubjectBody
	case SubjectIlluminator:
		return SubjectSupply
	}
	return ""
}

// Need says what a field is needed for, most pressing first; it orders the
// list of what is missing.
type Need string

// The needs. A field that is merely good to know has the empty need.
const (
	NeedEstimate Need = "estimate" // without it a figure is not known yet
	NeedVisit    Need = "visit"    // a crew must know it before it drives out
)

// FieldSpec describes one field of one kind of subject. The registry of these
// drives storage, the contract, the forms, the import template and the list of
// what is missing.
type FieldSpec struct {
	Subject  SubjectKind `json:"subject"`
	Name     string      `json:"name"`
	Label    string      `json:"label"`
	Quantity Quantity    `json:"quantity"`
	Choices  []string    `json:"choices,omitempty"`
	Min      int64       `json:"min,omitempty"` // in base units; both 0 means no limit
	Max      int64       `json:"max,omitempty"`
	Unit     string      `json:"unit,omitempty"` // the unit that forms offer first
	Need     Need        `json:"need,omitempty"`
	Hint     string      `json:"hint,omitempty"`
}

// Key is subject and name, as file columns and errors write it: "body.length".
func (f FieldSpec) Key() string { return string(f.Subject) + "." + f.Name }

// Fields is the whole registry in the order of forms and sheets. Callers must
// not change it.
func Fields() []FieldSpec { return fields }

// FieldsOf lists the fields of one kind of subject in the order of forms.
func FieldsOf(kind SubjectKind) []FieldSpec { return fieldsOf[kind] }

// FieldOf finds a field by subject kind and name.
func FieldOf(kind SubjectKind, name string) (FieldSpec, bool) {
	f, ok := fieldNamed[string(kind)+"."+name]
	return f, ok
}

var (
	fields     []FieldSpec
	fieldsOf   = map[SubjectKind][]FieldSpec{}
	fieldNamed = map[string]FieldSpec{}
)

func init() {
	lists := [][]FieldSpec{
		siteFields, bodyFields, positionFields, conduitFields, supplyFields,
		illuminatorFields, equipmentFields, dischargeFields, refillFields,
	}
	for i, list := range lists {
		for _, f := range list {
			f.Subject = SubjectKinds[i]
			if f.Unit == "" && f.Quantity.Measured() && !f.Quantity.bare() {
				f.Unit = UnitsOf(f.Quantity)[0].Name
			}
			fields = append(fields, f)
			fieldsOf[f.Subject] = append(fieldsOf[f.Subject], f)
			fieldNamed[f.Key()] = f
		}
	}
}

// Lengths in micrometres for the limits below.
const (
	mm = 1_000
	in = 25_400
	ft = 304_800
)
