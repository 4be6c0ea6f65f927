package desk

import (
	"context"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// CreatePart adds to a branch's catalogue. CodeInvalid, CodeNotFound,
// CodeConflict (the code is taken).
func (d *Desk) CreatePart(ctx context.Context, call Call, in jobs.NewPart) (Outcome, error) {
	in.PartData = in.PartData.Clean()
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	p := jobs.Part{ID: d.ids.New(), BranchID: in.BranchID, PartData: in.PartData, Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now}
	return d.act(ctx, call, "createPart", func(tx *store.Tx) (Outcome, error) {
		if _, err := tx.Branch(p.BranchID); err != nil {
			return Outcome{}, err
		}
		return Outcome{Noun: "part", NounID: p.ID, Version: 1, BranchID: p.BranchID}, tx.InsertPart(p)
	})
}

// ChangePart puts new data in place of the old. CodeInvalid, CodeNotFound,
// CodeStale, CodeConflict.
func (d *Desk) ChangePart(ctx context.Context, call Call, id string, version int64, in jobs.PartData) (Outcome, error) {
	in = in.Clean()
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	return d.act(ctx, call, "changePart", func(tx *store.Tx) (Outcome, error) {
		p, err := tx.Part(id)
		if err != nil {
			return Outcome{}, err
		}
		if err := stale("part", p.Version, version); err != nil {
			return Outcome{}, err
		}
		p.PartData, p.UpdatedAt = in, call.Now
		return Outcome{Noun: "part", NounID: id, Version: version + 1, BranchID: p.BranchID}, tx.UpdatePart(p)
	})
}

// Part reads one part. CodeNotFound.
func (d *Desk) Part(ctx context.Context, id string) (jobs.Part, error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.Part, error) { return tx.Part(id) })
}

// Parts reads a part of the catalogue by code.
func (d *Desk) Parts(ctx context.Context, filter store.PartFilter, page jobs.Page) (jobs.List[jobs.Part], error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.List[jobs.Part], error) { return tx.Parts(filter, page) })
}
