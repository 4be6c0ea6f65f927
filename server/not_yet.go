package server

import (
	"context"

	"ebbline/jobs"
	"ebbline/server/api"
)

// Operations of the contract that are still to be filled in.
var errNotYet = jobs.Errorf(jobs.CodeUnavailable, "This is not there yet")

func (h *handlers) TryChange(context.Context, api.TryChangeRequestObject) (api.TryChangeResponseObject, error) {
	return nil, errNotYet
}

func (h *handlers) TakeChange(context.Context, api.TakeChangeRequestObject) (api.TakeChangeResponseObject, error) {
	return nil, errNotYet
}

func (h *handlers) ListPlaces(context.Context, api.ListPlacesRequestObject) (api.ListPlacesResponseObject, error) {
	return nil, errNotYet
}

func (h *handlers) ListReasons(context.Context, api.ListReasonsRequestObject) (api.ListReasonsResponseObject, error) {
	return nil, errNotYet
}

func (h *handlers) ShowOdds(context.Context, api.ShowOddsRequestObject) (api.ShowOddsResponseObject, error) {
	return nil, errNotYet
}

func (h *handlers) ListStandby(context.Context, api.ListStandbyRequestObject) (api.ListStandbyResponseObject, error) {
	return nil, errNotYet
}

func (h *handlers) ShowComparison(context.Context, api.ShowComparisonRequestObject) (api.ShowComparisonResponseObject, error) {
	return nil, errNotYet
}

func (h *handlers) ListOffers(context.Context, api.ListOffersRequestObject) (api.ListOffersResponseObject, error) {
	return nil, errNotYet
}

func (h *handlers) ListHolds(context.Context, api.ListHoldsRequestObject) (api.ListHoldsResponseObject, error) {
	return nil, errNotYet
}

func (h *handlers) HoldWindow(context.Context, api.HoldWindowRequestObject) (api.HoldWindowResponseObject, error) {
	return nil, errNotYet
}

func (h *handlers) ShowHold(context.Context, api.ShowHoldRequestObject) (api.ShowHoldResponseObject, error) {
	return nil, errNotYet
}

func (h *handlers) ReleaseHold(context.Context, api.ReleaseHoldRequestObject) (api.ReleaseHoldResponseObject, error) {
	return nil, errNotYet
}

func (h *handlers) BookHold(context.Context, api.BookHoldRequestObject) (api.BookHoldResponseObject, error) {
	return nil, errNotYet
}

func (h *handlers) MendWeek(context.Context, api.MendWeekRequestObject) (api.MendWeekResponseObject, error) {
	return nil, errNotYet
}

func (h *handlers) ShowDayNow(context.Context, api.ShowDayNowRequestObject) (api.ShowDayNowResponseObject, error) {
	return nil, errNotYet
}
