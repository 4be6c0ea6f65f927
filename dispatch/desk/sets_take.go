package desk

import (
	"cmp"
	"context"
	"slices"

	"ebbline/estimate"
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
// fewer, a part is not needed any more, or the set is too short or another light
// by the job's newest estimate).
func (d *Desk) TakeSets(ctx context.Context, call Call, branchID string, takes []SetTake) (Outcome, error) {
	return d.act(ctx, call, "takeSets", func(tx *store.Tx) (Outcome, error) {
		if _, err := tx.Branch(branchID); err != nil {
			return Outcome{}, err
		}
		c, _, err := catalogueNow(tx, branchID)
		if err != nil {
			return Outcome{}, err
		}
		var touched []string
		seen := map[string]bool{}
		for _, take := range takes {
			jobID, err := takeSet(tx, call, c, branchID, take)
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

func takeSet(tx *store.Tx, call Call, c catalogue, branchID string, take SetTake) (jobID string, err error) {
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
	if !slices.Contains(takesSets, j.State) { // declined or parked since the week was looked at
		return "", jobs.Errorf(jobs.CodeConflict, "Job %d is %s; no set is reserved for it", j.Number, j.State.Label())
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
	if err := serves(tx, j, p, part, c.sizes[part.ID]); err != nil {
		return "", err
	}
	p.PartID, p.Name, p.State, p.UpdatedAt = part.ID, part.Name, jobs.PartReserved, call.Now
	if err := tx.UpdateJobPart(p); err != nil {
		return "", err
	}
	return p.JobID, onShelf(tx, call, part.ID, jobs.ShelfChange(jobs.PartNeeded, jobs.PartReserved, p.Quantity))
}

// serves refuses a set that does not reach: a cord can't be spliced, so what is
// reserved too short would be found out at the pool.
func serves(tx *store.Tx, j jobs.Job, p jobs.JobPart, part jobs.Part, size jobs.SetSize) error {
	if j.EstimateID == "" {
		return nil // a part listed by hand
	}
	kept, err := tx.Estimate(j.EstimateID)
	if err != nil {
		return err
	}
	e, err := estimate.Decode(kept.Body)
	if err != nil {
		return err
	}
	for _, c := range e.Cords {
		switch {
		case c.Position != p.SubjectID || p.SubjectID == "" || !c.Needed.Known:
		case *part.LengthUM < c.Needed.High:
			return jobs.Errorf(jobs.CodeConflict, "%s of job %d needs up to %s of cord; %s has %s", c.Name, j.Number, jobs.FeetInches(c.Needed.High), part.Name, jobs.FeetInches(*part.LengthUM))
		case size.Light != c.Light:
			return jobs.Errorf(jobs.CodeConflict, "%s of job %d takes the light %s; %s is %s", c.Name, j.Number, c.Light, part.Name, cmp.Or(size.Light, "none of the catalogue's"))
		}
	}
	return nil
}
