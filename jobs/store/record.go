package store

import (
	"errors"
	"time"

	"gorm.io/gorm"

	"ebbline/jobs"
)

type recordRow struct {
	VisitID        string `gorm:"primaryKey"`
	JobID          string
	BranchID       string
	CrewID         string
	Kind           string
	ArrivedAt      *int64
	LeftAt         *int64
	PlannedSeconds *int64
	MedianSeconds  *int64
	Outcome        string
	Reason         string
	LightsDone     int64
	PromisedFrom   *int64
	PromisedTo     *int64
	Version        int64
	CreatedAt      int64 `gorm:"autoCreateTime:false"`
	UpdatedAt      int64 `gorm:"autoUpdateTime:false"`
}

func (recordRow) TableName() string { return "field_records" }

func (r recordRow) record() jobs.FieldRecord {
	out := jobs.FieldRecord{VisitID: r.VisitID, JobID: r.JobID, BranchID: r.BranchID, CrewID: r.CrewID, Kind: r.Kind,
		ArrivedAt: maybeInstant(r.ArrivedAt), LeftAt: maybeInstant(r.LeftAt), Outcome: jobs.RecordOutcome(r.Outcome),
		Reason: r.Reason, Lights: r.LightsDone, PromisedFrom: maybeInstant(r.PromisedFrom),
		PromisedTo: maybeInstant(r.PromisedTo), Version: r.Version, CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt)}
	if r.PlannedSeconds != nil {
		out.PlannedSeconds = *r.PlannedSeconds
	}
	if r.MedianSeconds != nil {
		out.MedianSeconds = *r.MedianSeconds
	}
	return out
}

// PutRecord writes what a visit's operations came to: the row is made at the
// first report and kept in step with the fold after each later one. It runs in
// the transaction that inserted the reports.
func (tx *Tx) PutRecord(r jobs.FieldRecord) error {
	row := recordRow{VisitID: r.VisitID, JobID: r.JobID, BranchID: r.BranchID, CrewID: r.CrewID, Kind: r.Kind,
		ArrivedAt: maybeSecs(r.ArrivedAt), LeftAt: maybeSecs(r.LeftAt), PlannedSeconds: maybeCount(r.PlannedSeconds),
		MedianSeconds: maybeCount(r.MedianSeconds), Outcome: string(r.Outcome), Reason: r.Reason, LightsDone: r.Lights,
		PromisedFrom: maybeSecs(r.PromisedFrom), PromisedTo: maybeSecs(r.PromisedTo),
		Version: 1, CreatedAt: secs(r.UpdatedAt), UpdatedAt: secs(r.UpdatedAt)}
	var old recordRow
	err := tx.db.Where("visit_id = ?", r.VisitID).Take(&old).Error
	if errors.Is(err, gorm.ErrRecordNotFound) {
		return tx.insert(&row)
	}
	if err != nil {
		return err
	}
	return tx.db.Model(&recordRow{}).Where("visit_id = ?", r.VisitID).Updates(map[string]any{
		"crew_id": row.CrewID, "arrived_at": row.ArrivedAt, "left_at": row.LeftAt, "outcome": row.Outcome, "reason": row.Reason,
		"lights_done": row.LightsDone, "version": old.Version + 1, "updated_at": row.UpdatedAt}).Error
}

// Record reads a visit's record; CodeNotFound before the first report.
func (tx *Tx) Record(visitID string) (jobs.FieldRecord, error) {
	row, err := first[recordRow](tx, "field record", "visit_id = ?", visitID)
	return row.record(), err
}

// JobRecords reads the records of a job's visits.
func (tx *Tx) JobRecords(jobID string) ([]jobs.FieldRecord, error) {
	rows, err := all[recordRow](tx, "left_at, visit_id", "job_id = ?", jobID)
	return records(rows), err
}

// EndedRecords reads the records of a branch that ended in [from, to).
func (tx *Tx) EndedRecords(branchID string, from, to time.Time) ([]jobs.FieldRecord, error) {
	rows, err := all[recordRow](tx, "left_at, visit_id",
		"branch_id = ? AND left_at >= ? AND left_at < ? AND outcome <> ''", branchID, secs(from), secs(to))
	return records(rows), err
}

func records(rows []recordRow) []jobs.FieldRecord {
	out := make([]jobs.FieldRecord, len(rows))
	for i, r := range rows {
		out[i] = r.record()
	}
	return out
}

// maybeCount stores 0 as NULL: not known.
func maybeCount(n int64) *int64 {
	if n == 0 {
		return nil
	}
	return &n
}
