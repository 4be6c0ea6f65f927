package server

import (
	"context"

	"ebbline/dispatch/desk"
	"ebbline/server/api"
)

// GET /addresses
func (h *handlers) FindAddresses(ctx context.Context, r api.FindAddressesRequestObject) (api.FindAddressesResponseObject, error) {
	list, err := h.s.Desk.FindPlaces(ctx, r.Params.BranchID, r.Params.Text)
	if err != nil {
		return nil, err
	}
	return api.FindAddresses200JSONResponse{Items: mapped(list, toAddress)}, nil
}

func toAddress(p desk.FoundPlace) api.Address {
	return api.Address{Label: p.Label, Street: opt(p.Street), City: opt(p.City), Postcode: opt(p.Postcode), LatE7: p.LatE7, LonE7: p.LonE7,
		Precision: string(p.Precision), Straight: p.OffRoad == nil, OffRoadMetres: p.OffRoad}
}

// GET /travel
func (h *handlers) ShowTravel(ctx context.Context, r api.ShowTravelRequestObject) (api.ShowTravelResponseObject, error) {
	t, err := h.s.Desk.Travel(ctx, r.Params.BranchID)
	if err != nil {
		return nil, err
	}
	return api.ShowTravel200JSONResponse{ByRoad: t.Roads != "", Roads: opt(t.Roads), Attribution: opt(t.Attribution), Advice: opt(t.Advice),
		Addresses: t.Addresses, LearntPermille: t.LearntPermille, LearntDrives: t.LearntDrives}, nil
}
