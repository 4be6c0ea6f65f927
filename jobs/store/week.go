package store

import (
	"encoding/json"

	"ebbline/jobs"
)

// EstimatesByID reads kept estimates, by id.
func (tx *Tx) EstimatesByID(ids ...string) (map[string]jobs.Estimate, error) {
	out := map[string]jobs.Estimate{}
	if len(ids) == 0 {
		return out, nil
	}
	rows, err := all[estimateRow](tx, "id", "id IN ?", ids)
	for _, r := range rows {
		out[r.ID] = jobs.Estimate{ID: r.ID, JobID: r.JobID, Number: r.Number, SurveyVersion: r.SurveyVersion, SettingsNumber: r.SettingsNumber,
			Body: json.RawMessage(r.Body), MedianSeconds: r.MedianSeconds, PlanningSeconds: r.PlanningSeconds,
			Price: (*jobs.Cents)(r.PriceCents), MadeAt: instant(r.MadeAt), MadeBy: r.MadeBy}
	}
	return out, err
}

// RecordsByVisit reads what was reported of visits, by visit.
func (tx *Tx) RecordsByVisit(visitIDs ...string) (map[string]jobs.FieldRecord, error) {
	out := map[string]jobs.FieldRecord{}
	if len(visitIDs) == 0 {
		return out, nil
	}
	rows, err := all[recordRow](tx, "visit_id", "visit_id IN ?", visitIDs)
	for _, r := range rows {
		out[r.VisitID] = r.record()
	}
	return out, err
}

// JobsByID reads jobs with their chains, by number.
func (tx *Tx) JobsByID(ids ...string) ([]jobs.Job, error) {
	if len(ids) == 0 {
		return nil, nil
	}
	rows, err := all[jobRow](tx, "number, id", "id IN ?", ids)
	if err != nil {
		return nil, err
	}
	return tx.wholeJobs(rows)
}
