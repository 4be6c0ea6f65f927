package server

import (
	"context"

	"ebbline/dispatch/desk"
	"ebbline/server/api"
)

// GET /links/{token}. Anybody who has the link; changes nothing.
func (h *handlers) ShowLink(ctx context.Context, r api.ShowLinkRequestObject) (api.ShowLinkResponseObject, error) {
	v, err := h.link(ctx, r.Token)
	return api.ShowLink200JSONResponse(v), err
}

// POST /links/{token}/answers. Anybody who has the link.
func (h *handlers) AnswerLink(ctx context.Context, r api.AnswerLinkRequestObject) (api.AnswerLinkResponseObject, error) {
	in := desk.LinkAnswer{Kind: string(r.Body.Kind), By: val(r.Body.By), Note: val(r.Body.Note)}
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

func (h *handlers) link(ctx context.Context, secret string) (api.LinkView, error) {
	v, err := h.s.Desk.ShowLink(ctx, secret)
	if err != nil {
		return api.LinkView{}, err
	}
	out := api.LinkView{Purpose: api.LinkViewPurpose(v.Link.Purpose), Company: v.Company, CustomerName: v.Customer, SiteName: v.Site, Zone: v.Zone,
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
