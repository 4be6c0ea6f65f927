package week

// Job is a chain of visits for one customer. It is placed as a whole or left out.
//
// A job that has not begun counts as placed if every visit without MayOwe is in
// the plan, inside the horizon. Its conversion is the latest end of its visits
// without MayOwe (a survey or a call-back: of that visit). A visit that may be
// owed is in the plan or in the plan's owed list. A job that has begun may not be
// left out, but every visit of it that has not begun may be owed; while its
// conversion is owed it pays the left-out head as well.
type Job struct {
	ID    string `json:"id"`
	Label string `json:"label,omitempty"`
	// Value in cents; waiting and leaving out are priced by it.
	Value int64 `json:"value"`
	// DueDay is the number of the civil day by which it should be converted,
	// counted from the horizon's first day; may be negative or past the horizon.
	DueDay int `json:"due_day"`
	// NotBefore and NotAfter are hard: every visit starts at NotBefore or later and
	// ends at NotAfter or earlier.
	NotBefore *int64 `json:"not_before,omitempty"`
	NotAfter  *int64 `json:"not_after,omitempty"`
	// Begun says that something has happened which cannot be taken back (a visit,
	// a pump on site, a drain under way).
	Begun bool `json:"begun,omitempty"`
	// Visits in order, 1 to 6. Each starts when the one before it has ended, or
	// later, unless a link names the two: then only the link binds them. (A pump is
	// never collected before it was dropped, whatever the links say.)
	Visits []Visit `json:"visits"`
	Links  []Link  `json:"links,omitempty"`
	// Water of the job's pool; nil if no visit needs anything of it.
	Water *Water `json:"water,omitempty"`
}

// Link binds two visits of one job: the start of To minus the start (or end) of
// From lies in [Lo, Hi]; From comes before To in the chain. It holds whenever both are in the plan. A zero width with
// FromEnd false and Lo = Hi = 0 means together (two crews at once).
type Link struct {
	From string `json:"from"`
	// FromEnd measures from the end of From instead of its start.
	FromEnd bool   `json:"from_end,omitempty"`
	To      string `json:"to"`
	// Lo and Hi in seconds; nil: open on that side. Hi on a visit that may be owed
	// is the commission limit.
	Lo *int64 `json:"lo,omitempty"`
	Hi *int64 `json:"hi,omitempty"`
}
