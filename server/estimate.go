package server

import (
	"bytes"
	"context"
	"encoding/json"

	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /jobs/{id}/estimate. Office.
func (h *handlers) ShowEstimate(ctx context.Context, r api.ShowEstimateRequestObject) (api.ShowEstimateResponseObject, error) {
	e, err := h.s.Desk.Estimate(ctx, r.ID, wish(r.Params.Zones, r.Params.Light, r.Params.Later))
	if err != nil {
		return nil, err
	}
	out, err := toEstimate(e)
	return api.ShowEstimate200JSONResponse(out), err
}

// POST /jobs/{id}/estimates. Office.
func (h *handlers) MakeEstimate(ctx context.Context, r api.MakeEstimateRequestObject) (api.MakeEstimateResponseObject, error) {
	made, err := h.s.Desk.MakeEstimate(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.ID, wish(r.Params.Zones, r.Params.Light, r.Params.Later))
	if err != nil {
		return nil, err
	}
	e, err := h.s.Desk.KeptEstimate(ctx, made.NounID)
	if err != nil {
		return nil, err
	}
	out, err := toEstimate(e)
	return api.MakeEstimate201JSONResponse{Body: out, Headers: api.MakeEstimate201ResponseHeaders{Location: place("estimates", e.ID)}}, err
}

// GET /estimates/{id}. Office.
func (h *handlers) ShowKeptEstimate(ctx context.Context, r api.ShowKeptEstimateRequestObject) (api.ShowKeptEstimateResponseObject, error) {
	e, err := h.s.Desk.KeptEstimate(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	out, err := toEstimate(e)
	return api.ShowKeptEstimate200JSONResponse(out), err
}

func wish(zones *int64, light, later *string) jobs.EstimateWish {
	return jobs.EstimateWish{Zones: int(val(zones)), Light: val(light), Later: jobs.SplitLater(val(later))}
}

func toEstimate(e jobs.Estimate) (api.Estimate, error) {
	body, err := object(e.Body)
	return api.Estimate{
		ID: opt(e.ID), JobID: e.JobID, Number: opt(e.Number), SurveyVersion: e.SurveyVersion, SettingsNumber: e.SettingsNumber,
		MedianSeconds: e.MedianSeconds, PlanningSeconds: e.PlanningSeconds, PriceCents: (*int64)(e.Price),
		Missing: mapped(e.Missing, toMissing), Body: body, MadeAt: moment(e.MadeAt), MadeBy: opt(e.MadeBy),
	}, err
}

// object is stored JSON as an object of the contract; whole numbers stay whole.
func object(text json.RawMessage) (map[string]any, error) {
	out := map[string]any{}
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	return out, d.Decode(&out)
}
