package server

import (
	"context"

	"ebbline/jobs"
	"ebbline/server/api"
)

// POST /drafts/{id}/runs. Office.
func (h *handlers) StartPlanRun(ctx context.Context, r api.StartPlanRunRequestObject) (api.StartPlanRunResponseObject, error) {
	var in jobs.RunData
	if r.Body != nil {
		in = jobs.RunData{Seed: val(r.Body.Seed), Strands: val(r.Body.Strands), Rounds: val(r.Body.Rounds), Seconds: val(r.Body.Seconds),
			KeepPermille: val(r.Body.KeepPermille)}
	}
	out, err := h.s.Desk.StartPlanRun(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.ID, in)
	if err != nil {
		return nil, err
	}
	x, err := h.s.Desk.PlanRun(ctx, out.NounID)
	if err != nil {
		return nil, err
	}
	return api.StartPlanRun201JSONResponse{Body: toPlanRun(x), Headers: api.StartPlanRun201ResponseHeaders{Location: place("plan-runs", x.ID)}}, nil
}

// GET /plan-runs/{id}. Office.
func (h *handlers) ShowPlanRun(ctx context.Context, r api.ShowPlanRunRequestObject) (api.ShowPlanRunResponseObject, error) {
	x, err := h.s.Desk.PlanRun(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ShowPlanRun200JSONResponse(toPlanRun(x)), nil
}

// POST /plan-runs/{id}/stop. Office.
func (h *handlers) StopPlanRun(ctx context.Context, r api.StopPlanRunRequestObject) (api.StopPlanRunResponseObject, error) {
	if _, err := h.s.Desk.StopPlanRun(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.ID); err != nil {
		return nil, err
	}
	x, err := h.s.Desk.PlanRun(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	return api.StopPlanRun200JSONResponse(toPlanRun(x)), nil
}

func toPlanRun(x jobs.PlanRun) api.PlanRun {
	heads := mapped(x.Heads, toCostHead)
	mode, series := api.PlanRunMode(x.Mode), mapped(x.Series, toRunPoint)
	return api.PlanRun{Mode: opt(mode), Series: &series, KeepPermille: opt(x.KeepPermille), KeptPermille: x.Kept, ID: x.ID, DraftID: x.DraftID, State: api.PlanRunState(x.State), Seed: x.Seed, Strands: x.Strands, Rounds: x.Rounds,
		Seconds: x.Seconds, DoneRounds: x.DoneRounds, BestCents: (*int64)(x.Best), Placed: x.Placed, LeftOut: x.LeftOut, Heads: &heads,
		StopAsked: x.StopAsked, Error: opt(x.Error), CreatedAt: x.CreatedAt, StartedAt: opt(x.StartedAt), EndedAt: opt(x.EndedAt)}
}

func toRunPoint(p jobs.RunPoint) api.RunPoint {
	return api.RunPoint{ElapsedMs: p.ElapsedMS, Round: p.Round, TotalCents: int64(p.Total), LeftOut: p.LeftOut, Heads: mapped(p.Heads, toCostHead)}
}

func toCostHead(c jobs.CostHead) api.CostHead {
	return api.CostHead{Head: c.Head, Label: c.Label, Cents: int64(c.Cents)}
}
