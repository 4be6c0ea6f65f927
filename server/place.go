package server

import (
	"context"

	"ebbline/dispatch/desk"
	"ebbline/server/api"
)

// GET /places. Office.
func (h *handlers) ListPlaces(ctx context.Context, r api.ListPlacesRequestObject) (api.ListPlacesResponseObject, error) {
	p, err := h.s.Desk.Places(ctx, viewOf(r.Params.DraftID, r.Params.BranchID, r.Params.PlanNumber), r.Params.VisitID)
	if err != nil {
		return nil, err
	}
	return api.ListPlaces200JSONResponse{View: toViewRef(p.View), VisitID: p.VisitID, Says: p.Says, Items: mapped(p.Items, toSpot)}, nil
}

func toSpot(s desk.Spot) api.Spot {
	return api.Spot{CrewID: s.CrewID, CrewName: s.CrewName, Day: string(s.Day), AfterVisitID: opt(s.AfterVisitID), StartAt: s.StartAt, EndAt: s.EndAt,
		DeltaCents: int64(s.Delta), Deltas: mapped(s.Deltas, toCostHead)}
}
