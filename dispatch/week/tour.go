package week

// Tour is one crew's day.
type Tour struct {
	ID    string `json:"id"`
	Label string `json:"label,omitempty"`
	Crew  string `json:"crew"`
	// Day is the number of the horizon's day that the tour belongs to.
	Day int `json:"day"`
	// Start and End are the places where it departs and returns.
	Start string `json:"start"`
	End   string `json:"end"`
	// Home is the stock of pumps it loads from; empty: it can carry none.
	Home string `json:"home,omitempty"`
	// ShiftFrom (a) is the earliest departure. Time after ShiftTo (b) is overtime,
	// and the return lies at OvertimeTo (o) or earlier; a < b <= o.
	ShiftFrom  int64    `json:"shift_from"`
	ShiftTo    int64    `json:"shift_to"`
	OvertimeTo int64    `json:"overtime_to"`
	Skills     []string `json:"skills,omitempty"`
	// People in the crew; a visit may need so many or fewer.
	People int `json:"people"`
	// Berths is how many pumps fit on the truck.
	Berths int `json:"berths"`
	// Room is how much material the truck takes in the morning, in litres: the rooms of
	// its stops, begun ones too, sum to no more while any of them has not begun. 0: not
	// looked at.
	Room int64 `json:"room,omitempty"`
	// PayPerHour and OvertimePerHour are cents per hour for the whole crew, from
	// departure to ShiftTo and after ShiftTo.
	PayPerHour      int64 `json:"pay_per_hour"`
	OvertimePerHour int64 `json:"overtime_per_hour"`
	// CostPerKm is cents per kilometre driven.
	CostPerKm int64  `json:"cost_per_km"`
	Lunch     *Lunch `json:"lunch,omitempty"`
	// Begun is what has already happened; nil: nothing yet.
	Begun *Begun `json:"begun,omitempty"`
	// Frozen is the pin "order": the tour's stops begin with these visits, in this
	// order (after the begun prefix, if there is one). Times stay free.
	Frozen []string `json:"frozen,omitempty"`
}

// Lunch is the rule for a tour's break. It is due if return minus departure is
// more than DueAfter. It begins inside [From, To]; it overlaps no drive; it
// overlaps no visit, or lies inside one visit that is interruptible and whose end
// then moves by Seconds.
type Lunch struct {
	Seconds  int64 `json:"seconds"`
	From     int64 `json:"from"`
	To       int64 `json:"to"`
	DueAfter int64 `json:"due_after"` // seconds; usual: 21,600
	// Paid lunch is paid like any time; unpaid lunch is taken off the hours in
	// which it lies (straight or overtime).
	Paid bool `json:"paid,omitempty"`
}

// Begun is the part of a tour that has happened. Its times are facts: no rule is
// tested on them, and a plan repeats them exactly.
type Begun struct {
	// Depart is the real departure.
	Depart int64 `json:"depart"`
	// Load is the number of pumps that left with the truck, such that after the
	// prefix the number now on the truck comes out.
	Load int `json:"load"`
	// Stops are the visits begun, in order, with real times; the end of one that is
	// under way is the present forecast and may lie after T0.
	Stops []Stop `json:"stops,omitempty"`
	// Place is where the crew is (or will be at FreeAt).
	Place string `json:"place"`
	// FreeAt is when it is free at Place, T0 or later unless it has returned: it does
	// not leave and has no lunch before.
	FreeAt int64 `json:"free_at"`
	// LunchStart is when lunch was begun; nil: not taken yet.
	LunchStart *int64 `json:"lunch_start,omitempty"`
	// LunchInside is the visit that lunch interrupted, if any.
	LunchInside string `json:"lunch_inside,omitempty"`
	// OvertimeRun is overtime in seconds already run that does not lie between
	// departure and return (an early call); paid at the overtime rate.
	OvertimeRun int64 `json:"overtime_run,omitempty"`
	// Returned is the real return of a tour that is over: it takes no more stops.
	Returned *int64 `json:"returned,omitempty"`
}
