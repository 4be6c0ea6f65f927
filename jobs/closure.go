package jobs

import "time"

// ClosureKind is what a closure shuts.
type ClosureKind string

// The kinds of closure.
const (
	ClosureEverything ClosureKind = "everything"
	ClosureArea       ClosureKind = "area" // a postcode
	ClosureSite       ClosureKind = "site"
)

// ClosureKinds lists the kinds.
var ClosureKinds = []ClosureKind{ClosureEverything, ClosureArea, ClosureSite}

// Closure is a time in which nobody works somewhere: a storm, a blocked road,
// a resident's party.
type Closure struct {
	ID       string
	BranchID string
	ClosureData
	Version   int64
	CreatedAt time.Time
	UpdatedAt time.Time
}

// ClosureData is what people enter.
type ClosureData struct {
	Kind         ClosureKind
	SiteID       string // for a site
	Area         string // for an area: its postcode
	FromAt, ToAt time.Time
	StopsPumping bool // water may not be moved either
	Reason       string
}

// maxClosure bounds one closure: a longer one is a mistake in the year.
const maxClosure = 92 * 24 * time.Hour

// Check refuses what is wrong, all of it at once.
func (d ClosureData) Check() error {
	var f Faults
	OneOf(&f, "kind", d.Kind, ClosureKinds)
	if d.Kind == ClosureSite {
		f.ID("site_id", d.SiteID)
	} else {
		f.Check(d.SiteID == "", "site_id", d.SiteID, "none unless kind is site")
	}
	if d.Kind == ClosureArea {
		f.Line("area", d.Area, 1, 40)
	} else {
		f.Check(d.Area == "", "area", d.Area, "none unless kind is area")
	}
	f.Check(d.ToAt.After(d.FromAt), "to_at", d.ToAt.Format(time.RFC3339), "after from_at")
	f.Check(d.ToAt.Sub(d.FromAt) <= maxClosure, "to_at", d.ToAt.Format(time.RFC3339), "at most 92 days after from_at")
	f.Line("reason", d.Reason, 0, 300)
	return f.Err()
}
