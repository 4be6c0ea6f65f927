package server

import (
	"context"
	"math"
	"strconv"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /links/{token}. Anybody who has the link; changes nothing.
func (h *handlers) ShowLink(ctx context.Context, r api.ShowLinkRequestObject) (api.ShowLinkResponseObject, error) {
	v, err := h.link(ctx, r.Token)
	return api.ShowLink200JSONResponse(v), err
}

// POST /links/{token}/answers. Anybody who has the link.
func (h *handlers) AnswerLink(ctx context.Context, r api.AnswerLinkRequestObject) (api.AnswerLinkResponseObject, error) {
	if err := h.slow(ctx, jobs.LinkHash(r.Token)); err != nil {
		return nil, err
	}
	in := desk.LinkAnswer{Kind: string(r.Body.Kind), By: val(r.Body.By), EstimateID: val(r.Body.EstimateID), Version: r.Body.QuoteVersion, Note: val(r.Body.Note)}
	if r.Body.Reading != nil {
		reading := fromReading(*r.Body.Reading)
		in.Reading = &reading
	}
	if err := h.s.Desk.AnswerLink(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.Token, in); err != nil {
		return nil, err
	}
	v, err := h.link(ctx, r.Token)
	return api.AnswerLink200JSONResponse(v), err
}

// slow bounds how often a link may be answered and how often somebody may ask
// for one that is none; one that works can always be opened.
func (h *handlers) slow(ctx context.Context, what string) error {
	c := ginOf(ctx)
	wait := h.s.links.Try(what, c.ClientIP(), h.s.Clock.Now())
	if wait <= 0 {
		return nil
	}
	c.Header("Retry-After", strconv.Itoa(int(math.Ceil(wait.Seconds()))))
	return jobs.Errorf(jobs.CodeTooMany, "Too many tries; wait a little")
}

func (h *handlers) link(ctx context.Context, secret string) (api.LinkView, error) {
	v, err := h.s.Desk.ShowLink(ctx, secret)
	if err != nil {
		if wait := h.slow(ctx, "guess"); wait != nil {
			err = wait
		}
		return api.LinkView{}, err
	}
	out := api.LinkView{Purpose: api.LinkViewPurpose(v.Link.Purpose), Company: v.Company, CustomerName: v.Customer, SiteName: v.Site, Zone: v.Zone, Language: v.Language,
		ExpiresAt: v.Link.ExpiresAt, ToldFrom: moment(v.ToldFrom), ToldTo: moment(v.ToldTo), Answers: mapped(v.Answers, toAnswer),
		Readings: mapped(v.Readings, toReading), Caution: v.Caution, May: texts(v.May)}
	if v.Promise.ID != "" {
		out.PromiseFrom, out.PromiseTo = moment(v.Promise.FromAt), moment(v.Promise.ToAt)
	}
	if v.Quote != nil {
		q, err := toQuote(*v.Quote)
		if err != nil {
			return api.LinkView{}, err
		}
		out.Quote = &q
	}
	return out, nil
}
