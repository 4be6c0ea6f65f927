package store

import (
	"encoding/json"
	"time"

	"ebbline/jobs"
)

type planRunRow struct {
	ID           string
	BranchID     string
	DraftID      string
	DraftVersion int64
	State        string
	Seed         int64
	Strands      int64
	Rounds       int64
	Seconds      int64
	DoneRounds   int64
	BestCents    *int64
	Placed       *int64
	LeftOut      *int64
	Progress     string
	Mode         string
	KeepPermille int64
	KeptPermille *int64
	Series       string // JSON of []jobs.RunPoint
	StopAsked    bool
	Fence        int64
	LeaseUntil   int64
	Error        string
	AskedBy      string
	CreatedAt    int64 `gorm:"autoCreateTime:false"`
	StartedAt    *int64
	EndedAt      *int64
}

func (planRunRow) TableName() string { return "plan_runs" }

func (r planRunRow) run() jobs.PlanRun {
	out := jobs.PlanRun{ID: r.ID, BranchID: r.BranchID, DraftID: r.DraftID, DraftVersion: r.DraftVersion, State: jobs.RunState(r.State),
		RunData:    jobs.RunData{Seed: r.Seed, Strands: r.Strands, Rounds: r.Rounds, Seconds: r.Seconds, Mode: jobs.RunMode(r.Mode), KeepPermille: r.KeepPermille},
		DoneRounds: r.DoneRounds, Best: (*jobs.Cents)(r.BestCents), Placed: r.Placed, LeftOut: r.LeftOut, Kept: r.KeptPermille,
		StopAsked: r.StopAsked, Fence: r.Fence, LeaseUntil: r.LeaseUntil, Error: r.Error, AskedBy: r.AskedBy,
		CreatedAt: instant(r.CreatedAt), StartedAt: maybeInstant(r.StartedAt), EndedAt: maybeInstant(r.EndedAt)}
	if r.Progress != "" {
		_ = json.Unmarshal([]byte(r.Progress), &out.Heads) // ours: written by progress below
	}
	if r.Series != "" {
		_ = json.Unmarshal([]byte(r.Series), &out.Series) // ours: written by progress below
	}
	return out
}

// progress is what a run's holder writes of how far it is.
func progress(r jobs.PlanRun) (map[string]any, error) {
	heads, err := json.Marshal(r.Heads)
	if err != nil {
		return nil, err
	}
	series, err := json.Marshal(r.Series)
	if err != nil {
		return nil, err
	}
	return map[string]any{"done_rounds": r.DoneRounds, "best_cents": (*int64)(r.Best), "placed": r.Placed, "left_out": r.LeftOut,
		"progress": string(heads), "series": string(series)}, nil
}

// InsertPlanRun adds a waiting run.
func (tx *Tx) InsertPlanRun(r jobs.PlanRun) error {
	return tx.insert(&planRunRow{ID: r.ID, BranchID: r.BranchID, DraftID: r.DraftID, DraftVersion: r.DraftVersion, State: string(r.State),
		Seed: r.Seed, Strands: r.Strands, Rounds: r.Rounds, Seconds: r.Seconds, AskedBy: r.AskedBy, Mode: string(r.Mode),
		KeepPermille: r.KeepPermille, CreatedAt: secs(r.CreatedAt)})
}

// PlanRun reads one run. CodeNotFound.
func (tx *Tx) PlanRun(id string) (jobs.PlanRun, error) {
	row, err := first[planRunRow](tx, "planning run", "id = ?", id)
	return row.run(), err
}

// OpenRuns reads a draft's runs that have not ended.
func (tx *Tx) OpenRuns(draftID string) ([]jobs.PlanRun, error) {
	rows, err := all[planRunRow](tx, "created_at, id", "draft_id = ? AND state IN ?", draftID, []string{"waiting", "running"})
	return each(rows, planRunRow.run), err
}

