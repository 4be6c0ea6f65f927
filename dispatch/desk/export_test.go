package desk

import (
	"context"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// KeptOut says for tests which jobs could not be put to the planner, and why.
func (d *Desk) KeptOut(ctx context.Context, branchID string, in jobs.NewDraft) (map[int64][]string, error) {
	_, out, _, err := d.buildWeek(ctx, branchID, in, Call{Now: d.Now()})
	reasons := map[int64][]string{}
	for _, k := range out {
		reasons[k.Job.Number] = k.Reasons
	}
	return reasons, err
}

// LoadFor says for tests what goes on a truck for these visits of jobs.
func (d *Desk) LoadFor(ctx context.Context, branchID string, stops ...jobs.Stop) ([]string, error) {
	return read(ctx, d, func(tx *store.Tx) ([]string, error) {
		t := Today{Crew: jobs.Crew{BranchID: branchID}}
		fill := filler{tx: tx, zone: time.UTC}
		for _, s := range stops {
			one, err := fill.stop(s)
			if err != nil {
				return nil, err
			}
			t.Stops = append(t.Stops, one)
		}
		return loadOf(tx, t)
	})
}
