package week

// Version is the version of the week and plan files that this package reads and writes.
const Version = 1

// MoneyUnit is the number of exact money units in a cent. Cents per hour times
// seconds and cents per kilometre times metres are whole numbers of units, and so
// are thousandths of a value in cents.
const MoneyUnit = 18_000

// Week is the whole problem.
type Week struct {
	// Version of the format; see [Version].
	Version int `json:"version"`
	// Label names the week for people.
	Label string `json:"label,omitempty"`
	// Zone is the name of the branch's time zone, as text for people and for the
	// edge; nothing in dispatch loads it.
	Zone string `json:"zone"`
	// T0 is now: nothing that is still to be decided may lie before it.
	T0 int64 `json:"t0"`
	// Days are the 1 to 14 consecutive civil days of the horizon; the first
	// begins at second 0.
	Days []Day `json:"days"`
	// End is the second at which the last day ends. Every planned visit starts at
	// 0 or later and ends at End or earlier.
	End int64 `json:"end"`
	// NextWorkday is the first working day after the horizon.
	NextWorkday NextWorkday `json:"next_workday"`
	// Places are numbered by their order; rows and columns of Travel follow it.
	Places []Place `json:"places"`
	Travel Travel  `json:"travel"`
	Skills []Name  `json:"skills,omitempty"`
	// Kinds of visits, as data (survey, drain, convert, ...). No rule looks at a kind.
	Kinds []Name `json:"kinds"`
	Homes []Home `json:"homes,omitempty"`
	Crews []Name `json:"crews"`
	Tours []Tour `json:"tours"`
	Jobs  []Job  `json:"jobs"`
	// WaterHours are the spans in which pumping and filling may run. The tables of
	// each job's water already hold them; here they bind draining on arrival.
	WaterHours []Span     `json:"water_hours,omitempty"`
	Closures   []Closure  `json:"closures,omitempty"`
	Promises   []Promise  `json:"promises,omitempty"`
	HandedOut  *HandedOut `json:"handed_out,omitempty"`
	Rates      Rates      `json:"rates"`
	// Uncertainty of the lengths; nil: not known yet. Plans don't depend on it.
	Uncertainty *Uncertainty `json:"uncertainty,omitempty"`
}

// Day is one civil day of the horizon. Its number is its position, from 0.
type Day struct {
	// Date in ISO 8601 form, 2026-03-09; text for people.
	Date string `json:"date"`
	// Start is the second of the day's first local midnight; the next day's Start
	// (or Week.End) ends it.
	Start int64 `json:"start"`
}

// NextWorkday is the first working day after the horizon: lateness of what is
// left out is counted to it, and what is owed must still be possible after it.
type NextWorkday struct {
	// Day is its number counted on from the horizon's days (5 days, then a weekend: 7).
	Day int `json:"day"`
	// End is the second of the midnight that ends it. A visit may be owed only if
	// its latest start is End or later.
	End int64 `json:"end"`
}

// Name is something that only needs an id and a text for people.
type Name struct {
	ID    string `json:"id"`
	Label string `json:"label,omitempty"`
}

// Place is where a tour starts or ends or a visit happens.
type Place struct {
	ID    string `json:"id"`
	Label string `json:"label,omitempty"`
	// Area groups places for closures; empty: in no area.
	Area string `json:"area,omitempty"`
	// OffRoad says that no road of the road data reaches the place, so that its
	// drives are straight lines made longer. It changes nothing; people are told.
	OffRoad bool `json:"off_road,omitempty"`
}

// Span is a closed interval of instants.
type Span struct {
	From int64 `json:"from"`
	To   int64 `json:"to"`
}

// Closure shuts one place, one area, or everything. No visit at such a place may
// overlap [From, To): a visit may end at From and start at To. Driving through is
// allowed. Exactly one of Place, Area and All is given.
type Closure struct {
	ID    string `json:"id"`
	Label string `json:"label,omitempty"`
	Place string `json:"place,omitempty"`
	Area  string `json:"area,omitempty"`
	All   bool   `json:"all,omitempty"`
	From  int64  `json:"from"`
	To    int64  `json:"to"`
	// StopsPumping says that water may not be moved there either: draining on
	// arrival is barred, and the edge has put it into the water tables.
	StopsPumping bool `json:"stops_pumping,omitempty"`
}
