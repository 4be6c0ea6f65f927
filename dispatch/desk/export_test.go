package desk

import (
	"context"

	"ebbline/jobs"
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
