package jobs

import "time"

// AnswerKind is what a customer, or the office on the phone for one, says
// about the water or the window.
type AnswerKind string

// What can be answered.
const (
	AnswerStarted        AnswerKind = "started"
	AnswerReached        AnswerKind = "reached"
	AnswerWindowAccepted AnswerKind = "window_accepted"
	AnswerWindowDeclined AnswerKind = "window_declined"
	AnswerAnotherAsked   AnswerKind = "another_asked"
	AnswerFillOpened     AnswerKind = "fill_opened"
	AnswerFillClosed     AnswerKind = "fill_closed"
	AnswerNote           AnswerKind = "note"
)

// AnswerKinds lists them for checks and forms.
var AnswerKinds = []AnswerKind{AnswerStarted, AnswerReached, AnswerWindowAccepted, AnswerWindowDeclined,
	AnswerAnotherAsked, AnswerFillOpened, AnswerFillClosed, AnswerNote}

// Answer is kept as said; a later answer does not change an earlier one.
type Answer struct {
	ID        string
	BranchID  string
	JobID     string
	ContactID string
	LinkID    string
	Kind      AnswerKind
	Note      string
	At        time.Time
	MadeBy    string
}

// PrepState says how a pool's lowering stands.
type PrepState string

// How the lowering can stand.
const (
	PrepNotDue      PrepState = "not_due"
	PrepWaiting     PrepState = "waiting"
	PrepStarted     PrepState = "started"
	PrepReading     PrepState = "reading"
	PrepReached     PrepState = "reached"
	PrepLate        PrepState = "late"
	PrepUnconfirmed PrepState = "unconfirmed"
)

// PrepFacts are what Prep watch knows of one pool. Nil instants are not known.
type PrepFacts struct {
	ToldFrom, ToldTo *time.Time
	ConfirmBy        *time.Time // nothing said by then: the office must act
	NeededAt         *time.Time // the crew starts in the low pool
	LowAt            *time.Time // predicted from readings
	LowEarly         *time.Time // one time in ten it is low before
	LowLate          *time.Time // one time in ten only after
	Doubt            string     // what is odd about the readings; empty: nothing
	Answers          []Answer
	Readings         []Reading
}

// Prep judges one pool at an instant: reached beats readings, readings beat
// "started", and silence after the cut-off is "unconfirmed".
func Prep(f PrepFacts, now time.Time) PrepState {
	started, reached := false, false
	for _, a := range f.Answers {
		started = started || a.Kind == AnswerStarted
		reached = reached || a.Kind == AnswerReached
	}
	late := f.LowAt != nil && f.NeededAt != nil && f.LowAt.After(*f.NeededAt)
	switch {
	case reached:
		return PrepReached
	case late:
		return PrepLate
	case len(f.Readings) > 0:
		return PrepReading
	case started:
		return PrepStarted
	case f.ConfirmBy != nil && now.After(*f.ConfirmBy):
		return PrepUnconfirmed
	case f.ToldFrom != nil && now.Before(*f.ToldFrom):
		return PrepNotDue
	}
	return PrepWaiting
}
