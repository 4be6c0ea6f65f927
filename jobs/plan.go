package jobs

import "time"

// Plan is a week as it was handed out. It is written once. Numbers count up
// within the branch, without a gap.
type Plan struct {
	ID           string
	BranchID     string
	Number       int64
	FirstDay     Day
	Days         int64
	Week, Body   string // problem and answer in the files' form
	Cost         Cents
	DraftID      string
	HandedOutAt  time.Time
	HandedOutBy  string
	NoticesCount int64 // written with it; read along
}

// Tour is one crew's day as handed out. Live rows are what the crew was told
// last.
type Tour struct {
	ID           string
	PlanID       string
	BranchID     string
	CrewID       string
	Day          Day
	DepartAt     time.Time
	ReturnAt     time.Time
	LunchAt      time.Time // zero: no lunch
	LunchSeconds int64
	MorningPumps int64
	Live         bool
}

// Stop is one visit on a tour, as handed out.
type Stop struct {
	ID         string
	PlanID     string
	BranchID   string
	TourID     string
	CrewID     string
	JobID      string
	VisitID    string
	Place      int64 // order on the tour, from 1
	ArriveAt   time.Time
	StartAt    time.Time
	EndAt      time.Time
	PumpsAfter int64
	Live       bool
}

// Drain is a pool's water as handed out. Zero instants do not apply.
type Drain struct {
	ID       string
	PlanID   string
	BranchID string
	JobID    string
	WayLow   WayLow
	// ToldFrom and ToldTo: when the customer was told to start the drain.
	ToldFrom, ToldTo time.Time
	LowEarlyAt       time.Time // may be low from here
	LowLateAt        time.Time // surely low from here
	CoveredAt        time.Time // lights under water again
	LimitAt          time.Time // must be covered by
	Live             bool
}

// Promise is the arrival window that a customer was told for a visit.
type Promise struct {
	ID        string
	BranchID  string
	JobID     string
	VisitID   string
	PlanID    string
	FromAt    time.Time
	ToAt      time.Time
	Answer    string // accepted, declined or empty: nothing said yet
	Live      bool
	CreatedAt time.Time
}

// Window is the arrival window to promise for a planned start: it begins on the
// half hour before it, because that is how people speak of hours, and leaves at
// least an eighth of its width for being early. A window too narrow for that
// begins at the start itself.
func Window(start time.Time, width time.Duration) (from, to time.Time) {
	const half = 30 * time.Minute
	from = start.Truncate(half)
	if start.Sub(from) < width/8 {
		from = from.Add(-half)
	}
	if start.Sub(from) > width {
		from = start
	}
	return from, from.Add(width)
}

// Holds says whether a start keeps the promise.
func (p Promise) Holds(start time.Time) bool {
	return !start.Before(p.FromAt) && !start.After(p.ToAt)
}