// RunsToDo reads the ids of runs that somebody should work on: waiting ones,
// and those whose worker's lease has run out. Oldest first.
func (tx *Tx) RunsToDo(limit int) ([]string, error) {
	now, err := LeaseNow(tx)
	if err != nil {
		return nil, err
	}
	var ids []string
	err = tx.db.Model(&planRunRow{}).Where("state = ? OR (state = ? AND lease_until < ?)", "waiting", "running", now).
		Order("created_at, id").Limit(limit).Pluck("id", &ids).Error
	return ids, err
}

// ClaimRun makes the caller the one who works on a run until the lease ends: it
// raises the fence and returns the run. false: it is over, or another holds it.
func (tx *Tx) ClaimRun(id string, lease time.Duration, at time.Time) (jobs.PlanRun, bool, error) {
	r, err := tx.PlanRun(id)
	if err != nil || r.Over() {
		return r, false, err
	}
	now, err := LeaseNow(tx)
	if err != nil {
		return r, false, err
	}
	if r.State == jobs.RunRunning && r.LeaseUntil >= now {
		return r, false, nil
	}
	set := map[string]any{"state": string(jobs.RunRunning), "fence": r.Fence + 1, "lease_until": now + int64(lease/time.Second)}
	if r.StartedAt.IsZero() {
		set["started_at"] = secs(at)
	}
	done := tx.db.Model(&planRunRow{}).Where("id = ? AND state = ? AND fence = ?", id, string(r.State), r.Fence).Updates(set)
	if done.Error != nil || done.RowsAffected == 0 {
		return r, false, done.Error
	}
	r, err = tx.PlanRun(id)
	return r, err == nil, err
}

// ReportRun writes the progress of the run's holder and prolongs the lease; it
// returns whether somebody asked to stop. CodeConflict when another has claimed
// the run since.
func (tx *Tx) ReportRun(r jobs.PlanRun, lease time.Duration) (stop bool, err error) {
	now, err := LeaseNow(tx)
	if err != nil {
		return false, err
	}
	set, err := progress(r)
	if err != nil {
		return false, err
	}
	set["lease_until"] = now + int64(lease/time.Second)
	if err := tx.changeRun(r, set); err != nil {
		return false, err
	}
	got, err := tx.PlanRun(r.ID)
	return got.StopAsked, err
}

// EndRun writes how the run ended. CodeConflict when another has claimed it.
func (tx *Tx) EndRun(r jobs.PlanRun) error {
	set, err := progress(r)
	if err != nil {
		return err
	}
	set["state"], set["kept_permille"], set["error"] = string(r.State), r.Kept, r.Error
	set["ended_at"], set["lease_until"] = maybeSecs(r.EndedAt), 0
	return tx.changeRun(r, set)
}

func (tx *Tx) changeRun(r jobs.PlanRun, set map[string]any) error {
	done := tx.db.Model(&planRunRow{}).Where("id = ? AND state = ? AND fence = ?", r.ID, string(jobs.RunRunning), r.Fence).Updates(set)
	if done.Error == nil && done.RowsAffected == 0 {
		return jobs.Errorf(jobs.CodeConflict, "Another worker has taken this planning run over")
	}
	return done.Error
}

// AskStop asks the run's worker to stop and keep its best. A waiting run ends
// at once. A run that is over stays as it is.
func (tx *Tx) AskStop(id string, at time.Time) error {
	done := tx.db.Model(&planRunRow{}).Where("id = ? AND state = ?", id, string(jobs.RunWaiting)).
		Updates(map[string]any{"state": string(jobs.RunStopped), "stop_asked": true, "ended_at": secs(at)})
	if done.Error != nil || done.RowsAffected == 1 {
		return done.Error
	}
	return tx.db.Model(&planRunRow{}).Where("id = ? AND state = ?", id, string(jobs.RunRunning)).
		Updates(map[string]any{"stop_asked": true}).Error
}
