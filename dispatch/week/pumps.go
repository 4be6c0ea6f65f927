package week

// Home is a stock of pumps.
//
// A tour's morning load is the least with which the number on its truck never
// falls below 0 (or below 1 while a visit drains on arrival). That number is never
// above Berths. On each day the loads of a home's tours add up to at most
// Pumps[day] less its pumps that stand on sites at the start of that day: dropped
// by one of its tours of an earlier day, or before the horizon, and not collected
// by a tour of an earlier day; a day on which every loaded tour has begun is a fact
// and not tested. A pump is collected by a tour of the home it came
// from. A pump out at the end of the horizon belongs to a job that has begun or
// that is owed a visit.
type Home struct {
	ID    string `json:"id"`
	Label string `json:"label,omitempty"`
	// Pumps is the whole stock, one number a day of the horizon.
	Pumps []int `json:"pumps"`
}
