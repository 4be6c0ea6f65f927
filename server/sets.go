package server

import (
	"context"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /branches/{branch_id}/sets. Office.
func (h *handlers) ShowSets(ctx context.Context, r api.ShowSetsRequestObject) (api.ShowSetsResponseObject, error) {
	w, err := h.s.Desk.Sets(ctx, r.BranchID, jobs.Day(val(r.Params.FromDay)), int(val(r.Params.Days)))
	return api.ShowSets200JSONResponse(toSetWeek(w)), err
}

// POST /branches/{branch_id}/sets. Office.
func (h *handlers) TakeSets(ctx context.Context, r api.TakeSetsRequestObject) (api.TakeSetsResponseObject, error) {
	takes := mapped(r.Body.Takes, func(t api.SetTake) desk.SetTake {
		return desk.SetTake{JobPartID: t.JobPartID, Version: t.Version, PartID: t.PartID}
	})
	if _, err := h.s.Desk.TakeSets(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.BranchID, takes); err != nil {
		return nil, err
	}
	w, err := h.s.Desk.Sets(ctx, r.BranchID, jobs.Day(val(r.Params.FromDay)), int(val(r.Params.Days)))
	return api.TakeSets200JSONResponse(toSetWeek(w)), err
}

// POST /jobs/{id}/parts/renewal. Office.
func (h *handlers) RenewJobParts(ctx context.Context, r api.RenewJobPartsRequestObject) (api.RenewJobPartsResponseObject, error) {
	if _, err := h.s.Desk.RenewJobParts(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.ID); err != nil {
		return nil, err
	}
	f, err := h.facts(ctx, r.ID)
	return api.RenewJobParts200JSONResponse(f), err
}

func toSetWeek(w desk.SetWeek) api.SetWeek {
	t := w.Totals
	return api.SetWeek{
		FromDay: string(w.From), ToDay: string(w.To), ArrivesDay: string(w.Arrives),
		Needs: mapped(w.Needs, toSetNeed), Spares: mapped(w.Spares, toSetNeed),
		Shelf: mapped(w.Shelf, func(s desk.SetOnShelf) api.SetOnShelf {
			return api.SetOnShelf{Name: s.Part.Name, OnHand: s.Part.OnHand}
		}),
		Surplus: mapped(w.Surplus, func(s desk.SurplusPart) api.SurplusPart {
			return api.SurplusPart{JobID: s.Part.JobID, JobNumber: s.JobNumber, Customer: s.Customer, Name: s.Part.Name, Quantity: s.Part.Quantity, RestockCents: int64(s.Restock)}
		}),
		NotKnown: mapped(w.NotKnown, func(n desk.SetNotKnown) api.SetNotKnown {
			return api.SetNotKnown{JobID: n.JobID, JobNumber: n.JobNumber, Position: n.Position, Says: n.Says}
		}),
		BoughtCents: int64(t.Bought), FeesCents: int64(t.Fees), OverCents: int64(t.Over), TotalCents: int64(t.Total),
		Unmet: int64(t.Unmet), Late: int64(t.Late),
	}
}

func toSetNeed(n desk.SetNeed) api.SetNeed {
	return api.SetNeed{
		JobPartID: opt(n.JobPart.ID), JobID: opt(n.JobPart.JobID), Version: opt(n.JobPart.Version), JobNumber: opt(n.JobNumber), Customer: opt(n.Customer),
		Position: n.Position, Day: opt(string(n.Day)), Crew: opt(n.Crew), LowUm: n.Low, HighUm: n.High, Known: opt(n.Known),
		From: api.SetNeedFrom(n.Pick.From), PartID: opt(n.Pick.PartID), Name: opt(n.Pick.Name), LengthUm: opt(n.Pick.Length),
		CostCents: int64(n.Pick.Cost), OverCents: int64(n.Pick.Over), Late: n.Pick.Late, Shorter: some(n.Pick.Shorter),
	}
}

// some is a list where it holds anything.
func some[T any](list []T) *[]T {
	if len(list) == 0 {
		return nil
	}
	return &list
}
