package odds

// Odds is how a plan fared in Runs lives of its week. Lists follow the order of the ids,
// whatever the order in the files.
type Odds struct {
	Runs   int    `json:"runs"`
	Seed   int64  `json:"seed"`
	Policy Policy `json:"policy"`
	// Promises of the week, those whose visit is not in the plan with a share of 0.
	Promises []Promise `json:"promises"`
	// Pools that must become low for a visit of the plan by a clock (pump, outlet or
	// customer) and were not known to be low before.
	Pools []Pool `json:"pools"`
	// Tours and Visits of the plan.
	Tours  []Tour  `json:"tours"`
	Visits []Visit `json:"visits"`
	// Overtime of all tours together, in seconds.
	Overtime Mean `json:"overtime"`
	// Failed is the number of planned visits that could not be made on their day, Calls
	// that of calls to customers who were promised a window; on average over the runs.
	Failed Mean `json:"failed"`
	Calls  Mean `json:"calls"`
	// NotKnown counts what has no spread yet and was taken as certain.
	NotKnown NotKnown `json:"not_known"`
}

// Promise is how often one promise is kept: the visit starts inside its window.
type Promise struct {
	Promise string `json:"promise"`
	Visit   string `json:"visit"`
	Kept    Share  `json:"kept"`
	// Short is by how many seconds the window would have to end later for the promise to
	// be kept with the chance that was asked for; negative: it could end earlier. 0 and
	// Reachable false: the visit fails too often, or the window is met too early.
	Short     int64 `json:"short"`
	Reachable bool  `json:"reachable"`
}

// Pool is how often a pool is low when the crew comes to the first visit that needs it
// (at its arrival, or at the planned start if it comes before).
type Pool struct {
	Job   string `json:"job"`
	Visit string `json:"visit"`
	Low   Share  `json:"low"`
	// Short is how many seconds later the crew would have to come for the pool to be low
	// with the chance that was asked for; negative: it could come earlier. Reachable false:
	// it is not to become low so often.
	Short     int64 `json:"short"`
	Reachable bool  `json:"reachable"`
}

// Tour is how one crew's day ends.
type Tour struct {
	Tour string `json:"tour"`
	// Overtime in seconds after the shift.
	Overtime Mean  `json:"overtime"`
	Return   Times `json:"return"`
}

// Visit is when a visit starts, over the runs in which it was made, and how often it
// failed.
type Visit struct {
	Visit  string `json:"visit"`
	Start  Times  `json:"start"`
	Failed Share  `json:"failed"`
}

// Times are the instants before which something happens in 1, 5 and 9 of 10 runs.
type Times struct {
	P10 int64 `json:"p10"`
	P50 int64 `json:"p50"`
	P90 int64 `json:"p90"`
}

// Mean is an average over the runs in thousandths of its unit, with its standard error.
type Mean struct {
	Milli      int64 `json:"milli"`
	ErrorMilli int64 `json:"error_milli"`
}

// Share is in how many of 1,000 runs something happened, with its standard error. 0 and
// 1,000 are only said where it happened never and always. The error is that of Agresti
// and Coull (1998), two successes and two failures added, rounded up: so it is not 0 for
// what happened never or always. Only of what is a fact (a visit that has begun or is not in
// the plan) it is 0.
type Share struct {
	Permille      int64 `json:"permille"`
	ErrorPermille int64 `json:"error_permille"`
	// Known is false where what the share hangs on has no spread yet: the number then
	// only says what follows if all goes exactly as planned. Say "not known yet".
	Known bool `json:"known"`
}

// NotKnown counts what the week states no spread for.
type NotKnown struct {
	// Visits of the plan whose work has none, of VisitsOf.
	Visits   int `json:"visits"`
	VisitsOf int `json:"visits_of"`
	// Drains of planned jobs whose pumping has none, of DrainsOf; the same for refills.
	Drains   int `json:"drains"`
	DrainsOf int `json:"drains_of"`
	Fills    int `json:"fills"`
	FillsOf  int `json:"fills_of"`
	// Travel says that drives have none.
	Travel bool `json:"travel"`
}

// Everything reports whether nothing at all has a spread.
func (n NotKnown) Everything() bool {
	return n.Travel && n.Visits == n.VisitsOf && n.Drains == n.DrainsOf && n.Fills == n.FillsOf
}
