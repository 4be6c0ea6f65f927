package jobs

import "time"

// ExtraWorkState says how far extra work agreed at the pool side is.
type ExtraWorkState string

// The states of extra work. What lies inside the lead's limit is approved as
// it comes in; above it the office answers.
const (
	ExtraAgreed   ExtraWorkState = "agreed"
	ExtraApproved ExtraWorkState = "approved"
	ExtraRefused  ExtraWorkState = "refused"
)

// ExtraWork is a priced surprise that the customer agreed to at the pool.
type ExtraWork struct {
	ID          string
	JobID       string
	VisitID     string
	Name        string
	AmountCents Cents
	AgreedBy    string
	AgreedAt    time.Time
	State       ExtraWorkState
	ApprovedBy  string
	Version     int64
	CreatedAt   time.Time
	UpdatedAt   time.Time
}

// FittedItem is a light or supply put in, with what is printed on it.
type FittedItem struct {
	ID        string // the operation that reported it
	JobID     string
	VisitID   string
	SubjectID string // the light position's short id in the survey
	PartID    string
	Serial    string
	Batch     string
	At        time.Time
}

// FieldRecord is the row that a visit's operations came to, with what the
// figures need of plan and estimate beside it.
type FieldRecord struct {
	VisitID        string
	JobID          string
	BranchID       string
	CrewID         string
	Kind           string // of visit
	ArrivedAt      time.Time
	LeftAt         time.Time
	PlannedSeconds int64
	MedianSeconds  int64
	Outcome        RecordOutcome
	Reason         string
	Lights         int64
	PromisedFrom   time.Time
	PromisedTo     time.Time
	Version        int64
	CreatedAt      time.Time
	UpdatedAt      time.Time
}

// Kept says whether the crew arrived inside the promised window.
func (r FieldRecord) Kept() bool {
	return !r.PromisedTo.IsZero() && !r.ArrivedAt.Before(r.PromisedFrom) && !r.ArrivedAt.After(r.PromisedTo)
}
