package server

import (
	"context"

	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /closures. Office.
func (h *handlers) ListClosures(ctx context.Context, r api.ListClosuresRequestObject) (api.ListClosuresResponseObject, error) {
	list, err := h.s.Desk.Closures(ctx, r.Params.BranchID, jobs.Day(r.Params.From), jobs.Day(r.Params.To))
	if err != nil {
		return nil, err
	}
	return api.ListClosures200JSONResponse{Items: mapped(list, toClosure)}, nil
}

// POST /closures. Office.
func (h *handlers) CreateClosure(ctx context.Context, r api.CreateClosureRequestObject) (api.CreateClosureResponseObject, error) {
	in := jobs.ClosureData{Kind: jobs.ClosureKind(r.Body.Kind), SiteID: val(r.Body.SiteID), Area: val(r.Body.Area), FromAt: r.Body.FromAt,
		ToAt: r.Body.ToAt, StopsPumping: r.Body.StopsPumping, Reason: r.Body.Reason}
	out, err := h.s.Desk.CreateClosure(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.Body.BranchID, in)
	if err != nil {
		return nil, err
	}
	x, err := h.s.Desk.Closure(ctx, out.NounID)
	if err != nil {
		return nil, err
	}
	return api.CreateClosure201JSONResponse{Body: toClosure(x), Headers: api.CreateClosure201ResponseHeaders{ETag: etag(x.Version), Location: place("closures", x.ID)}}, nil
}

// DELETE /closures/{id}. Office.
func (h *handlers) RemoveClosure(ctx context.Context, r api.RemoveClosureRequestObject) (api.RemoveClosureResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	if _, err := h.s.Desk.RemoveClosure(ctx, h.s.call(ctx, ""), r.ID, version); err != nil {
		return nil, err
	}
	return api.RemoveClosure204Response{}, nil
}

func toClosure(x jobs.Closure) api.Closure {
	return api.Closure{ID: x.ID, BranchID: x.BranchID, Kind: api.ClosureKind(x.Kind), SiteID: opt(x.SiteID), Area: opt(x.Area),
		FromAt: x.FromAt, ToAt: x.ToAt, StopsPumping: x.StopsPumping, Reason: x.Reason, Version: x.Version}
}
