package week

// Plan is an answer: everything that was decided, and what follows from it.
type Plan struct {
	Version int `json:"version"`
	// Tours that make at least one stop; the others stay at home and are not listed.
	Tours []PlanTour `json:"tours"`
	// Told intervals, one for each placed job whose customer starts the drain.
	Told []Told `json:"told"`
	// LeftOut are the jobs that are not in the plan.
	LeftOut []LeftOut `json:"left_out"`
	// Owed are visits left for after the horizon.
	Owed []Owed `json:"owed"`
	// RuleBreaks are the rules broken because something begun or pinned left no way.
	RuleBreaks []RuleBreak `json:"rule_breaks"`
	Cost       Cost        `json:"cost"`
	// Water says what follows for each placed job's pool, for reading.
	Water []PlanWater `json:"water,omitempty"`
	// Seed, Strands and Rounds replay the run that made the plan.
	Seed    int64 `json:"seed"`
	Strands int   `json:"strands"`
	Rounds  int   `json:"rounds"`
	// Undecided counts moves refused because their times had not settled.
	Undecided int64 `json:"undecided,omitempty"`
	// ElapsedMS is the run's time; not part of what is replayed.
	ElapsedMS int64 `json:"elapsed_ms,omitempty"`
}

// PlanTour is one crew's day as planned.
type PlanTour struct {
	Tour string `json:"tour"`
	// Load is the number of pumps on the truck in the morning.
	Load int `json:"load"`
	// Depart is when pay begins: at the first stop's Leave or earlier.
	Depart int64       `json:"depart"`
	Lunch  *LunchTaken `json:"lunch,omitempty"`
	Stops  []Stop      `json:"stops"`
	// HeadHome is when the crew leaves the last stop for the tour's end place.
	HeadHome int64 `json:"head_home"`
	// Return is the arrival there.
	Return int64 `json:"return"`
}

// LunchTaken is when a tour's lunch begins.
type LunchTaken struct {
	Start int64 `json:"start"`
	// Inside is the visit that it interrupts; empty: it lies between visits.
	Inside string `json:"inside,omitempty"`
}

// Stop is one visit on a tour.
type Stop struct {
	Visit string `json:"visit"`
	// Leave is when the drive to it begins.
	Leave int64 `json:"leave"`
	// Arrive is Leave plus the driving time.
	Arrive int64 `json:"arrive"`
	// Start of the work, at Arrive or later.
	Start int64 `json:"start"`
	// End is Start plus the visit's seconds, plus lunch if it lies inside.
	End int64 `json:"end"`
	// PumpsAfter is the number of pumps on the truck after it; nil: not stated.
	PumpsAfter *int `json:"pumps_after,omitempty"`
	// Slack is by how many seconds Start could move later with all orders kept; nil:
	// not stated.
	Slack *int64 `json:"slack,omitempty"`
	// Binds says in words what keeps it from starting earlier.
	Binds string `json:"binds,omitempty"`
	// BindsKind is the kind of that limit, one of the Bind constants.
	BindsKind string `json:"binds_kind,omitempty"`
}

// Kinds of limits that keep a stop from starting earlier.
const (
	BindPin       = "pin"           // its start is pinned
	BindNow       = "now"           // it is only now
	BindShift     = "shift"         // the shift begins
	BindDrive     = "drive"         // the stop before and the drive from it
	BindLunch     = "lunch"         // lunch lies before it, or would be due
	BindCrew      = "crew"          // the crew's other tour
	BindAllowed   = "allowed_hours" // its allowed hours
	BindNotBefore = "not_before"    // parts or papers of its job
	BindClosure   = "closure"
	BindPromise   = "promise"     // the promised window
	BindLow       = "low"         // the pool is surely low
	BindCovered   = "covered"     // the lights are under water again
	BindLowLimit  = "low_limit"   // the pool would be low too long
	BindHours     = "water_hours" // pumping may not run yet
	BindChain     = "chain"       // the visit before it in its job
	BindGap       = "gap"         // the wait after an earlier visit of its job
	BindReach     = "reach"       // a later visit of its job must follow soon enough
	BindOwed      = "owed"        // the same of a visit that is owed
	BindChoice    = "choice"      // nothing: sooner would gain nothing
)

