package jobs

// Gap is a field that nobody has filled in yet.
type Gap struct {
	Subject string    `json:"subject"` // id
	Name    string    `json:"name"`    // the subject's label
	Field   FieldSpec `json:"field"`
}

// Missing lists what is still unknown, what the estimate needs first, then
// what a crew needs, in the order of the survey. Only fields that apply are
// asked for: a round pool has no second width.
func (s Survey) Missing() []Gap {
	var gaps []Gap
	for _, need := range []Need{NeedEstimate, NeedVisit} {
		for _, sub := range s.Subjects {
			for _, f := range FieldsOf(sub.Kind) {
				if f.Need != need || !f.Applies(sub) {
					continue
				}
				if _, ok := sub.Value(f.Name); !ok {
					gaps = append(gaps, Gap{Subject: sub.ID, Name: sub.Label(), Field: f})
				}
			}
		}
	}
	return gaps
}

// Applies says whether a field means anything for this subject as far as it is
// known: sizes follow the shape; a hose is of interest where no flow was
// measured.
func (f FieldSpec) Applies(sub Subject) bool {
	switch f.Key() {
	case "body.length", "body.width", "body.width_2", "body.diameter", "body.widths", "body.width_step", "body.outline", "body.area":
		shape := sub.Choice("shape")
		for _, name := range SizesOf(shape) {
			if name == f.Name {
				return true
			}
		}
		return false
	case "body.filler_valve":
		return sub.Yes("filler")
	case "refill.truck_load", "refill.truck_every":
		return sub.Choice("source") == RefillTruck
	case "refill.flow":
		if sub.Choice("source") == RefillTruck {
			return false
		}
		_, pressure := sub.Value("pressure")
		_, long := sub.Value("hose_length")
		_, wide := sub.Value("hose_inside")
		return !(pressure && long && wide)
	}
	return true
}

// SizesOf lists the fields that fix the area of a shape; none for an unknown
// shape.
func SizesOf(shape string) []string {
	switch shape {
	case ShapeRectangle, ShapeOval:
		return []string{"length", "width"}
	case ShapeKidney:
		return []string{"length", "width", "width_2"}
	case ShapeRound:
		return []string{"diameter"}
	case ShapeFreeForm:
		return []string{"widths", "width_step"}
	case ShapeDrawn:
		return []string{"outline"}
	case ShapeArea:
		return []string{"area"}
	}
	return nil
}
