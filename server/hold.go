package server

import (
	"context"
	"time"

	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /holds. Office.
func (h *handlers) ListHolds(ctx context.Context, r api.ListHoldsRequestObject) (api.ListHoldsResponseObject, error) {
	list, err := h.s.Desk.Holds(ctx, r.Params.BranchID)
	if err != nil {
		return nil, err
	}
	now := h.s.Desk.Now()
	return api.ListHolds200JSONResponse{Items: mapped(list, func(x jobs.Hold) api.Hold { return toHold(x, now) })}, nil
}

// POST /holds. Office.
func (h *handlers) HoldWindow(ctx context.Context, r api.HoldWindowRequestObject) (api.HoldWindowResponseObject, error) {
	b := r.Body
	out, err := h.s.Desk.HoldWindow(ctx, h.s.call(ctx, r.Params.IdempotencyKey), jobs.NewHold{JobID: b.JobID, VisitID: b.VisitID, CrewID: b.CrewID,
		FromAt: b.FromAt, ToAt: b.ToAt, StartAt: b.StartAt, Minutes: val(b.Minutes), Note: val(b.Note)})
	if err != nil {
		return nil, err
	}
	x, err := h.s.Desk.Hold(ctx, out.NounID)
	if err != nil {
		return nil, err
	}
	return api.HoldWindow201JSONResponse{Body: toHold(x, h.s.Desk.Now()), Headers: api.HoldWindow201ResponseHeaders{ETag: etag(x.Version), Location: place("holds", x.ID)}}, nil
}

// GET /holds/{id}. Office.
func (h *handlers) ShowHold(ctx context.Context, r api.ShowHoldRequestObject) (api.ShowHoldResponseObject, error) {
	x, err := h.s.Desk.Hold(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ShowHold200JSONResponse{Body: toHold(x, h.s.Desk.Now()), Headers: api.ShowHold200ResponseHeaders{ETag: etag(x.Version)}}, nil
}

// DELETE /holds/{id}. Office.
func (h *handlers) ReleaseHold(ctx context.Context, r api.ReleaseHoldRequestObject) (api.ReleaseHoldResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	if _, err := h.s.Desk.ReleaseHold(ctx, h.s.call(ctx, ""), r.ID, version); err != nil {
		return nil, err
	}
	return api.ReleaseHold204Response{}, nil
}

// POST /holds/{id}/booking. Office.
func (h *handlers) BookHold(ctx context.Context, r api.BookHoldRequestObject) (api.BookHoldResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	if _, err := h.s.Desk.BookHold(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.ID, version); err != nil {
		return nil, err
	}
	x, err := h.s.Desk.Hold(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	return api.BookHold200JSONResponse{Body: toHold(x, h.s.Desk.Now()), Headers: api.BookHold200ResponseHeaders{ETag: etag(x.Version)}}, nil
}

func toHold(x jobs.Hold, now time.Time) api.Hold {
	return api.Hold{ID: x.ID, BranchID: x.BranchID, JobID: x.JobID, JobNumber: x.JobNumber, CustomerName: x.CustomerName, SiteName: x.SiteName,
		VisitID: x.VisitID, FromAt: x.FromAt, ToAt: x.ToAt, CrewID: x.CrewID, CrewName: x.CrewName, StartAt: x.StartAt, UntilAt: x.UntilAt,
		State: api.HoldState(x.Standing(now)), Note: opt(x.Note), By: x.MadeBy, CreatedAt: x.CreatedAt, Version: x.Version}
}
