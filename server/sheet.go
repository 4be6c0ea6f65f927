package server

import (
	"context"

	"ebbline/server/api"
)

// GET /jobs/{id}/sheet. A tech sees the own crew's jobs, without prices.
func (h *handlers) ShowPoolSheet(ctx context.Context, r api.ShowPoolSheetRequestObject) (api.ShowPoolSheetResponseObject, error) {
	s, err := h.s.Desk.PoolSheet(ctx, h.s.call(ctx, "").Actor, r.ID)
	if err != nil {
		return nil, err
	}
	out := api.ShowPoolSheet200JSONResponse{Job: toJob(s.Job), Site: toSite(s.Site), Customer: toCustomer(s.Customer), Specs: mapped(s.Specs, toSpec),
		Parts: mapped(s.Parts, toJobPart), Stops: mapped(s.Stops, toTodayStop), Cautions: texts(s.Cautions)}
	if s.Strip != nil {
		strip := toStrip(*s.Strip)
		out.Strip = &strip
	}
	if s.Estimate != nil {
		e, err := toEstimate(*s.Estimate)
		if err != nil {
			return nil, err
		}
		out.Estimate = &e
	}
	return out, nil
}
