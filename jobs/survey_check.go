package jobs

import (
	"fmt"
	"strconv"
	"strings"
)

// Limits that keep a survey of a size that can be real.
const (
	maxSubjects  = 400
	maxPositions = 200
	maxText      = 2000
)

// Settle checks a survey whole and gives it back with every value's Base
// derived from its text and unit. The error is CodeInvalid and names each
// wrong field as subject.field, with its value and what would be right; the
// survey given is not changed.
func (s Survey) Settle() (Survey, error) {
	var faults Faults
	faults.Check(s.Version == SurveyVersion, "version", strconv.Itoa(s.Version), fmt.Sprintf("%d, the survey form of this program", SurveyVersion))
	faults.Check(ZoneForm(s.Zone), "zone", s.Zone, "an IANA zone name like America/Phoenix")
	faults.Check(len(s.Subjects) > 0, "subjects", "", "at least one subject, say a body of water")
	faults.Check(len(s.Subjects) <= maxSubjects, "subjects", strconv.Itoa(len(s.Subjects)), fmt.Sprintf("at most %d subjects", maxSubjects))
	if len(faults) > 0 {
		return Survey{}, faults.Err()
	}
	kinds := map[string]SubjectKind{}
	counts := map[SubjectKind]int{}
	for i, sub := range s.Subjects {
		at := "subjects." + strconv.Itoa(i)
		faults.Check(subjectID(sub.ID), at+".id", sub.ID, "letters, digits, - and _, at most 64")
		faults.Check(knownKind(sub.Kind), at+".kind", string(sub.Kind), "one of "+joinKinds())
		if _, twice := kinds[sub.ID]; twice {
			faults.Add(at+".id", sub.ID, "an id of its own; this one is already used")
		}
		kinds[sub.ID] = sub.Kind
		counts[sub.Kind]++
	}
	faults.Check(counts[SubjectPosition] <= maxPositions, "subjects", strconv.Itoa(counts[SubjectPosition])+" light positions", fmt.Sprintf("at most %d", maxPositions))
	faults.Check(counts[SubjectSite] <= 1, "subjects", strconv.Itoa(counts[SubjectSite])+" sites", "one site in a survey")
	out := s
	out.Subjects = make([]Subject, len(s.Subjects))
	for i, sub := range s.Subjects {
		checkJoints(&faults, s, sub, kinds)
		out.Subjects[i] = settleValues(&faults, sub)
	}
	if err := faults.Err(); err != nil {
		return Survey{}, err
	}
	return out, nil
}

// checkJoints looks at what a subject hangs on and what a conduit joins.
func checkJoints(faults *Faults, s Survey, sub Subject, kinds map[string]SubjectKind) {
	faults.Line(sub.ID+".name", sub.Name, 0, MaxName)
	want := sub.Kind.Of()
	switch {
	case sub.Of == "":
		faults.Check(sub.Kind != SubjectPosition, sub.ID+".of", "", "the id of the body of water it is in")
	case want == "":
		faults.Add(sub.ID+".of", sub.Of, "nothing; a "+string(sub.Kind)+" hangs on no other subject")
	case kinds[sub.Of] != want:
		faults.Add(sub.ID+".of", sub.Of, "the id of a "+string(want)+" in this survey")
	case sub.Kind == SubjectBody:
		parent, _ := s.Subject(sub.Of)
		faults.Check(sub.Of != sub.ID && parent.Of == "", sub.ID+".of", sub.Of, "a body of water that itself hangs on none")
	}
	if sub.Kind != SubjectConduit {
		faults.Check(len(sub.Ends) == 0, sub.ID+".ends", strings.Join(sub.Ends, " "), "nothing; only a conduit has ends")
		return
	}
	seen := map[string]bool{}
	supplies := 0
	for _, end := range sub.Ends {
		kind := kinds[end]
		faults.Check(kind == SubjectPosition || kind == SubjectSupply || kind == SubjectConduit && end != sub.ID, sub.ID+".ends", end,
			"ids of light positions, of the supply place and of other conduits that it joins, in this survey")
		faults.Check(!seen[end], sub.ID+".ends", end, "each end once")
		seen[end] = true
		if kind == SubjectSupply {
			supplies++
		}
	}
	faults.Check(supplies <= 1, sub.ID+".ends", strings.Join(sub.Ends, " "), "at most one supply place")
}

func settleValues(faults *Faults, sub Subject) Subject {
	out := sub
	out.Values = make(map[string]Value, len(sub.Values))
	for _, spec := range FieldsOf(sub.Kind) {
		v, ok := sub.Values[spec.Name]
		if !ok {
			continue
		}
		settled, fault := spec.Settle(v)
		if fault != nil {
			fault.Field = sub.ID + "." + fault.Field
			*faults = append(*faults, *fault)
		}
		out.Values[spec.Name] = settled
	}
	for name := range sub.Values {
		if _, ok := FieldOf(sub.Kind, name); !ok {
			faults.Add(sub.ID+"."+name, name, unknownField(sub.Kind))
		}
	}
	return out
}

// unknownField says which fields there are. A kind that is none has none; its
// own fault names it.
func unknownField(kind SubjectKind) string {
	if names := fieldNames(kind); names != "" {
		return "a field of a " + string(kind) + ", one of " + names
	}
	return "no field before its kind is one"
}

func fieldNames(kind SubjectKind) string {
	var names []string
	for _, f := range FieldsOf(kind) {
		names = append(names, f.Name)
	}
	return strings.Join(names, ", ")
}

func joinKinds() string {
	var names []string
	for _, k := range SubjectKinds {
		names = append(names, string(k))
	}
	return strings.Join(names, ", ")
}

func knownKind(kind SubjectKind) bool {
	for _, k := range SubjectKinds {
		if k == kind {
			return true
		}
	}
	return false
}

func subjectID(id string) bool {
	if id == "" || len(id) > 64 {
		return false
	}
	for _, r := range id {
		if !(r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_') {
			return false
		}
	}
	return true
}

// ZoneForm says whether name has the form of an IANA zone name. Whether the
// zone exists is for a caller that may load zones.
func ZoneForm(name string) bool {
	if name == "UTC" {
		return true
	}
	parts := strings.Split(name, "/")
	if len(parts) < 2 || len(name) > 64 {
		return false
	}
	for _, p := range parts {
		if p == "" || !(p[0] >= 'A' && p[0] <= 'Z') {
			return false
		}
		for _, r := range p {
			if !(r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '_' || r == '-' || r == '+') {
				return false
			}
		}
	}
	return true
}
