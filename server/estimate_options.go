package server

import (
	"context"
	"strings"

	"ebbline/dispatch/desk"
	"ebbline/estimate"
	"ebbline/server/api"
)

// GET /jobs/{id}/estimate/options. Office.
func (h *handlers) ListOptions(ctx context.Context, r api.ListOptionsRequestObject) (api.ListOptionsResponseObject, error) {
	list, err := h.s.Desk.Options(ctx, r.ID, wish(r.Params.Zones, r.Params.Light, r.Params.Later))
	return api.ListOptions200JSONResponse{Items: mapped(list, toOption)}, err
}

func toOption(o estimate.Option) api.Option {
	out := api.Option{
		Key: o.Key, Name: o.Name, Zones: int64(o.Ask.Zones), Light: o.Ask.Light, Later: strings.Join(o.Ask.Later, ","), Says: texts(o.Says),
		PriceCents: figureCents(o.Price), DepositCents: figureCents(o.Deposit), PlanningSeconds: figureCents(o.Time),
		SavedCentsYear: figureCents(o.Saved), PaybackMonths: figureCents(o.Payback),
		Missing: mapped(o.Price.Missing, func(m estimate.Miss) string { return m.Text }),
	}
	if o.Later != nil {
		out.LaterPriceCents = figureCents(*o.Later)
	}
	if o.Together != nil {
		out.TogetherPriceCents = figureCents(*o.Together)
	}
	return out
}

// figureCents is a figure's whole number; absent while it is not known.
func figureCents(f estimate.Figure) *int64 {
	if !f.Known {
		return nil
	}
	return &f.Value
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
	return api.ListLearnedTimes200JSONResponse{Items: mapped(list, func(l estimate.LearnedTime) api.LearnedTime {
		return api.LearnedTime{Kind: l.Kind, Name: l.Name, Visits: l.Visits, NowPermille: l.Now, ProposedPermille: l.Proposed, KeptPermille: l.Kept, At80Permille: l.At80, Says: l.Says}
	})}, err
}
