package store

import (
	"time"

	"ebbline/jobs"
)

// StateFigures counts a branch's jobs by state, with what they are worth; a
// value that is not known counts as nothing.
func (tx *Tx) StateFigures(branchID string) ([]jobs.StateFigure, error) {
	var rows []struct {
		State string
		N     int64
		Value int64
	}
	err := tx.db.Table("jobs").Select("state, COUNT(*) AS n, COALESCE(SUM(value_cents), 0) AS value").
		Where("branch_id = ?", branchID).Group("state").Find(&rows).Error
	by := map[jobs.State]jobs.StateFigure{}
	for _, r := range rows {
		by[jobs.State(r.State)] = jobs.StateFigure{State: r.State, Jobs: r.N, Value: jobs.Cents(r.Value)}
	}
	var out []jobs.StateFigure
	for _, s := range jobs.States {
		if f, ok := by[s]; ok {
			out = append(out, f)
		}
	}
	return out, err
}

// ConvertedJobs reads a branch's jobs that were converted in [from, to), the
// earliest first. Call backs convert nothing and are left out.
func (tx *Tx) ConvertedJobs(branchID string, from, to time.Time) ([]jobs.Job, error) {
	rows, err := all[jobRow](tx, "converted_at, number", "branch_id = ? AND kind = ? AND converted_at >= ? AND converted_at < ?",
		branchID, string(jobs.JobConversion), secs(from), secs(to))
	if err != nil {
		return nil, err
	}
	return tx.wholeJobs(rows)
}

// RecordsOf reads the records of the jobs' visits.
func (tx *Tx) RecordsOf(jobIDs ...string) ([]jobs.FieldRecord, error) {
	rows, err := allOf[recordRow](tx, "left_at, visit_id", jobIDs)
	return records(rows), err
}
