package jobs

// Lack is something that nobody knows yet of a site, for a person: what it is
// about, what to find out, and why.
type Lack struct {
	SubjectID string // empty where the subject itself is missing
	Subject   string
	Field     string // empty where the subject itself is missing
	Label     string
	Why       string
}

// Why the office asks for something.
const (
	WhyEstimate = "the estimate needs it"
	WhyVisit    = "a crew must know it before it drives out"
)

// expected are the kinds of subject that a conversion cannot do without.
var expected = []SubjectKind{SubjectBody, SubjectPosition, SubjectConduit, SubjectSupply, SubjectDischarge, SubjectRefill}

// Lacks lists what is still unknown of a site: whole subjects first, then what
// the estimate needs, then what a crew needs.
func (s Survey) Lacks() []Lack {
	list := []Lack{}
	for _, kind := range expected {
		if len(s.OfKind(kind)) == 0 {
			list = append(list, Lack{Subject: kind.Label(), Label: "None noted yet", Why: WhyEstimate})
		}
	}
	for _, g := range s.Missing() {
		why := WhyVisit
		if g.Field.Need == NeedEstimate {
			why = WhyEstimate
		}
		list = append(list, Lack{SubjectID: g.Subject, Subject: g.Name, Field: g.Field.Name, Label: g.Field.Label, Why: why})
	}
	return list
}

// Complete says whether an estimate lacks nothing.
func (s Survey) Complete() bool {
	for _, l := range s.Lacks() {
		if l.Why == WhyEstimate {
			return false
		}
	}
	return true
}

// WayLow is how the site's first body of water becomes low, as far as the
// survey says.
func (s Survey) WayLow() WayLow {
	for _, b := range s.OfKind(SubjectBody) {
		if word := b.Choice("becomes_low"); word != "" {
			return WayLowOf(word)
		}
	}
	return LowNotKnown
}
