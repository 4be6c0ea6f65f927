package desk

import (
	"context"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// CreateBranch opens a yard. CodeInvalid.
func (d *Desk) CreateBranch(ctx context.Context, call Call, name, zone string) (Outcome, error) {
	b := jobs.Branch{ID: d.ids.New(), Name: jobs.CleanLine(name), Zone: zone, Version: 1}
	var f jobs.Faults
	f.Line("name", b.Name, 1, jobs.MaxName)
	_, err := time.LoadLocation(zone)
	f.Check(err == nil && zone != "" && zone != "Local", "zone", zone, "an IANA time zone such as America/Phoenix")
	if err := f.Err(); err != nil {
		return Outcome{}, err
	}
	return d.act(ctx, call, "createBranch", func(tx *store.Tx) (Outcome, error) {
		return Outcome{Noun: "branch", NounID: b.ID, Version: 1, BranchID: b.ID}, tx.InsertBranch(b, call.Now)
	})
}

// Branches reads all branches by name.
func (d *Desk) Branches(ctx context.Context) ([]jobs.Branch, error) {
	return read(ctx, d, (*store.Tx).Branches)
}
