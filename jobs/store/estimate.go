package store

import (
	"encoding/json"

	"ebbline/jobs"
)

type estimateRow struct {
	ID              string
	JobID           string
	Number          int64
	SurveyVersion   int64
	SettingsNumber  int64
	Body            string
	MedianSeconds   *int64
	PlanningSeconds *int64
	PriceCents      *int64
	MadeAt          int64
	MadeBy          string
}

func (estimateRow) TableName() string { return "estimates" }

// InsertEstimate keeps an estimate under the next number of its job, which it
// returns.
func (tx *Tx) InsertEstimate(branchID string, e jobs.Estimate) (int64, error) {
	number, err := tx.nextOfJob("estimates", branchID, e.JobID)
	if err != nil {
		return 0, err
	}
	return number, tx.insert(&estimateRow{
		ID: e.ID, JobID: e.JobID, Number: number, SurveyVersion: e.SurveyVersion, SettingsNumber: e.SettingsNumber,
		Body: string(e.Body), MedianSeconds: e.MedianSeconds, PlanningSeconds: e.PlanningSeconds, PriceCents: (*int64)(e.Price),
		MadeAt: secs(e.MadeAt), MadeBy: e.MadeBy,
	})
}

// Estimate reads one that was kept. CodeNotFound.
func (tx *Tx) Estimate(id string) (jobs.Estimate, error) {
	r, err := first[estimateRow](tx, "estimate", "id = ?", id)
	return jobs.Estimate{
		ID: r.ID, JobID: r.JobID, Number: r.Number, SurveyVersion: r.SurveyVersion, SettingsNumber: r.SettingsNumber,
		Body: json.RawMessage(r.Body), MedianSeconds: r.MedianSeconds, PlanningSeconds: r.PlanningSeconds, Price: (*jobs.Cents)(r.PriceCents),
		MadeAt: instant(r.MadeAt), MadeBy: r.MadeBy,
	}, err
}

// nextOfJob is the next number of a job's papers. table is a constant in the
// code.
func (tx *Tx) nextOfJob(table, branchID, jobID string) (int64, error) {
	if err := tx.holdBranch(branchID); err != nil {
		return 0, err
	}
	var last int64
	err := tx.db.Table(table).Where("job_id = ?", jobID).Select("COALESCE(MAX(number), 0)").Scan(&last).Error
	return last + 1, err
}
