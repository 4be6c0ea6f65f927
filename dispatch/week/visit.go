package week

// What a visit needs of the water.
const (
	NeedNothing = "nothing"
	NeedLow     = "low"     // starts when the pool is surely below its lights
	NeedCovered = "covered" // starts when the lights are under water again
)

// Visit is one stop of a crew.
type Visit struct {
	ID    string `json:"id"`
	Label string `json:"label,omitempty"`
	// Kind is the id of one of Week.Kinds.
	Kind  string `json:"kind"`
	Place string `json:"place"`
	// Seconds of work, the planning quantile.
	Seconds int64 `json:"seconds"`
	// MedianSeconds of work, draining on arrival not counted in; 0: not known yet.
	// LogSD is the log standard deviation in thousandths; see [Uncertainty].
	MedianSeconds int64    `json:"median_seconds,omitempty"`
	LogSD         int64    `json:"log_sd_permille,omitempty"`
	Skills        []string `json:"skills,omitempty"`
	People        int      `json:"people"`
	// Room is what its material takes of the truck, in litres; it is loaded in the
	// morning, for the whole tour.
	Room int64 `json:"room,omitempty"`
	// Allowed are the spans inside which it may start; none: any time.
	Allowed []Span `json:"allowed,omitempty"`
	// EndInside says that it must also end inside the same span.
	EndInside bool `json:"end_inside,omitempty"`
	// Water is what it needs: NeedNothing, NeedLow or NeedCovered.
	Water string `json:"water"`
	// DropsPump: a pump from the truck is left at its end, and draining begins then.
	DropsPump bool `json:"drops_pump,omitempty"`
	// CollectsPump: the pump on site goes onto the truck at its start. Always the
	// first visit after the drop.
	CollectsPump bool `json:"collects_pump,omitempty"`
	// Interruptible: lunch may lie inside it.
	Interruptible bool `json:"interruptible,omitempty"`
	// MayOwe: it may be left for after the horizon (a commission). Only visits at
	// the end of the chain, after the last that needs low water.
	MayOwe bool `json:"may_owe,omitempty"`
	// Pin is what the dispatcher has fixed.
	Pin *Pin `json:"pin,omitempty"`
}

// Pin fixes a visit, hard. The pin "order" is Tour.Frozen. A pin does not put its
// job into the plan: it binds where and when the visit happens if it does.
type Pin struct {
	// Tour is the id of the tour that must make the visit.
	Tour string `json:"tour,omitempty"`
	// Day is the number of the day whose tour must make it.
	Day *int `json:"day,omitempty"`
	// Start is the exact start.
	Start *int64 `json:"start,omitempty"`
}

// Promise is an arrival window that a customer was told: the visit starts inside
// [From, To]. Soft: outside of it, or not in the plan, it is priced.
type Promise struct {
	ID    string `json:"id"`
	Visit string `json:"visit"`
	From  int64  `json:"from"`
	To    int64  `json:"to"`
}

// HandedOut is the plan that crews were told. When it is given, a tour that is not
// listed was told an empty day.
type HandedOut struct {
	Tours []HandedTour `json:"tours"`
}

// HandedTour is what one crew was told of one day.
type HandedTour struct {
	Tour  string       `json:"tour"`
	Stops []HandedStop `json:"stops"`
}

// HandedStop is a visit and the start that the crew was told. The visit need not
// be part of the week any more.
type HandedStop struct {
	Visit string `json:"visit"`
	Start int64  `json:"start"`
}
