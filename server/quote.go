package server

import (
	"bytes"
	"context"

	"ebbline/jobs"
	"ebbline/server/api"
	"ebbline/server/paper"
)

// GET /jobs/{id}/quotes. Office.
func (h *handlers) ListQuotes(ctx context.Context, r api.ListQuotesRequestObject) (api.ListQuotesResponseObject, error) {
	list, err := h.s.Desk.Quotes(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	items := make([]api.Quote, len(list))
	for i, q := range list {
		if items[i], err = toQuote(q); err != nil {
			return nil, err
		}
	}
	return api.ListQuotes200JSONResponse{Items: items}, nil
}

// POST /jobs/{id}/quotes. Office.
func (h *handlers) CreateQuote(ctx context.Context, r api.CreateQuoteRequestObject) (api.CreateQuoteResponseObject, error) {
	in := jobs.NewQuote{EstimateID: r.Body.EstimateID, Also: val(r.Body.AlsoEstimateIds), ValidDays: r.Body.ValidDays, Note: val(r.Body.Note)}
	made, err := h.s.Desk.CreateQuote(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.ID, in)
	if err != nil {
		return nil, err
	}
	q, err := h.quote(ctx, made.NounID)
	return api.CreateQuote201JSONResponse{Body: q, Headers: api.CreateQuote201ResponseHeaders{
		ETag: etag(q.Version), Location: place("quotes", q.ID)}}, err
}

// GET /quotes/{id}. Office.
func (h *handlers) ShowQuote(ctx context.Context, r api.ShowQuoteRequestObject) (api.ShowQuoteResponseObject, error) {
	q, err := h.quote(ctx, r.ID)
	return api.ShowQuote200JSONResponse{Body: q, Headers: api.ShowQuote200ResponseHeaders{ETag: etag(q.Version)}}, err
}

// GET /quotes/{id}/paper. Office.
func (h *handlers) ShowQuotePaper(ctx context.Context, r api.ShowQuotePaperRequestObject) (api.ShowQuotePaperResponseObject, error) {
	q, err := h.s.Desk.Quote(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	pdf, err := paper.Quote(q, sizeOf(r.Params.Size), string(val(r.Params.Language)))
	return api.ShowQuotePaper200ApplicationPdfResponse{Body: bytes.NewReader(pdf), ContentLength: int64(len(pdf))}, err
}

// GET /links/{token}/paper. Whoever holds a quote's link.
func (h *handlers) ShowLinkPaper(ctx context.Context, r api.ShowLinkPaperRequestObject) (api.ShowLinkPaperResponseObject, error) {
	v, err := h.s.Desk.ShowLink(ctx, r.Token)
	if err != nil {
		if wait := h.slow(ctx, "guess"); wait != nil {
			err = wait
		}
		return nil, err
	}
	if v.Quote == nil {
		return nil, jobs.Errorf(jobs.CodeNotFound, "There is no quote behind this link")
	}
	language := v.Language
	if r.Params.Language != nil {
		language = string(*r.Params.Language)
	}
	pdf, err := paper.Quote(*v.Quote, sizeOf(r.Params.Size), language)
	return api.ShowLinkPaper200ApplicationPdfResponse{Body: bytes.NewReader(pdf), ContentLength: int64(len(pdf))}, err
}

func sizeOf[T ~string](asked *T) paper.Size {
	if asked != nil && paper.Size(*asked) == paper.A4 {
		return paper.A4
	}
	return paper.Letter
}

// POST /quotes/{id}/send. Office.
func (h *handlers) SendQuote(ctx context.Context, r api.SendQuoteRequestObject) (api.SendQuoteResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	if _, err := h.s.Desk.SendQuote(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.ID, version); err != nil {
		return nil, err
	}
	q, err := h.quote(ctx, r.ID)
	return api.SendQuote200JSONResponse{Body: q, Headers: api.SendQuote200ResponseHeaders{ETag: etag(q.Version)}}, err
}

// POST /quotes/{id}/answer. Office; the customer's own way is the link.
func (h *handlers) AnswerQuote(ctx context.Context, r api.AnswerQuoteRequestObject) (api.AnswerQuoteResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	in := jobs.QuoteAnswer{Answer: jobs.QuoteState(r.Body.Answer), EstimateID: val(r.Body.EstimateID), By: r.Body.By, Note: val(r.Body.Note)}
	if _, err := h.s.Desk.AnswerQuote(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.ID, version, in); err != nil {
		return nil, err
	}
	q, err := h.quote(ctx, r.ID)
	return api.AnswerQuote200JSONResponse{Body: q, Headers: api.AnswerQuote200ResponseHeaders{ETag: etag(q.Version)}}, err
}

func (h *handlers) quote(ctx context.Context, id string) (api.Quote, error) {
	q, err := h.s.Desk.Quote(ctx, id)
	if err != nil {
		return api.Quote{}, err
	}
	return toQuote(q)
}

func toQuote(q jobs.Quote) (api.Quote, error) {
	body, err := object(q.Body)
	return api.Quote{
		ID: q.ID, JobID: q.JobID, Number: q.Number, EstimateID: q.EstimateID, State: api.QuoteState(q.State),
		TotalCents: int64(q.Total), TaxCents: int64(q.Tax), DepositCents: int64(q.Deposit), Body: body,
		ValidUntilDay: string(q.ValidUntil), CancelUntilDay: opt(string(q.CancelUntil)),
		SentAt: moment(q.SentAt), AnsweredAt: moment(q.AnsweredAt), AnsweredBy: opt(q.AnsweredBy), Version: q.Version,
	}, err
}
