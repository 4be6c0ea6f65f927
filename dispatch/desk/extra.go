package desk

import (
	"context"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// ExtraWorks reads the extra work that was agreed on a job. A tech sees the
// jobs of the own crew's days. CodeNotFound.
func (d *Desk) ExtraWorks(ctx context.Context, who jobs.Actor, jobID string) ([]jobs.ExtraWork, error) {
	return read(ctx, d, func(tx *store.Tx) ([]jobs.ExtraWork, error) {
		j, err := tx.Job(jobID)
		if err != nil {
			return nil, err
		}
		if err := mayWorkOn(tx, who, j); err != nil {
			return nil, err
		}
		return tx.ExtraWorks(jobID)
	})
}

// ExtraWork reads one. CodeNotFound.
func (d *Desk) ExtraWork(ctx context.Context, id string) (jobs.ExtraWork, error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.ExtraWork, error) { return tx.ExtraWork(id) })
}

// AnswerExtraWork approves or refuses what was agreed at the pool.
// CodeInvalid, CodeNotFound, CodeStale, CodeConflict.
func (d *Desk) AnswerExtraWork(ctx context.Context, call Call, id string, version int64, answer jobs.ExtraWorkState) (Outcome, error) {
	var f jobs.Faults
	jobs.OneOf(&f, "answer", answer, []jobs.ExtraWorkState{jobs.ExtraApproved, jobs.ExtraRefused})
	if err := f.Err(); err != nil {
		return Outcome{}, err
	}
	return d.act(ctx, call, "answerExtraWork", func(tx *store.Tx) (Outcome, error) {
		e, err := tx.ExtraWork(id)
		if err != nil {
			return Outcome{}, err
		}
		if err := stale("extra work", e.Version, version); err != nil {
			return Outcome{}, err
		}
		if e.State != jobs.ExtraAgreed {
			return Outcome{}, jobs.Errorf(jobs.CodeConflict, "The extra work is %s already", e.State)
		}
		j, err := tx.Job(e.JobID)
		if err != nil {
			return Outcome{}, err
		}
		e.State, e.ApprovedBy, e.UpdatedAt = answer, call.Actor.Name, call.Now
		return Outcome{Noun: "extra work", NounID: id, Version: version + 1, BranchID: j.BranchID,
			Note: string(answer) + " $" + e.AmountCents.String()}, tx.UpdateExtraWork(e)
	})
}
