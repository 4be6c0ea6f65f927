package jobs

import "time"

// DraftState says how far a draft is.
type DraftState string

// The states of a draft.
const (
	DraftNew       DraftState = "new"
	DraftPlanning  DraftState = "planning"
	DraftPlanned   DraftState = "planned"
	DraftHandedOut DraftState = "handed_out"
	DraftDropped   DraftState = "dropped"
)

// MaxDays bounds the days of a draft, as the week problem does.
const MaxDays = 14

// Draft is a plan in the making. It belongs to a version of what was handed
// out (BasePlanNumber; 0: nothing yet): when somebody hands out meanwhile, the
// draft must be planned again.
type Draft struct {
	ID       string
	BranchID string
	NewDraft
	BasePlanNumber int64
	// Week and Plan hold the problem and its answer in the files' form; Plan is
	// empty until something was planned.
	Week, Plan string
	KeptOut    []KeptOut // jobs that could not even be put to the planner
	State      DraftState
	Cost       *Cents // nil: not planned yet
	LeftOut    *int64 // jobs left out; nil: not planned yet
	Upset      *Upset // what it mends; nil: nothing
	RunID      string // the newest planning run, read along
	Outdated   bool   // somebody handed out since it was planned; read along
	MadeBy     string
	Version    int64
	CreatedAt  time.Time
	UpdatedAt  time.Time
}

// KeptOut is a job that could not even be put to the planner, and why.
type KeptOut struct {
	JobID   string   `json:"job_id"`
	Reasons []string `json:"reasons"`
}

// NewDraft is which days are to be planned.
type NewDraft struct {
	FirstDay Day
	Days     int64
}

// Check refuses what is wrong. today is the branch's civil day: what lies
// behind can't be planned.
func (n NewDraft) Check(today Day) error {
	var f Faults
	f.Check(n.FirstDay.Valid(), "first_day", string(n.FirstDay), "a day like 2026-03-09")
	f.Check(n.Days >= 1 && n.Days <= MaxDays, "days", itoa64(n.Days), "1 to "+itoa(MaxDays)+" days")
	if f.Err() == nil {
		f.Check(n.FirstDay.Add(int(n.Days)) > today, "first_day", string(n.FirstDay), "days that are not over; today is "+string(today))
		f.Check(n.FirstDay.Sub(today) <= 366, "first_day", string(n.FirstDay), "a day within a year")
	}
	return f.Err()
}

// Open says whether the draft can still be planned and handed out.
func (d Draft) Open() bool { return d.State != DraftHandedOut && d.State != DraftDropped }
