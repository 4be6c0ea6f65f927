package server

import (
	"context"

	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /pumps. Office.
func (h *handlers) ListPumps(ctx context.Context, r api.ListPumpsRequestObject) (api.ListPumpsResponseObject, error) {
	list, err := h.s.Desk.Pumps(ctx, r.Params.BranchID)
	if err != nil {
		return nil, err
	}
	return api.ListPumps200JSONResponse{Items: mapped(list, toPump)}, nil
}

// POST /pumps. Office.
func (h *handlers) CreatePump(ctx context.Context, r api.CreatePumpRequestObject) (api.CreatePumpResponseObject, error) {
	in := jobs.PumpData{HomeID: r.Body.HomeID, Name: r.Body.Name, State: jobs.PumpState(r.Body.State), FlowMLPS: r.Body.FlowMlPerS, Note: val(r.Body.Note)}
	out, err := h.s.Desk.CreatePump(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.Body.BranchID, in)
	if err != nil {
		return nil, err
	}
	x, err := h.s.Desk.Pump(ctx, out.NounID)
	if err != nil {
		return nil, err
	}
	return api.CreatePump201JSONResponse{Body: toPump(x), Headers: api.CreatePump201ResponseHeaders{ETag: etag(x.Version), Location: place("pumps", x.ID)}}, nil
}

// PUT /pumps/{id}. Office.
func (h *handlers) ChangePump(ctx context.Context, r api.ChangePumpRequestObject) (api.ChangePumpResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	in := jobs.PumpData{HomeID: r.Body.HomeID, Name: r.Body.Name, State: jobs.PumpState(r.Body.State), FlowMLPS: r.Body.FlowMlPerS, Note: val(r.Body.Note)}
	if _, err := h.s.Desk.ChangePump(ctx, h.s.call(ctx, ""), r.ID, version, in); err != nil {
		return nil, err
	}
	x, err := h.s.Desk.Pump(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ChangePump200JSONResponse{Body: toPump(x), Headers: api.ChangePump200ResponseHeaders{ETag: etag(x.Version)}}, nil
}

func toPump(x jobs.Pump) api.Pump {
	return api.Pump{ID: x.ID, BranchID: x.BranchID, HomeID: x.HomeID, Name: x.Name, State: api.PumpState(x.State), FlowMlPerS: x.FlowMLPS,
		Note: opt(x.Note), Version: x.Version}
}
