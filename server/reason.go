package server

import (
	"context"

	"ebbline/dispatch/desk"
	"ebbline/server/api"
)

// GET /reasons. Office.
func (h *handlers) ListReasons(ctx context.Context, r api.ListReasonsRequestObject) (api.ListReasonsResponseObject, error) {
	x, err := h.s.Desk.Why(ctx, viewOf(r.Params.DraftID, r.Params.BranchID, r.Params.PlanNumber), r.Params.JobID)
	if err != nil {
		return nil, err
	}
	out := api.ListReasons200JSONResponse{View: toViewRef(x.View), JobID: x.Job.ID, JobNumber: x.Job.Number, CustomerName: x.Job.CustomerName,
		SiteName: x.Job.SiteName, Sets: mapped(x.Sets, toReasonSet), Says: mapped(x.Says, func(s string) string { return s })}
	if f := x.Fits; f != nil {
		out.Fits = &api.ReasonFits{Text: f.Text, DeltaCents: int64(f.Delta), CrewID: opt(f.CrewID), CrewName: opt(f.CrewName), StartAt: opt(f.StartAt)}
		out.CustomerSays = opt(f.Customer)
	} else if len(x.Sets) > 0 {
		out.CustomerSays = opt(x.Sets[0].Customer)
	}
	return out, nil
}

func toReasonSet(s desk.Reason) api.ReasonSet {
	return api.ReasonSet{Facts: mapped(s.Facts, func(f string) string { return f }), Text: s.Text, CustomerSays: opt(s.Customer), DeltaCents: int64(s.Delta),
		CrewID: opt(s.CrewID), CrewName: opt(s.CrewName), StartAt: opt(s.StartAt)}
}
