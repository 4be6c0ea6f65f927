package jobs

import "time"

// RunState says how a planning run stands.
type RunState string

// The states of a run.
const (
	RunWaiting RunState = "waiting"
	RunRunning RunState = "running"
	RunDone    RunState = "done"
	RunStopped RunState = "stopped" // on request; the best so far was kept
	RunFailed  RunState = "failed"
)

// PlanRun is one search for a plan, done in the background. Its progress stands
// in its row, so that any process can show it. Whoever works on it holds a
// lease; a claim raises Fence, and only the holder of the newest fence may
// write.
type PlanRun struct {
	ID           string
	BranchID     string
	DraftID      string
	DraftVersion int64 // the draft's version when the run was asked for
	RunData
	State      RunState
	DoneRounds int64
	Best       *Cents // cost of the best plan so far
	Placed     *int64
	LeftOut    *int64
	Heads      []CostHead // of the best plan so far
	StopAsked  bool
	Fence      int64
	LeaseUntil int64 // by the database's clock, unix seconds
	Error      string
	AskedBy    string
	CreatedAt  time.Time
	StartedAt  time.Time // zero: not yet
	EndedAt    time.Time // zero: not yet
}

// RunData is how long and by which seed to search. Zero values take the
// defaults.
type RunData struct {
	Seed    int64
	Strands int64
	Rounds  int64 // 0: as many as the seconds allow
	Seconds int64
}

// CostHead is one head of a plan's cost.
type CostHead struct {
	Head  string `json:"head"`
	Label string `json:"label"`
	Cents Cents  `json:"cents"`
}

// Clean fills in the defaults: seed 1, 4 strands, 10 seconds.
func (d RunData) Clean() RunData {
	if d.Seed == 0 {
		d.Seed = 1
	}
	if d.Strands == 0 {
		d.Strands = 4
	}
	if d.Seconds == 0 {
		d.Seconds = 10
	}
	return d
}

// Check refuses what is wrong, all of it at once.
func (d RunData) Check() error {
	var f Faults
	f.Check(d.Strands >= 1 && d.Strands <= 64, "strands", itoa64(d.Strands), "between 1 and 64")
	f.Check(d.Rounds >= 0 && d.Rounds <= 1_000_000, "rounds", itoa64(d.Rounds), "between 0 (as the seconds allow) and 1000000")
	f.Check(d.Seconds >= 1 && d.Seconds <= 3600, "seconds", itoa64(d.Seconds), "between 1 and 3600")
	return f.Err()
}

// Over says whether the run has ended.
func (r PlanRun) Over() bool {
	return r.State == RunDone || r.State == RunStopped || r.State == RunFailed
}
