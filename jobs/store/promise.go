package store

import "ebbline/jobs"

type promiseRow struct {
	ID        string
	BranchID  string
	JobID     string
	VisitID   string
	PlanID    string
	FromAt    int64
	ToAt      int64
	Answer    string
	Live      bool
	CreatedAt int64 `gorm:"autoCreateTime:false"`
}

func (promiseRow) TableName() string { return "promises" }

func (r promiseRow) promise() jobs.Promise {
	return jobs.Promise{ID: r.ID, BranchID: r.BranchID, JobID: r.JobID, VisitID: r.VisitID, PlanID: r.PlanID,
		FromAt: instant(r.FromAt), ToAt: instant(r.ToAt), Answer: r.Answer, Live: r.Live, CreatedAt: instant(r.CreatedAt)}
}

// InsertPromises writes arrival windows that customers are told.
func (tx *Tx) InsertPromises(list []jobs.Promise) error {
	if len(list) == 0 {
		return nil
	}
	rows := each(list, func(p jobs.Promise) promiseRow {
		return promiseRow{ID: p.ID, BranchID: p.BranchID, JobID: p.JobID, VisitID: p.VisitID, PlanID: p.PlanID,
			FromAt: secs(p.FromAt), ToAt: secs(p.ToAt), Answer: p.Answer, Live: p.Live, CreatedAt: secs(p.CreatedAt)}
	})
	return tx.insert(&rows)
}

// LivePromises reads the windows that hold, of visits still to come.
func (tx *Tx) LivePromises(branchID string) ([]jobs.Promise, error) {
	rows, err := all[promiseRow](tx, "visit_id, id",
		"branch_id = ? AND live AND visit_id IN (SELECT id FROM visits WHERE state IN ?)", branchID, []string{"open", "routed", "under_way"})
	return each(rows, promiseRow.promise), err
}

// AnswerPromise keeps what the customer said to the window of a visit.
// CodeNotFound when none holds.
func (tx *Tx) AnswerPromise(visitID, answer string) error {
	done := tx.db.Model(&promiseRow{}).Where("visit_id = ? AND live", visitID).Updates(map[string]any{"answer": answer})
	if done.Error == nil && done.RowsAffected == 0 {
		return jobs.Errorf(jobs.CodeNotFound, "No window was promised for this visit")
	}
	return done.Error
}

// RetirePromises sets promises not live.
func (tx *Tx) RetirePromises(ids []string) error { return tx.retire(&promiseRow{}, ids) }

// PromisesOf reads the windows that hold for the visits, by visit id.
func (tx *Tx) PromisesOf(visitIDs ...string) (map[string]jobs.Promise, error) {
	out := map[string]jobs.Promise{}
	if len(visitIDs) == 0 {
		return out, nil
	}
	rows, err := all[promiseRow](tx, "visit_id, id", "live AND visit_id IN ?", visitIDs)
	for _, r := range rows {
		out[r.VisitID] = r.promise()
	}
	return out, err
}