// Told is the interval that a job's customer is told to start the drain in.
type Told struct {
	Job      string `json:"job"`
	Earliest int64  `json:"earliest"`
	Latest   int64  `json:"latest"`
}

// LeftOut is a job that is not in the plan, with reasons for people.
type LeftOut struct {
	Job string   `json:"job"`
	Why []string `json:"why,omitempty"`
	// Reasons are the same in parts.
	Reasons []Reason `json:"reasons,omitempty"`
}

// Reason is a smallest set of facts that keeps a job out, or none if it fits and costs
// more than it is worth.
type Reason struct {
	// Facts are the kinds of what would have to be granted, all of them; see
	// [ebbline/dispatch/search.Fact].
	Facts []string `json:"facts,omitempty"`
	// Tour and Start say where and when the job would then be converted. An empty tour:
	// after the week. A tour that ends in "+" is one more crew beside the one so called.
	Tour  string `json:"tour,omitempty"`
	Start int64  `json:"start"`
	// DeltaCents is what the plan would cost more with it than without.
	DeltaCents int64 `json:"delta_cents"`
	// Text is for a dispatcher, Customer could be told to the customer.
	Text     string `json:"text"`
	Customer string `json:"customer"`
}

// Owed is a visit left for after the horizon.
type Owed struct {
	Visit string `json:"visit"`
	// Latest is its latest start: the least of what its links' Hi allow after visits
	// that are in the plan, and the job's NotAfter less its seconds; nil: nothing bounds
	// it. It lies at NextWorkday.End or later. Allowed does not reach past the horizon
	// and does not count. A pinned visit is never owed.
	Latest *int64 `json:"latest,omitempty"`
}

// Kinds of rules that may be broken where something begun or pinned leaves no way.
const (
	BreakLowLimit     = "low_limit"
	BreakCommission   = "commission_limit"
	BreakAvailability = "availability"
	BreakPin          = "pin"
)

// RuleBreak names a rule that is broken and where, each place once: low_limit names
// the job; commission_limit the visit; pin the visit (a frozen order: the tour);
// availability the visit (allowed, not_before, not_after, closure) or the tour
// (shift_from, overtime_to). It is accepted only where the job, or the tour, holds
// something begun or pinned.
type RuleBreak struct {
	Rule  string `json:"rule"`
	Tour  string `json:"tour,omitempty"`
	Visit string `json:"visit,omitempty"`
	Job   string `json:"job,omitempty"`
}

// PlanWater is what follows for the water of one placed job; all are instants and
// nil where they do not apply.
type PlanWater struct {
	Job string `json:"job"`
	// MayBeLow is LowEarly(d), SurelyLow is LowLate(d).
	MayBeLow  *int64 `json:"may_be_low,omitempty"`
	SurelyLow *int64 `json:"surely_low,omitempty"`
	// FillFrom is e, CoveredBy is Covered(e), Limit is LowLimit(LowEarly(d)).
	FillFrom  *int64 `json:"fill_from,omitempty"`
	CoveredBy *int64 `json:"covered_by,omitempty"`
	Limit     *int64 `json:"limit,omitempty"`
}

// Cost is the cost by heads, in cents; Total is their sum.
type Cost struct {
	Driving    int64 `json:"driving"`
	PaidTime   int64 `json:"paid_time"`
	Overtime   int64 `json:"overtime"`
	Waiting    int64 `json:"waiting"`
	Late       int64 `json:"late"`
	LeftOut    int64 `json:"left_out"`
	Promises   int64 `json:"promises"`
	ToldAnew   int64 `json:"told_anew"`
	Low        int64 `json:"low"`
	Owed       int64 `json:"owed"`
	RuleBreaks int64 `json:"rule_breaks"`
	Total      int64 `json:"total"`
}
