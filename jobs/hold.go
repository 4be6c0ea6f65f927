package jobs

import "time"

// HoldState says how a held window stands.
type HoldState string

// The states of a hold. Expired is a held one whose time has run out; it is
// never stored.
const (
	HoldHeld      HoldState = "held"
	HoldBooked    HoldState = "booked" // the next plan keeps it
	HoldReleased  HoldState = "released"
	HoldExpired   HoldState = "expired"
	HoldHandedOut HoldState = "handed_out" // it is an ordinary promise by now
)

// Bounds of how long a window is held, and how long where nobody says.
const (
	HoldMinutes    = 15
	MaxHoldMinutes = 120
)

// Hold is an arrival window kept free for a caller for some minutes, or booked.
// While it lives, offers to others and new plans count it as a promise.
type Hold struct {
	ID       string
	BranchID string
	NewHold
	UntilAt   time.Time
	State     HoldState
	MadeBy    string
	Version   int64
	CreatedAt time.Time
	UpdatedAt time.Time

	JobNumber    int64 // read along, as are the next three
	CustomerName string
	SiteName     string
	CrewName     string
}

// NewHold is a window as it was offered.
type NewHold struct {
	JobID   string
	VisitID string // whose arrival it is
	CrewID  string
	FromAt  time.Time
	ToAt    time.Time
	StartAt time.Time // as planned when it was offered
	Minutes int64     // 0: HoldMinutes
	Note    string
}

// Clean fills in what was left open.
func (n NewHold) Clean() NewHold {
	if n.Minutes == 0 {
		n.Minutes = HoldMinutes
	}
	n.Note = CleanLine(n.Note)
	n.FromAt, n.ToAt, n.StartAt = n.FromAt.UTC().Truncate(time.Second), n.ToAt.UTC().Truncate(time.Second), n.StartAt.UTC().Truncate(time.Second)
	return n
}

// Check refuses what is wrong, all of it at once.
func (n NewHold) Check(now time.Time) error {
	var f Faults
	f.ID("job_id", n.JobID)
	f.ID("visit_id", n.VisitID)
	f.ID("crew_id", n.CrewID)
	f.Check(n.ToAt.After(n.FromAt), "to_at", n.ToAt.Format(time.RFC3339), "after from_at")
	f.Check(!n.StartAt.Before(n.FromAt) && !n.StartAt.After(n.ToAt), "start_at", n.StartAt.Format(time.RFC3339), "inside the window, as it was offered")
	f.Check(n.ToAt.After(now), "to_at", n.ToAt.Format(time.RFC3339), "a window that is not over")
	f.Check(n.Minutes >= 1 && n.Minutes <= MaxHoldMinutes, "minutes", itoa64(n.Minutes), "1 to "+itoa(MaxHoldMinutes)+" minutes")
	f.Line("note", n.Note, 0, 300)
	return f.Err()
}

// Standing is the hold's state at an instant.
func (h Hold) Standing(now time.Time) HoldState {
	if h.State == HoldHeld && !h.UntilAt.After(now) {
		return HoldExpired
	}
	return h.State
}

// Lives says whether others have to plan around it.
func (h Hold) Lives(now time.Time) bool {
	s := h.Standing(now)
	return s == HoldHeld || s == HoldBooked
}

// Promise is the hold as a promise that plans keep; no plan has made it yet.
func (h Hold) Promise() Promise {
	return Promise{ID: h.ID, BranchID: h.BranchID, JobID: h.JobID, VisitID: h.VisitID, FromAt: h.FromAt, ToAt: h.ToAt, Live: true, CreatedAt: h.CreatedAt}
}
