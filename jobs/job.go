package jobs

import (
	"strconv"
	"time"
)

// JobKind says what a job is about.
type JobKind string

// The kinds of job.
const (
	JobConversion JobKind = "conversion"
	JobCallBack   JobKind = "call_back" // back to what was converted; nothing is quoted
)

// JobKinds lists the kinds.
var JobKinds = []JobKind{JobConversion, JobCallBack}

// WayLow says how a pool becomes low for a job.
type WayLow string

// The ways of becoming low.
const (
	LowCrewPump  WayLow = "crew_pump"  // a crew brings a pump
	LowOwnOutlet WayLow = "own_outlet" // a crew opens the pool's own outlet
	LowCustomer  WayLow = "customer"   // the customer starts the drain
	LowArrival   WayLow = "on_arrival" // inside the conversion visit, with a pump on the truck
	LowOthers    WayLow = "others"     // by others or by season
	LowNotKnown  WayLow = "not_known"
)

// WaysLow lists the ways.
var WaysLow = []WayLow{LowCrewPump, LowOwnOutlet, LowCustomer, LowArrival, LowOthers, LowNotKnown}

// WayLowOf turns the survey's word for how a body of water becomes low into
// the job's.
func WayLowOf(survey string) WayLow {
	switch survey {
	case LowByCrewPump:
		return LowCrewPump
	case LowByOutlet:
		return LowOwnOutlet
	case LowByCustomer:
		return LowCustomer
	case LowOnArrival:
		return LowArrival
	case LowByOthers:
		return LowOthers
	}
	return LowNotKnown
}

// LowDecision is what was decided for a pool that was made safe half way.
type LowDecision string

// The decisions.
const (
	HoldLow         LowDecision = "hold_low"          // keep it low until an instant
	RefillAndReturn LowDecision = "refill_and_return" // refill now, come back
)

// Job is one piece of work at a site, from the first call to closed.
type Job struct {
	ID         string
	BranchID   string
	Number     int64 // counts up within the branch; what people call it by
	CustomerID string
	SiteID     string
	State      State
	CameFrom   State // where a parked or declined job stood; empty otherwise
	JobData
	ImportKey   string // names the job in the file it came from; empty: entered here
	LowDecision LowDecision
	LowUntil    time.Time // of HoldLow; zero otherwise
	ConvertedAt time.Time
	ClosedAt    time.Time
	Version     int64
	CreatedAt   time.Time
	UpdatedAt   time.Time

	CustomerName string // read along with the job
	SiteName     string
	Visits       []Visit // the chain in its order
	EstimateID   string  // the newest that was kept
	QuoteID      string  // the newest
}

// JobData is what people enter and change.
type JobData struct {
	Kind         JobKind
	Value        *Cents // nil: not known yet
	DueDay       Day    // empty: none
	NotBeforeDay Day    // empty: none
	CanComeEarly bool   // on the standby list
	WayLow       WayLow
	Note         string
}

// Clean fills in what was left open.
func (d JobData) Clean() JobData {
	if d.Kind == "" {
		d.Kind = JobConversion
	}
	if d.WayLow == "" {
		d.WayLow = LowNotKnown
	}
	return d
}

// Check refuses what is wrong, all of it at once.
func (d JobData) Check() error {
	var f Faults
	d.check(&f, "")
	return f.Err()
}

func (d JobData) check(f *Faults, at string) {
	OneOf(f, at+"kind", d.Kind, JobKinds)
	if d.Value != nil {
		f.Check(*d.Value >= 0 && *d.Value <= maxMoney, at+"value_cents", strconv.FormatInt(int64(*d.Value), 10), "cents, from 0 to "+maxMoney.String()+" dollars")
	}
	checkDay(f, at+"due_day", d.DueDay)
	checkDay(f, at+"not_before_day", d.NotBeforeDay)
	f.Check(d.DueDay == "" || d.NotBeforeDay == "" || d.DueDay >= d.NotBeforeDay, at+"due_day", string(d.DueDay), "not before not_before_day "+string(d.NotBeforeDay))
	OneOf(f, at+"way_low", d.WayLow, WaysLow)
	f.Note(at+"note", d.Note)
}

// maxMoney is a hundred million dollars: no amount of ours is larger.
const maxMoney Cents = 100_000_000_00

func checkDay(f *Faults, field string, d Day) {
	f.Check(d == "" || d.Valid(), field, string(d), "a day like 2026-03-08")
}

// NewEnquiry is a first call: customer, site and job in one act. One of
// CustomerID and Customer is given, and one of SiteID and Site.
type NewEnquiry struct {
	BranchID   string
	CustomerID string
	Customer   *CustomerData
	Contacts   []ContactData // of a new customer
	SiteID     string
	Site       *SiteData
	Job        JobData
	Survey     *Survey
	ImportKey  string
}

// Check refuses what is wrong, all of it at once. The survey is settled by
// desk, which knows its zone.
func (n NewEnquiry) Check() error {
	var f Faults
	f.ID("branch_id", n.BranchID)
	switch {
	case n.CustomerID != "" && n.Customer != nil:
		f.Add("customer_id", n.CustomerID, "either customer_id or customer, not both")
	case n.Customer != nil:
		n.Customer.check(&f, "customer.")
		checkContacts(&f, "customer.", n.Contacts)
	default:
		f.ID("customer_id", n.CustomerID)
	}
	switch {
	case n.SiteID != "" && n.Site != nil:
		f.Add("site_id", n.SiteID, "either site_id or site, not both")
	case n.Site != nil:
		n.Site.check(&f, "site.")
	default:
		f.ID("site_id", n.SiteID)
		f.Check(n.CustomerID != "", "site_id", n.SiteID, "the new customer's own site")
	}
	n.Job.check(&f, "job.")
	return f.Err()
}
