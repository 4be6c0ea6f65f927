package server

import (
	"context"

	"ebbline/dispatch/desk"
	"ebbline/server/api"
)

// POST /tries. Office.
func (h *handlers) TryChange(ctx context.Context, r api.TryChangeRequestObject) (api.TryChangeResponseObject, error) {
	t, err := h.s.Desk.Try(ctx, fromViewRef(r.Body.View), fromWeekChange(r.Body.Change))
	if err != nil {
		return nil, err
	}
	return api.TryChange200JSONResponse(toTried(t)), nil
}

// POST /changes. Office.
func (h *handlers) TakeChange(ctx context.Context, r api.TakeChangeRequestObject) (api.TakeChangeResponseObject, error) {
	out, err := h.s.Desk.TakeChange(ctx, h.s.call(ctx, r.Params.IdempotencyKey), fromViewRef(r.Body.View), fromWeekChange(r.Body.Change))
	if err != nil {
		return nil, err
	}
	x, err := h.s.Desk.Draft(ctx, out.NounID)
	if err != nil {
		return nil, err
	}
	return api.TakeChange201JSONResponse{Body: toDraft(x), Headers: api.TakeChange201ResponseHeaders{ETag: etag(x.Version), Location: place("drafts", x.ID)}}, nil
}

func toTried(t desk.Tried) api.Tried {
	out := api.Tried{View: toViewRef(t.View), Fits: t.Fits, TotalBeforeCents: int64(t.TotalBefore), HeadsBefore: mapped(t.HeadsBefore, toCostHead),
		Moved: mapped(t.Moved, toMovedVisit), JobsOut: mapped(t.Out, toJobRef), JobsIn: mapped(t.In, toJobRef), Late: mapped(t.Late, toLatePromise),
		Limits: mapped(t.Limits, toBrokenLimit), Says: t.Says}
	if t.Fits {
		after, delta := int64(t.TotalAfter), int64(t.TotalAfter-t.TotalBefore)
		out.TotalAfterCents, out.DeltaCents, out.HeadsAfter, out.Deltas = &after, &delta, heads(t.HeadsAfter), heads(t.Deltas)
	}
	return out
}

func toBrokenLimit(l desk.Limit) api.BrokenLimit {
	return api.BrokenLimit{Rule: l.Rule, VisitID: opt(l.VisitID), JobID: opt(l.JobID), CrewID: opt(l.CrewID), Day: opt(string(l.Day)), By: l.By, Unit: l.Unit, Text: l.Text}
}
