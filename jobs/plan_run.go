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
	Kept       *int64     // promises kept in the mean by the plan that came out, permille; nil: no rate was wanted
	Series     []RunPoint // the cost over time, at most MaxSeries points
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
	Mode    RunMode // empty: RunPlan
	// KeepPermille is the wanted chance that a promise is kept; 0: the cheapest plan.
	KeepPermille int64
}

// RunMode says what a run does.
type RunMode string

// The modes.
const (
	RunPlan RunMode = "plan" // a plan of the draft's days from what holds now
	RunMend RunMode = "mend" // the least change of what was handed out
)

// MaxSeries bounds the points of a run's series; a longer one is thinned out.
const MaxSeries = 120

// RunPoint is the best cost so far at one moment of a run.
type RunPoint struct {
	ElapsedMS int64      `json:"elapsed_ms"`
	Round     int64      `json:"round"`
	Total     Cents      `json:"total_cents"`
	LeftOut   *int64     `json:"left_out,omitempty"`
	Heads     []CostHead `json:"heads,omitempty"`
}

// Note appends a point to the series. When it is full every other point goes,
// never the first: what is drawn keeps its shape.
func (r *PlanRun) Note(p RunPoint) {
	if len(r.Series) >= MaxSeries {
		kept := r.Series[:1]
		for i := 2; i < len(r.Series); i += 2 {
			kept = append(kept, r.Series[i])
		}
		r.Series = kept
	}
	r.Series = append(r.Series, p)
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
	if d.Mode == "" {
		d.Mode = RunPlan
	}
	return d
}

// Check refuses what is wrong, all of it at once.
func (d RunData) Check() error {
	var f Faults
	f.Check(d.Strands >= 1 && d.Strands <= 64, "strands", itoa64(d.Strands), "between 1 and 64")
	f.Check(d.Rounds >= 0 && d.Rounds <= 1_000_000, "rounds", itoa64(d.Rounds), "between 0 (as the seconds allow) and 1000000")
	f.Check(d.KeepPermille == 0 || d.KeepPermille >= 500 && d.KeepPermille <= 999, "keep_permille", itoa64(d.KeepPermille), "between 500 and 999 of a thousand, or none")
	f.Check(d.Seconds >= 1 && d.Seconds <= 3600, "seconds", itoa64(d.Seconds), "between 1 and 3600")
	return f.Err()
}

// Over says whether the run has ended.
func (r PlanRun) Over() bool {
	return r.State == RunDone || r.State == RunStopped || r.State == RunFailed
}
