package server

import (
	"context"
	"encoding/json"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /drafts. Office.
func (h *handlers) ListDrafts(ctx context.Context, r api.ListDraftsRequestObject) (api.ListDraftsResponseObject, error) {
	list, err := h.s.Desk.Drafts(ctx, desk.DraftFilter{BranchID: r.Params.BranchID, FirstDay: jobs.Day(val(r.Params.FirstDay))},
		page(r.Params.After, r.Params.Limit))
	if err != nil {
		return nil, err
	}
	return api.ListDrafts200JSONResponse{Items: mapped(list.Items, toDraft), Next: opt(list.Next)}, nil
}

// POST /drafts. Office.
func (h *handlers) CreateDraft(ctx context.Context, r api.CreateDraftRequestObject) (api.CreateDraftResponseObject, error) {
	out, err := h.s.Desk.CreateDraft(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.Body.BranchID,
		jobs.NewDraft{FirstDay: jobs.Day(r.Body.FirstDay), Days: r.Body.Days})
	if err != nil {
		return nil, err
	}
	x, err := h.s.Desk.Draft(ctx, out.NounID)
	if err != nil {
		return nil, err
	}
	return api.CreateDraft201JSONResponse{Body: toDraft(x), Headers: api.CreateDraft201ResponseHeaders{ETag: etag(x.Version), Location: place("drafts", x.ID)}}, nil
}

// GET /drafts/{id}. Office.
func (h *handlers) ShowDraft(ctx context.Context, r api.ShowDraftRequestObject) (api.ShowDraftResponseObject, error) {
	x, err := h.s.Desk.Draft(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ShowDraft200JSONResponse{Body: toDraft(x), Headers: api.ShowDraft200ResponseHeaders{ETag: etag(x.Version)}}, nil
}

// DELETE /drafts/{id}. Office.
func (h *handlers) DropDraft(ctx context.Context, r api.DropDraftRequestObject) (api.DropDraftResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	if _, err := h.s.Desk.DropDraft(ctx, h.s.call(ctx, ""), r.ID, version); err != nil {
		return nil, err
	}
	return api.DropDraft204Response{}, nil
}

// GET /drafts/{id}/file. Office.
func (h *handlers) ShowDraftFile(ctx context.Context, r api.ShowDraftFileRequestObject) (api.ShowDraftFileResponseObject, error) {
	f, err := h.s.Desk.DraftFile(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	var out api.ShowDraftFile200JSONResponse
	if err := json.Unmarshal(f.Week, &out.Week); err != nil {
		return nil, err
	}
	if f.Plan != nil {
		out.Plan = &map[string]any{}
		err = json.Unmarshal(f.Plan, out.Plan)
	}
	return out, err
}

// GET /drafts/{id}/week. Office.
func (h *handlers) ShowDraftWeek(ctx context.Context, r api.ShowDraftWeekRequestObject) (api.ShowDraftWeekResponseObject, error) {
	v, err := h.s.Desk.DraftWeek(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ShowDraftWeek200JSONResponse(toWeekView(v)), nil
}

// GET /drafts/{id}/told. Office.
func (h *handlers) ShowTold(ctx context.Context, r api.ShowToldRequestObject) (api.ShowToldResponseObject, error) {
	list, err := h.s.Desk.Told(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ShowTold200JSONResponse{Items: mapped(list, func(l desk.ToldLine) api.ToldLine {
		return api.ToldLine{Who: l.Who, Reader: api.ToldLineReader(l.Reader), JobNumber: opt(l.JobNumber), Kind: string(l.Kind), Says: l.Says,
			Change: api.ToldLineChange(l.Change)}
	})}, nil
}

// POST /drafts/{id}/hand-out. Office.
func (h *handlers) HandOut(ctx context.Context, r api.HandOutRequestObject) (api.HandOutResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	out, err := h.s.Desk.HandOut(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.ID, version)
	if err != nil {
		return nil, err
	}
	x, err := h.s.Desk.Plan(ctx, out.NounID)
	if err != nil {
		return nil, err
	}
	return api.HandOut200JSONResponse{Body: toPlan(x), Headers: api.HandOut200ResponseHeaders{ETag: etag(x.Number)}}, nil
}

func toDraft(x jobs.Draft) api.Draft {
	late := x.Outdated
	return api.Draft{Outdated: &late, ID: x.ID, BranchID: x.BranchID, FirstDay: string(x.FirstDay), Days: x.Days, BasePlanNumber: x.BasePlanNumber,
		State: api.DraftState(x.State), CostCents: (*int64)(x.Cost), LeftOut: x.LeftOut, RunID: opt(x.RunID), Upset: toUpset(x.Upset), MadeBy: x.MadeBy,
		CreatedAt: x.CreatedAt, Version: x.Version}
}
