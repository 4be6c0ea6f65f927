package server

import (
	"context"

	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /homes. Office.
func (h *handlers) ListHomes(ctx context.Context, r api.ListHomesRequestObject) (api.ListHomesResponseObject, error) {
	list, err := h.s.Desk.Homes(ctx, r.Params.BranchID)
	if err != nil {
		return nil, err
	}
	return api.ListHomes200JSONResponse{Items: mapped(list, toHome)}, nil
}

// POST /homes. Office.
func (h *handlers) CreateHome(ctx context.Context, r api.CreateHomeRequestObject) (api.CreateHomeResponseObject, error) {
	out, err := h.s.Desk.CreateHome(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.Body.BranchID,
		jobs.HomeData{Name: r.Body.Name, Street: r.Body.Street, LatE7: r.Body.LatE7, LonE7: r.Body.LonE7})
	if err != nil {
		return nil, err
	}
	x, err := h.s.Desk.Home(ctx, out.NounID)
	if err != nil {
		return nil, err
	}
	return api.CreateHome201JSONResponse{Body: toHome(x), Headers: api.CreateHome201ResponseHeaders{ETag: etag(x.Version), Location: place("homes", x.ID)}}, nil
}

// PUT /homes/{id}. Office.
func (h *handlers) ChangeHome(ctx context.Context, r api.ChangeHomeRequestObject) (api.ChangeHomeResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	in := jobs.HomeData{Name: r.Body.Name, Street: r.Body.Street, LatE7: r.Body.LatE7, LonE7: r.Body.LonE7}
	if _, err := h.s.Desk.ChangeHome(ctx, h.s.call(ctx, ""), r.ID, version, in); err != nil {
		return nil, err
	}
	x, err := h.s.Desk.Home(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ChangeHome200JSONResponse{Body: toHome(x), Headers: api.ChangeHome200ResponseHeaders{ETag: etag(x.Version)}}, nil
}

func toHome(x jobs.Home) api.Home {
	return api.Home{ID: x.ID, BranchID: x.BranchID, Name: x.Name, Street: x.Street, LatE7: x.LatE7, LonE7: x.LonE7, Version: x.Version}
}
