package server

import (
	"context"
	"strings"

	"ebbline/dispatch/desk"
	"ebbline/server/api"
)

// GET /jobs/{id}/estimate/options. Office.
func (h *handlers) ListOptions(ctx context.Context, r api.ListOptionsRequestObject) (api.ListOptionsResponseObject, error) {
	list, err := h.s.Desk.Options(ctx, r.ID, wish(r.Params.Zones, r.Params.Light, r.Params.Later))
	return api.ListOptions200JSONResponse{Items: mapped(list, toOption)}, err
}

func toOption(o desk.EstimateOption) api.Option {
	return api.Option{
		Key: o.Key, Name: o.Name, Zones: o.Zones, Light: o.Light, Later: strings.Join(o.LeftForLater, ","), Says: texts(o.Says),
		PriceCents: o.Price, DepositCents: o.Deposit, PlanningSeconds: o.Seconds, SavedCentsYear: o.SavedYear, PaybackMonths: o.PaybackMonths,
		LaterPriceCents: o.LaterPrice, TogetherPriceCents: o.Together, Missing: texts(o.Missing),
	}
}

// GET /jobs/{id}/estimate/worth. Office.
func (h *handlers) ListWorth(ctx context.Context, r api.ListWorthRequestObject) (api.ListWorthResponseObject, error) {
	list, err := h.s.Desk.Worth(ctx, r.ID, wish(r.Params.Zones, r.Params.Light, r.Params.Later))
	return api.ListWorth200JSONResponse{Items: mapped(list, toWorth)}, err
}

func toWorth(w desk.Worth) api.Worth {
	out := api.Worth{
		SubjectID: opt(w.SubjectID), Subject: w.Subject, Field: w.Field, Label: w.Label, Why: w.Lack.Why,
		Opens: texts(w.Opens), Checks: texts(w.Checks), SavesCents: int64(w.Cents), SavesSeconds: w.Seconds, SavesWaterSeconds: w.Water,
		StakeCents: int64(w.Stake), StakeSeconds: w.StakeSeconds, BeforeVisit: w.Visit,
	}
	if w.Known != "" {
		known := api.WorthKnown(w.Known)
		out.Known = &known
	}
	return out
}

// GET /branches/{branch_id}/learned-times. Office.
func (h *handlers) ListLearnedTimes(ctx context.Context, r api.ListLearnedTimesRequestObject) (api.ListLearnedTimesResponseObject, error) {
	list, err := h.s.Desk.LearnedTimes(ctx, r.BranchID)
	return api.ListLearnedTimes200JSONResponse{Items: mapped(list, func(l desk.LearnedTime) api.LearnedTime {
		return api.LearnedTime{Kind: l.Kind, Name: l.Name, Visits: l.Visits, NowPermille: l.Now, ProposedPermille: l.Proposed, KeptPermille: l.Kept, At80Permille: l.At80, Says: l.Says}
	})}, err
}
