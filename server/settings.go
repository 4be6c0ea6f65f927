package server

import (
	"context"
	"encoding/json"

	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /branches/{branch_id}/settings. Office.
func (h *handlers) ShowSettings(ctx context.Context, r api.ShowSettingsRequestObject) (api.ShowSettingsResponseObject, error) {
	s, err := h.settings(ctx, r.BranchID)
	return api.ShowSettings200JSONResponse{Body: s, Headers: api.ShowSettings200ResponseHeaders{ETag: etag(s.Number)}}, err
}

// PUT /branches/{branch_id}/settings. Owner.
func (h *handlers) ChangeSettings(ctx context.Context, r api.ChangeSettingsRequestObject) (api.ChangeSettingsResponseObject, error) {
	number, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	body, err := json.Marshal(r.Body.Body)
	if err != nil {
		return nil, err
	}
	if _, err := h.s.Desk.ChangeSettings(ctx, h.s.call(ctx, ""), r.BranchID, number, body); err != nil {
		return nil, err
	}
	s, err := h.settings(ctx, r.BranchID)
	return api.ChangeSettings200JSONResponse{Body: s, Headers: api.ChangeSettings200ResponseHeaders{ETag: etag(s.Number)}}, err
}

func (h *handlers) settings(ctx context.Context, branchID string) (api.Settings, error) {
	s, err := h.s.Desk.Settings(ctx, branchID)
	if err != nil {
		return api.Settings{}, err
	}
	text, err := jobs.EncodeSettings(s.Settings)
	if err != nil {
		return api.Settings{}, err
	}
	body, err := object(text)
	return api.Settings{BranchID: branchID, Number: s.Number, Body: body, MadeAt: s.MadeAt, MadeBy: s.MadeBy}, err
}
