package server

import (
	"context"
	"strings"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /notices. Office.
func (h *handlers) ListNotices(ctx context.Context, r api.ListNoticesRequestObject) (api.ListNoticesResponseObject, error) {
	filter := desk.NoticeFilter{BranchID: r.Params.BranchID, State: val(r.Params.State), JobID: val(r.Params.JobID)}
	if filter.State != "" {
		var f jobs.Faults
		jobs.OneOf(&f, "state", jobs.NoticeState(filter.State), jobs.NoticeStates)
		if err := f.Err(); err != nil {
			return nil, err
		}
	}
	list, err := h.s.Desk.Notices(ctx, filter, page(r.Params.After, r.Params.Limit))
	if err != nil {
		return nil, err
	}
	return api.ListNotices200JSONResponse{Items: mapped(list.Items, toNotice), Next: opt(list.Next), MailTo: opt(h.s.MailTo)}, nil
}

// GET /notices/{id}. Office.
func (h *handlers) ShowNotice(ctx context.Context, r api.ShowNoticeRequestObject) (api.ShowNoticeResponseObject, error) {
	n, err := h.s.Desk.Notice(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ShowNotice200JSONResponse(toNotice(n)), nil
}

// POST /notices/{id}/again. Office.
func (h *handlers) SendNoticeAgain(ctx context.Context, r api.SendNoticeAgainRequestObject) (api.SendNoticeAgainResponseObject, error) {
	if _, err := h.s.Desk.SendNoticeAgain(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.ID); err != nil {
		return nil, err
	}
	n, err := h.s.Desk.Notice(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	return api.SendNoticeAgain200JSONResponse(toNotice(n)), nil
}

func toNotice(n jobs.Notice) api.Notice {
	return api.Notice{ID: n.ID, Kind: string(n.Kind), KindName: strings.ReplaceAll(string(n.Kind), "_", " "),
		Reader: string(n.Kind.Reader()), JobID: opt(n.JobID), JobNumber: opt(n.JobNumber), ToName: opt(n.ToName),
		Address: n.Address, Channel: string(n.Channel), Subject: n.Subject, Body: n.Body, DueAt: n.DueAt,
		UsefulUntil: n.UsefulUntil, State: api.NoticeState(n.State), Attempts: n.Attempts, SentAt: optTime(n.SentAt),
		File: opt(n.File), Error: opt(n.Error), Revision: n.Revision, MessageID: n.MessageID}
}

// optTime leaves out an instant that has not come.
func optTime(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	return &t
}
