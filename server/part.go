package server

import (
	"context"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /parts. Office.
func (h *handlers) ListParts(ctx context.Context, r api.ListPartsRequestObject) (api.ListPartsResponseObject, error) {
	list, err := h.s.Desk.Parts(ctx, desk.PartFilter{BranchID: val(r.Params.BranchID), Query: val(r.Params.Q)}, page(r.Params.After, r.Params.Limit))
	if err != nil {
		return nil, err
	}
	return api.ListParts200JSONResponse{Items: mapped(list.Items, toPart), Next: opt(list.Next)}, nil
}

// POST /parts. Office.
func (h *handlers) CreatePart(ctx context.Context, r api.CreatePartRequestObject) (api.CreatePartResponseObject, error) {
	b := r.Body
	in := jobs.NewPart{BranchID: b.BranchID, PartData: jobs.PartData{Code: b.Code, Name: b.Name, StockUnit: b.StockUnit, LengthUM: b.LengthUm,
		OnHand: b.OnHand, Cost: jobs.Cents(b.CostCents), Price: jobs.Cents(b.PriceCents)}}
	out, err := h.s.Desk.CreatePart(ctx, h.s.call(ctx, r.Params.IdempotencyKey), in)
	if err != nil {
		return nil, err
	}
	p, err := h.s.Desk.Part(ctx, out.NounID)
	return api.CreatePart201JSONResponse{Body: toPart(p), Headers: api.CreatePart201ResponseHeaders{
		ETag: etag(p.Version), Location: place("parts", p.ID)}}, err
}

// PUT /parts/{id}. Office.
func (h *handlers) ChangePart(ctx context.Context, r api.ChangePartRequestObject) (api.ChangePartResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	b := r.Body
	data := jobs.PartData{Code: b.Code, Name: b.Name, StockUnit: b.StockUnit, LengthUM: b.LengthUm, OnHand: b.OnHand,
		Cost: jobs.Cents(b.CostCents), Price: jobs.Cents(b.PriceCents)}
	if _, err := h.s.Desk.ChangePart(ctx, h.s.call(ctx, ""), r.ID, version, data); err != nil {
		return nil, err
	}
	p, err := h.s.Desk.Part(ctx, r.ID)
	return api.ChangePart200JSONResponse{Body: toPart(p), Headers: api.ChangePart200ResponseHeaders{ETag: etag(p.Version)}}, err
}

func toPart(p jobs.Part) api.Part {
	return api.Part{ID: p.ID, BranchID: p.BranchID, Code: p.Code, Name: p.Name, StockUnit: p.StockUnit, LengthUm: p.LengthUM, OnHand: p.OnHand,
		CostCents: int64(p.Cost), PriceCents: int64(p.Price), Version: p.Version}
}
