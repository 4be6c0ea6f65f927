package store

import "ebbline/jobs"

type extraWorkRow struct {
	ID          string
	JobID       string
	VisitID     string
	Name        string
	AmountCents int64
	AgreedBy    string
	AgreedAt    int64
	State       string
	ApprovedBy  string
	Version     int64
	CreatedAt   int64 `gorm:"autoCreateTime:false"`
	UpdatedAt   int64 `gorm:"autoUpdateTime:false"`
}

func (extraWorkRow) TableName() string { return "extra_works" }

func (r extraWorkRow) extraWork() jobs.ExtraWork {
	return jobs.ExtraWork{ID: r.ID, JobID: r.JobID, VisitID: r.VisitID, Name: r.Name, AmountCents: jobs.Cents(r.AmountCents),
		AgreedBy: r.AgreedBy, AgreedAt: instant(r.AgreedAt), State: jobs.ExtraWorkState(r.State), ApprovedBy: r.ApprovedBy,
		Version: r.Version, CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt)}
}

// InsertExtraWork keeps what was agreed at the pool.
func (tx *Tx) InsertExtraWork(e jobs.ExtraWork) error {
	return tx.insert(&extraWorkRow{ID: e.ID, JobID: e.JobID, VisitID: e.VisitID, Name: e.Name, AmountCents: int64(e.AmountCents),
		AgreedBy: e.AgreedBy, AgreedAt: secs(e.AgreedAt), State: string(e.State), ApprovedBy: e.ApprovedBy,
		Version: e.Version, CreatedAt: secs(e.CreatedAt), UpdatedAt: secs(e.UpdatedAt)})
}

// UpdateExtraWork writes the office's answer. CodeStale, CodeNotFound.
func (tx *Tx) UpdateExtraWork(e jobs.ExtraWork) error {
	return tx.update("extra work", &extraWorkRow{}, e.ID, e.Version, e.UpdatedAt,
		change{"state": string(e.State), "approved_by": e.ApprovedBy})
}

// ExtraWork reads one. CodeNotFound.
func (tx *Tx) ExtraWork(id string) (jobs.ExtraWork, error) {
	row, err := first[extraWorkRow](tx, "extra work", "id = ?", id)
	return row.extraWork(), err
}

// ExtraWorks reads those of a job.
func (tx *Tx) ExtraWorks(jobID string) ([]jobs.ExtraWork, error) {
	rows, err := all[extraWorkRow](tx, "agreed_at, id", "job_id = ?", jobID)
	out := make([]jobs.ExtraWork, len(rows))
	for i, r := range rows {
		out[i] = r.extraWork()
	}
	return out, err
}

type fittedRow struct {
	ID        string
	JobID     string
	VisitID   string
	SubjectID string
	PartID    string
	Serial    string
	Batch     string
	At        int64
}

func (fittedRow) TableName() string { return "fitted_items" }

// InsertFitted keeps a fitted light or supply.
func (tx *Tx) InsertFitted(f jobs.FittedItem) error {
	return tx.insert(&fittedRow{ID: f.ID, JobID: f.JobID, VisitID: f.VisitID, SubjectID: f.SubjectID, PartID: f.PartID,
		Serial: f.Serial, Batch: f.Batch, At: secs(f.At)})
}

// Fitted reads what was fitted on a job.
func (tx *Tx) Fitted(jobID string) ([]jobs.FittedItem, error) {
	rows, err := all[fittedRow](tx, "at, id", "job_id = ?", jobID)
	out := make([]jobs.FittedItem, len(rows))
	for i, r := range rows {
		out[i] = jobs.FittedItem{ID: r.ID, JobID: r.JobID, VisitID: r.VisitID, SubjectID: r.SubjectID, PartID: r.PartID,
			Serial: r.Serial, Batch: r.Batch, At: instant(r.At)}
	}
	return out, err
}
