package desk

import (
	"context"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// SetTake reserves a set from the shelf for a position's part.
type SetTake struct {
	JobPartID string
	Version   int64
	PartID    string // of the catalogue: the set that is taken
}

// TakeSets reserves sets as a look at the week assigned them, all of them or
// none. CodeInvalid, CodeNotFound, CodeStale, CodeConflict (the shelf holds
// fewer, or a part is not needed any more).
func (d *Desk) TakeSets(ctx context.Context, call Call, branchID string, takes []SetTake) (Outcome, error) {
	return d.act(ctx, call, "takeSets", func(tx *store.Tx) (Outcome, error) {
		if _, err := tx.Branch(branchID); err != nil {
			return Outcome{}, err
		}
		var touched []string
		seen := map[string]bool{}
		for _, take := range takes {
			jobID, err := takeSet(tx, call, branchID, take)
			if err != nil {
				return Outcome{}, err
			}
			if !seen[jobID] {
				seen[jobID] = true
				touched = append(touched, jobID)
			}
		}
		for _, id := range touched {
			if _, err := d.settleReady(tx, call, id); err != nil {
				return Outcome{}, err
			}
		}
		return Outcome{Noun: "branch", NounID: branchID, BranchID: branchID}, nil
	})
}

func takeSet(tx *store.Tx, call Call, branchID string, take SetTake) (jobID string, err error) {
	p, err := tx.JobPart(take.JobPartID)
	if err != nil {
		return "", err
	}
	j, err := tx.Job(p.JobID)
	if err != nil {
		return "", err
	}
	if j.BranchID != branchID {
		return "", jobs.Faults{{Field: "job_part_id", Value: p.ID, Want: "a part of a job of this branch"}}.Err()
	}
	if err := stale("part of the job", p.Version, take.Version); err != nil {
		return "", err
	}
	if p.State != jobs.PartNeeded {
		return "", jobs.Errorf(jobs.CodeConflict, "%s of job %d is %s; only what is needed can be reserved", p.Name, j.Number, p.State.Label())
	}
	if err := ofBranch(tx, take.PartID, branchID); err != nil {
		return "", err
	}
	part, err := tx.Part(take.PartID)
	if err != nil {
		return "", err
	}
	if part.LengthUM == nil {
		return "", jobs.Faults{{Field: "part_id", Value: part.Code, Want: "a light-and-cord set, which has a length"}}.Err()
	}
	p.PartID, p.Name, p.State, p.UpdatedAt = part.ID, part.Name, jobs.PartReserved, call.Now
	if err := tx.UpdateJobPart(p); err != nil {
		return "", err
	}
	return p.JobID, onShelf(tx, call, part.ID, jobs.ShelfChange(jobs.PartNeeded, jobs.PartReserved, p.Quantity))
}
