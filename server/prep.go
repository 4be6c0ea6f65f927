package server

import (
	"context"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /prep. Office.
func (h *handlers) ListPrep(ctx context.Context, r api.ListPrepRequestObject) (api.ListPrepResponseObject, error) {
	list, err := h.s.Desk.ListPrep(ctx, r.Params.BranchID)
	if err != nil {
		return nil, err
	}
	return api.ListPrep200JSONResponse{Items: mapped(list, toPrepRow)}, nil
}

// POST /jobs/{id}/readings. Office, and techs for the own crew's jobs.
func (h *handlers) AddReading(ctx context.Context, r api.AddReadingRequestObject) (api.AddReadingResponseObject, error) {
	out, err := h.s.Desk.AddReading(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.ID, fromReading(*r.Body))
	if err != nil {
		return nil, err
	}
	reading, err := h.s.Desk.Reading(ctx, r.ID, out.NounID)
	return api.AddReading201JSONResponse{Body: toReading(reading), Headers: api.AddReading201ResponseHeaders{Location: place("jobs", r.ID+"/sheet")}}, err
}

// POST /jobs/{id}/answers. Office; the customer's own way is the link.
func (h *handlers) AddAnswer(ctx context.Context, r api.AddAnswerRequestObject) (api.AddAnswerResponseObject, error) {
	out, err := h.s.Desk.AddAnswer(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.ID, jobs.AnswerKind(r.Body.Kind), val(r.Body.Note))
	if err != nil {
		return nil, err
	}
	a, err := h.s.Desk.Answer(ctx, r.ID, out.NounID)
	return api.AddAnswer201JSONResponse{Body: toAnswer(a), Headers: api.AddAnswer201ResponseHeaders{Location: place("jobs", r.ID+"/sheet")}}, err
}

func toPrepRow(p desk.PrepRow) api.PrepRow {
	return api.PrepRow{JobID: p.Job.ID, JobNumber: p.Job.Number, CustomerName: p.Job.CustomerName, SiteName: p.Job.SiteName, Phone: opt(p.Phone),
		WayLow: string(p.Drain.WayLow), ToldFrom: moment(p.Drain.ToldFrom), ToldTo: moment(p.Drain.ToldTo), LowLateAt: moment(p.Drain.LowLateAt),
		NeededAt: p.Facts.NeededAt, ConfirmBy: p.Facts.ConfirmBy, Answers: mapped(p.Answers, toAnswer), Readings: mapped(p.Facts.Readings, toReading),
		LowAt: whole(p.Facts.LowAt), LowEarliestAt: whole(p.Facts.LowEarly), LowLatestAt: whole(p.Facts.LowLate), Doubt: opt(clip(p.Facts.Doubt)), State: api.PrepRowState(p.State), Says: clip(p.Says)}
}

// whole cuts an instant that was computed to seconds.
func whole(t *time.Time) *time.Time {
	if t == nil {
		return nil
	}
	at := t.Truncate(time.Second)
	return &at
}

func fromReading(r api.NewReading) desk.NewReading {
	return desk.NewReading{Text: r.Text, Unit: r.Unit, At: val(r.At)}
}

func toReading(r jobs.Reading) api.Reading {
	return api.Reading{At: r.At, BelowTileUm: r.BelowTileUM, Text: r.Text, Unit: r.Unit, By: r.MadeBy}
}

func toAnswer(a jobs.Answer) api.Answer {
	return api.Answer{Kind: api.AnswerKind(a.Kind), At: a.At, By: a.MadeBy, Note: opt(a.Note)}
}
