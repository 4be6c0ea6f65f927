package server

import (
	"context"

	"ebbline/dispatch/desk"
	"ebbline/server/api"
)

// GET /comparison. Office.
func (h *handlers) ShowComparison(ctx context.Context, r api.ShowComparisonRequestObject) (api.ShowComparisonResponseObject, error) {
	c, err := h.s.Desk.Compare(ctx, r.Params.DraftID, val(r.Params.WithDraftID))
	if err != nil {
		return nil, err
	}
	return api.ShowComparison200JSONResponse{DraftID: c.DraftID, WithDraftID: opt(c.WithDraftID), WithPlanNumber: opt(c.WithPlan),
		TotalCents: int64(c.Total), WithTotalCents: int64(c.With), LeftOut: c.LeftOut, WithLeftOut: c.WithLeftOut, Says: c.Says,
		Heads: mapped(c.Heads, func(x desk.ComparedHead) api.ComparedHead {
			return api.ComparedHead{Head: x.Head, Label: x.Label, Cents: int64(x.Cents), WithCents: int64(x.With)}
		}),
		Jobs: mapped(c.Jobs, func(x desk.ComparedJob) api.ComparedJob {
			return api.ComparedJob{JobID: x.Job.ID, JobNumber: x.Job.Number, CustomerName: x.Job.CustomerName, SiteName: x.Job.SiteName,
				Change: api.ComparedJobChange(x.Change), Visits: mapped(x.Visits, toMovedVisit), Says: x.Says}
		})}, nil
}
