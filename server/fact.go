package server

import (
	"context"

	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /jobs/{id}/facts. Office.
func (h *handlers) ShowFacts(ctx context.Context, r api.ShowFactsRequestObject) (api.ShowFactsResponseObject, error) {
	f, err := h.facts(ctx, r.ID)
	return api.ShowFacts200JSONResponse(f), err
}

// POST /jobs/{id}/payments. Office.
func (h *handlers) AddPayment(ctx context.Context, r api.AddPaymentRequestObject) (api.AddPaymentResponseObject, error) {
	p := jobs.Payment{JobID: r.ID, Kind: jobs.PaymentKind(r.Body.Kind), Amount: jobs.Cents(r.Body.AmountCents), Method: r.Body.Method,
		Note: val(r.Body.Note), ReceivedAt: val(r.Body.ReceivedAt)}
	if _, err := h.s.Desk.AddPayment(ctx, h.s.call(ctx, r.Params.IdempotencyKey), p); err != nil {
		return nil, err
	}
	f, err := h.facts(ctx, r.ID)
	return api.AddPayment201JSONResponse{Body: f, Headers: api.AddPayment201ResponseHeaders{Location: factsPlace(r.ID)}}, err
}

// PUT /jobs/{id}/permit. Office. If-Match carries the permit's version, "v0"
// where none was noted yet.
func (h *handlers) SetPermit(ctx context.Context, r api.SetPermitRequestObject) (api.SetPermitResponseObject, error) {
	version, err := ifMatchNew(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	b := r.Body
	data := jobs.PermitData{Needed: jobs.YesNo(b.Needed), PulledBy: string(val(b.PulledBy)), Number: val(b.Number),
		AppliedDay: jobs.Day(val(b.AppliedDay)), IssuedDay: jobs.Day(val(b.IssuedDay)), ExpiresDay: jobs.Day(val(b.ExpiresDay))}
	if _, err := h.s.Desk.SetPermit(ctx, h.s.call(ctx, ""), r.ID, version, data); err != nil {
		return nil, err
	}
	f, err := h.facts(ctx, r.ID)
	return api.SetPermit200JSONResponse{Body: f, Headers: api.SetPermit200ResponseHeaders{ETag: etag(version + 1)}}, err
}

// PUT /jobs/{id}/marking. Office. If-Match carries the marking's version, "v0"
// where none was noted yet.
func (h *handlers) SetMarking(ctx context.Context, r api.SetMarkingRequestObject) (api.SetMarkingResponseObject, error) {
	version, err := ifMatchNew(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	b := r.Body
	data := jobs.MarkingData{SoilOpened: jobs.YesNo(b.SoilOpened), Ticket: val(b.Ticket), LawfulFromDay: jobs.Day(val(b.LawfulFromDay)),
		ExpiresDay: jobs.Day(val(b.ExpiresDay)), PrivateMarked: val(b.PrivateLinesMarked), RequestedDay: jobs.Day(val(b.RequestedDay)), State: val(b.State)}
	if _, err := h.s.Desk.SetMarking(ctx, h.s.call(ctx, ""), r.ID, version, data); err != nil {
		return nil, err
	}
	f, err := h.facts(ctx, r.ID)
	return api.SetMarking200JSONResponse{Body: f, Headers: api.SetMarking200ResponseHeaders{ETag: etag(version + 1)}}, err
}

// POST /jobs/{id}/sign-offs. Office.
func (h *handlers) AddSignOff(ctx context.Context, r api.AddSignOffRequestObject) (api.AddSignOffResponseObject, error) {
	s := jobs.SignOff{JobID: r.ID, Kind: jobs.SignOffKind(r.Body.Kind), SignedBy: r.Body.SignedBy, LeastWater: r.Body.LeastWaterUm, Note: val(r.Body.Note),
		Withdrawn: val(r.Body.Withdrawn)}
	if _, err := h.s.Desk.AddSignOff(ctx, h.s.call(ctx, r.Params.IdempotencyKey), s); err != nil {
		return nil, err
	}
	f, err := h.facts(ctx, r.ID)
	return api.AddSignOff201JSONResponse{Body: f, Headers: api.AddSignOff201ResponseHeaders{Location: factsPlace(r.ID)}}, err
}

// POST /jobs/{id}/parts. Office.
func (h *handlers) AddJobPart(ctx context.Context, r api.AddJobPartRequestObject) (api.AddJobPartResponseObject, error) {
	b := r.Body
	in := jobs.JobPartData{PartID: val(b.PartID), Name: b.Name, Quantity: b.Quantity, StockUnit: b.StockUnit, State: jobs.PartState(b.State),
		PromisedDay: jobs.Day(val(b.PromisedDay)), Note: val(b.Note)}
	if _, err := h.s.Desk.AddJobPart(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.ID, in); err != nil {
		return nil, err
	}
	f, err := h.facts(ctx, r.ID)
	return api.AddJobPart201JSONResponse{Body: f, Headers: api.AddJobPart201ResponseHeaders{Location: factsPlace(r.ID)}}, err
}

// PATCH /job-parts/{id}. Office.
func (h *handlers) ChangeJobPart(ctx context.Context, r api.ChangeJobPartRequestObject) (api.ChangeJobPartResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	change := jobs.JobPartChange{State: (*jobs.PartState)(r.Body.State), PromisedDay: (*jobs.Day)(r.Body.PromisedDay), Quantity: r.Body.Quantity, Note: r.Body.Note}
	out, err := h.s.Desk.ChangeJobPart(ctx, h.s.call(ctx, ""), r.ID, version, change)
	if err != nil {
		return nil, err
	}
	f, err := h.facts(ctx, out.NounID)
	return api.ChangeJobPart200JSONResponse{Body: f, Headers: api.ChangeJobPart200ResponseHeaders{ETag: etag(version + 1)}}, err
}

func factsPlace(jobID string) *string { return place("jobs", jobID+"/facts") }

func (h *handlers) facts(ctx context.Context, jobID string) (api.Facts, error) {
	f, err := h.s.Desk.Facts(ctx, jobID)
	if err != nil {
		return api.Facts{}, err
	}
	k := f.Known
	out := api.Facts{
		JobID: jobID, Ready: f.Ready, Facts: mapped(f.Facts, toFact), NotBefore: opt(string(f.NotBefore)), NotAfter: opt(string(f.NotAfter)),
		Payments: mapped(k.Payments, toPayment), SignOffs: mapped(k.SignOffs, toSignOff), Parts: mapped(k.Parts, toJobPart), Version: k.Job.Version,
	}
	if p := k.Permit; p.Version > 0 {
		out.Permit = &api.Permit{ID: p.ID, Needed: api.PermitNeeded(p.Needed), PulledBy: opt(api.PermitPulledBy(p.PulledBy)), Number: opt(p.Number),
			AppliedDay: opt(string(p.AppliedDay)), IssuedDay: opt(string(p.IssuedDay)), ExpiresDay: opt(string(p.ExpiresDay)), Version: p.Version}
	}
	if m := k.Marking; m.Version > 0 {
		out.Marking = &api.Marking{ID: m.ID, SoilOpened: api.MarkingSoilOpened(m.SoilOpened), Ticket: opt(m.Ticket), LawfulFromDay: opt(string(m.LawfulFromDay)),
			ExpiresDay: opt(string(m.ExpiresDay)), PrivateLinesMarked: &m.PrivateMarked, RequestedDay: opt(string(m.RequestedDay)), State: opt(m.State), Version: m.Version}
	}
	return out, nil
}

func toFact(f jobs.Fact) api.Fact {
	return api.Fact{Name: f.Name, Label: f.Label, State: api.FactState(f.State), Says: f.Says, NotBefore: opt(string(f.NotBefore)), NotAfter: opt(string(f.NotAfter))}
}

func toPayment(p jobs.Payment) api.Payment {
	return api.Payment{ID: p.ID, Kind: api.PaymentKind(p.Kind), AmountCents: int64(p.Amount), Method: p.Method, Note: opt(p.Note),
		ReceivedAt: &p.ReceivedAt, MadeBy: p.MadeBy}
}

func toSignOff(s jobs.SignOff) api.SignOff {
	return api.SignOff{ID: s.ID, Kind: api.SignOffKind(s.Kind), SignedBy: s.SignedBy, SignedAt: s.SignedAt, LeastWaterUm: s.LeastWater, Note: opt(s.Note), Withdrawn: s.Withdrawn}
}

func toJobPart(p jobs.JobPart) api.JobPart {
	return api.JobPart{ID: p.ID, PartID: opt(p.PartID), Name: p.Name, Quantity: p.Quantity, StockUnit: p.StockUnit, State: api.PartState(p.State),
		PromisedDay: opt(string(p.PromisedDay)), Note: opt(p.Note), Version: p.Version, Surplus: opt(p.Surplus),
		MayBecome: some(mapped(p.State.Next(), func(s jobs.PartState) api.PartState { return api.PartState(s) }))}
}
