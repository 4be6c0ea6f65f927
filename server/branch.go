package server

import (
	"context"

	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /branches. Anyone signed in.
func (h *handlers) ListBranches(ctx context.Context, _ api.ListBranchesRequestObject) (api.ListBranchesResponseObject, error) {
	list, err := h.s.Desk.Branches(ctx)
	if err != nil {
		return nil, err
	}
	return api.ListBranches200JSONResponse{Items: mapped(list, toBranch)}, nil
}

func toBranch(b jobs.Branch) api.Branch {
	return api.Branch{ID: b.ID, Name: b.Name, Zone: b.Zone, Version: b.Version}
}
