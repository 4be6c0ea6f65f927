package server

import (
	"context"

	"ebbline/dispatch/desk"
	"ebbline/server/api"
)

// GET /standby. Office.
func (h *handlers) ListStandby(ctx context.Context, r api.ListStandbyRequestObject) (api.ListStandbyResponseObject, error) {
	view, list, err := h.s.Desk.Standby(ctx, viewOf(r.Params.DraftID, r.Params.BranchID, r.Params.PlanNumber))
	if err != nil {
		return nil, err
	}
	return api.ListStandby200JSONResponse{View: toViewRef(view), Items: mapped(list, toStandbyJob)}, nil
}

func toStandbyJob(s desk.StandbyJob) api.StandbyJob {
	out := api.StandbyJob{JobID: s.Job.ID, JobNumber: s.Job.Number, CustomerName: s.Job.CustomerName, SiteName: s.Job.SiteName,
		ValueCents: (*int64)(s.Job.Value), DueDay: opt(string(s.Job.DueDay)), PlannedAt: opt(s.PlannedAt), CouldAt: opt(s.CouldAt),
		CrewID: opt(s.CrewID), CrewName: opt(s.CrewName), Says: s.Says}
	if out.CouldAt != nil {
		delta := int64(s.Delta)
		out.DeltaCents = &delta
	}
	return out
}
