package desk

import (
	"context"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// AddJobPart lists a part that a job takes. One of the catalogue lends its name
// and unit where they are left out; one that is reserved from the start is taken
// from the shelf. CodeInvalid, CodeNotFound, CodeConflict (the shelf is empty).
func (d *Desk) AddJobPart(ctx context.Context, call Call, jobID string, in jobs.JobPartData) (Outcome, error) {
	in.Name, in.StockUnit = jobs.CleanLine(in.Name), jobs.CleanLine(in.StockUnit)
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	p := jobs.JobPart{ID: d.ids.New(), JobID: jobID, JobPartData: in, Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now}
	return d.noteFact(ctx, call, "addJobPart", jobID, in.Name, func(tx *store.Tx, j jobs.Job) error {
		if p.PartID != "" {
			if err := ofBranch(tx, p.PartID, j.BranchID); err != nil {
				return err
			}
		}
		if err := onShelf(tx, call, p.PartID, jobs.ShelfChange(jobs.PartNeeded, p.State, p.Quantity)); err != nil {
			return err
		}
		return tx.InsertJobPart(p)
	})
}

// ofBranch refuses a part of another branch's catalogue.
func ofBranch(tx *store.Tx, partID, branchID string) error {
	part, err := tx.Part(partID)
	if err != nil {
		return err
	}
	if part.BranchID != branchID {
		return jobs.Faults{{Field: "part_id", Value: partID, Want: "a part of this branch's catalogue"}}.Err()
	}
	return nil
}

// onShelf lets the shelf of a catalogue part follow.
func onShelf(tx *store.Tx, call Call, partID string, by int64) error {
	if partID == "" || by == 0 {
		return nil
	}
	return tx.ChangeShelf(partID, by, call.Now)
}

// ChangeJobPart moves a part on, by the table of its states; the shelf's stock
// follows. CodeInvalid, CodeNotFound, CodeStale, CodeConflict (the shelf does
// not hold as much).
func (d *Desk) ChangeJobPart(ctx context.Context, call Call, id string, version int64, change jobs.JobPartChange) (Outcome, error) {
	before, err := d.JobPart(ctx, id)
	if err != nil {
		return Outcome{}, err
	}
	return d.noteFact(ctx, call, "changeJobPart", before.JobID, before.Name, func(tx *store.Tx, _ jobs.Job) error {
		p, err := tx.JobPart(id)
		if err != nil {
			return err
		}
		if err := stale("part of the job", p.Version, version); err != nil {
			return err
		}
		after, err := change.Apply(p.JobPartData)
		if err != nil {
			return err
		}
		// The part is written first: whoever comes second meets its version
		// before it touches the shelf.
		by := p.ShelfChange(after)
		p.JobPartData, p.UpdatedAt = after, call.Now
		if err := tx.UpdateJobPart(p); err != nil {
			return err
		}
		return onShelf(tx, call, p.PartID, by)
	})
}

// putBack lays what is reserved for a job on the shelf again: another job may
// wait for it. Parts without a place on the shelf stay with the job.
func putBack(tx *store.Tx, call Call, jobID string) error {
	parts, err := tx.JobParts(jobID)
	if err != nil {
		return err
	}
	for _, p := range parts {
		if p.State != jobs.PartReserved || p.PartID == "" {
			continue
		}
		by := jobs.ShelfChange(p.State, jobs.PartNeeded, p.Quantity)
		p.State, p.UpdatedAt = jobs.PartNeeded, call.Now
		if err := tx.UpdateJobPart(p); err != nil {
			return err
		}
		if err := onShelf(tx, call, p.PartID, by); err != nil {
			return err
		}
	}
	return nil
}

// JobPart reads one part of a job. CodeNotFound.
func (d *Desk) JobPart(ctx context.Context, id string) (jobs.JobPart, error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.JobPart, error) { return tx.JobPart(id) })
}

// takeUsed lets the shelf follow a crew's report that it used a part. A report
// is never refused: where the shelf holds less than was used, it came from
// elsewhere, and the shelf is empty afterwards.
func takeUsed(tx *store.Tx, call Call, p jobs.JobPart) error {
	by := jobs.ShelfChange(p.State, jobs.PartUsed, p.Quantity)
	if p.PartID == "" || by >= 0 {
		return nil
	}
	part, err := tx.Part(p.PartID)
	if err != nil {
		return err
	}
	return onShelf(tx, call, p.PartID, -min(-by, part.OnHand))
}
