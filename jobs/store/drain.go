package store

import "ebbline/jobs"

type drainRow struct {
	ID         string
	PlanID     string
	BranchID   string
	JobID      string
	WayLow     string
	ToldFrom   *int64
	ToldTo     *int64
	LowEarlyAt *int64
	LowLateAt  *int64
	CoveredAt  *int64
	LimitAt    *int64
	Live       bool
}

func (drainRow) TableName() string { return "drains" }

func (r drainRow) drain() jobs.Drain {
	return jobs.Drain{ID: r.ID, PlanID: r.PlanID, BranchID: r.BranchID, JobID: r.JobID, WayLow: jobs.WayLow(r.WayLow),
		ToldFrom: maybeInstant(r.ToldFrom), ToldTo: maybeInstant(r.ToldTo), LowEarlyAt: maybeInstant(r.LowEarlyAt),
		LowLateAt: maybeInstant(r.LowLateAt), CoveredAt: maybeInstant(r.CoveredAt), LimitAt: maybeInstant(r.LimitAt), Live: r.Live}
}

// InsertDrains writes pools' water as handed out.
func (tx *Tx) InsertDrains(list []jobs.Drain) error {
	if len(list) == 0 {
		return nil
	}
	rows := each(list, func(d jobs.Drain) drainRow {
		return drainRow{ID: d.ID, PlanID: d.PlanID, BranchID: d.BranchID, JobID: d.JobID, WayLow: string(d.WayLow),
			ToldFrom: maybeSecs(d.ToldFrom), ToldTo: maybeSecs(d.ToldTo), LowEarlyAt: maybeSecs(d.LowEarlyAt),
			LowLateAt: maybeSecs(d.LowLateAt), CoveredAt: maybeSecs(d.CoveredAt), LimitAt: maybeSecs(d.LimitAt), Live: d.Live}
	})
	return tx.insert(&rows)
}

// LiveDrains reads what holds of jobs' water, by job.
func (tx *Tx) LiveDrains(branchID string) ([]jobs.Drain, error) {
	rows, err := all[drainRow](tx, "job_id, id", "branch_id = ? AND live", branchID)
	return each(rows, drainRow.drain), err
}

// LiveDrain reads what holds of one job's water. CodeNotFound.
func (tx *Tx) LiveDrain(jobID string) (jobs.Drain, error) {
	row, err := first[drainRow](tx, "drain", "job_id = ? AND live", jobID)
	return row.drain(), err
}

// RetireDrains sets drains not live.
func (tx *Tx) RetireDrains(ids []string) error { return tx.retire(&drainRow{}, ids) }
