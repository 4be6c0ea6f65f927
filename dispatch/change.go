package dispatch

import "ebbline/dispatch/week"

// Kinds of changes that can be tried, or that have happened and are to be mended.
const (
	// ChangeVisit has a visit of a planned job made by Tour, after the stop After (empty:
	// first of what has not begun; nil: wherever it is cheapest), at Start if that is given.
	ChangeVisit = "visit"
	// ChangeCrewOut keeps the crews' days Tours at home from now on.
	ChangeCrewOut = "crew_out"
	// ChangeCrew gives crews' days other people and skills (a person is out, or goes with
	// another crew).
	ChangeCrew = "crew"
	// ChangePumps has Home own Less pumps fewer from day From on.
	ChangePumps = "pumps"
	// ChangeClosed shuts a place, an area, or everything.
	ChangeClosed = "closed"
	// ChangeJobIn puts Job, which is left out, or New into the plan.
	ChangeJobIn = "job_in"
	// ChangeJobOut takes Job out of the plan; a customer said no.
	ChangeJobOut = "job_out"
	// ChangeJobEarlier has Job converted by the instant By.
	ChangeJobEarlier = "job_earlier"
	// ChangeLonger has Visit take Seconds instead of what was planned.
	ChangeLonger = "longer"
	// ChangeWater has the water of Job become low later: its tables are replaced by New's.
	ChangeWater = "water"
)

// Change is one change of a week or of its plan. Which fields are read depends on Kind;
// instants are seconds of the week (see [week.Week]).
type Change struct {
	Kind  string  `json:"kind"`
	Job   string  `json:"job,omitempty"`
	Visit string  `json:"visit,omitempty"`
	Tour  string  `json:"tour,omitempty"`
	After *string `json:"after,omitempty"`
	Start *int64  `json:"start,omitempty"`
	// Tours that stay at home.
	Tours []string `json:"tours,omitempty"`
	// Crews' days with other people and skills.
	Crews []CrewChange `json:"crews,omitempty"`
	Home  string       `json:"home,omitempty"`
	Less  int          `json:"less,omitempty"`
	// From is the number of a day.
	From    int           `json:"from,omitempty"`
	Closure *week.Closure `json:"closure,omitempty"`
	By      int64         `json:"by,omitempty"`
	Seconds int64         `json:"seconds,omitempty"`
	New     *NewJob       `json:"new,omitempty"`
}

// CrewChange is what a crew's day has after a change.
type CrewChange struct {
	Tour   string   `json:"tour"`
	People int      `json:"people"`
	Skills []string `json:"skills"`
}

// NewJob is a job that the week does not hold, with the places that the week lacks.
type NewJob struct {
	Job    week.Job   `json:"job"`
	Places []NewPlace `json:"places,omitempty"`
}

// NewPlace is a place with its drives from and to the week's places, in their order, and
// then the new places before it.
type NewPlace struct {
	Place       week.Place `json:"place"`
	FromSeconds []int64    `json:"from_seconds"` // from each place to this one
	FromMetres  []int64    `json:"from_metres"`
	ToSeconds   []int64    `json:"to_seconds"` // from this one to each place
	ToMetres    []int64    `json:"to_metres"`
}

// Tried is what comes of a change with all other tours and orders kept and everything
// timed anew.
type Tried struct {
	// Fits says that every hard rule can be kept.
	Fits bool `json:"fits"`
	// Before and After are the costs by heads; After is zero if it does not fit.
	Before week.Cost `json:"before"`
	After  week.Cost `json:"after"`
	// Moved are the visits whose tour changed or whose start moved, in the order of their
	// new starts.
	Moved []MovedVisit `json:"moved"`
	// Out and In are the jobs that the change puts out of the plan and into it.
	Out []string `json:"out"`
	In  []string `json:"in"`
	// Late are the promises that would be broken and were not.
	Late []LatePromise `json:"late"`
	// Limits are what breaks, if it does not fit; the one met first comes first.
	Limits []Limit `json:"limits"`
}

// MovedVisit is a visit's time before and after. An empty tour: it is not in that plan.
type MovedVisit struct {
	Visit      string `json:"visit"`
	TourBefore string `json:"tour_before,omitempty"`
	Before     int64  `json:"before,omitempty"`
	Tour       string `json:"tour,omitempty"`
	Start      int64  `json:"start,omitempty"`
}

// LatePromise is a promise that is not kept: By seconds after its window ends, negative:
// before it begins; nil: the visit is not made.
type LatePromise struct {
	Promise string `json:"promise"`
	Visit   string `json:"visit"`
	By      *int64 `json:"by,omitempty"`
}

// Limit is a rule that a change would break, and by how much.
type Limit struct {
	// Rule is the checker's name for it.
	Rule  string `json:"rule"`
	Visit string `json:"visit,omitempty"`
	Tour  string `json:"tour,omitempty"`
	Job   string `json:"job,omitempty"`
	// By is how much is missing, in Unit: "s", "pumps", "people", "litres"; 0 with "skill".
	By   int64  `json:"by"`
	Unit string `json:"unit"`
	// Text says it in words for a dispatcher.
	Text string `json:"text"`
}

// Spot is one place for a visit that is lifted off its plan: on Tour right after the stop
// After (empty: first of what has not begun). Its job's other visits keep their orders and
// shift in time. Delta is what the plan costs more there than where the visit lies now.
type Spot struct {
	Tour  string    `json:"tour"`
	After string    `json:"after"`
	Start int64     `json:"start"`
	Delta week.Cost `json:"delta"`
}

// OfferAsk asks for arrival windows of a job that is not in the plan. No promise is moved.
type OfferAsk struct {
	// Job is left out of the plan, or New is not in the week; one of them.
	Job string  `json:"job,omitempty"`
	New *NewJob `json:"new,omitempty"`
	// Visit whose arrival is offered; empty: the last visit that may not be owed.
	Visit string `json:"visit,omitempty"`
	// Most windows; 0: five. Width of a window in seconds; 0: 7,200. Windows begin on
	// whole multiples of Step from a day's midnight; 0: 1,800.
	Most  int   `json:"most,omitempty"`
	Width int64 `json:"width,omitempty"`
	Step  int64 `json:"step,omitempty"`
}

// Offers are windows in the order of their cost.
type Offers struct {
	Windows []Window `json:"windows"`
	// Earliest is the window with the earliest arrival at all; nil: there is none.
	Earliest *Window `json:"earliest,omitempty"`
	// Holds says what keeps the arrival from being earlier, or the job from fitting at all.
	Holds string `json:"holds"`
}

// Window is an arrival window that can be promised: with it, the plan keeps every rule
// and every promise.
type Window struct {
	From  int64  `json:"from"`
	To    int64  `json:"to"`
	Tour  string `json:"tour"`
	Start int64  `json:"start"` // planned
	// Delta is what the plan costs more with the job in it so, by heads.
	Delta week.Cost `json:"delta"`
	// Stops are the job's visits as they would lie.
	Stops []MovedVisit `json:"stops"`
	Told  *week.Told   `json:"told,omitempty"`
}
