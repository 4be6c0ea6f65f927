package server

import (
	"context"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
)

// POST /mends. Office.
func (h *handlers) MendWeek(ctx context.Context, r api.MendWeekRequestObject) (api.MendWeekResponseObject, error) {
	out, err := h.s.Desk.Mend(ctx, h.s.call(ctx, r.Params.IdempotencyKey), desk.MendAsk{BranchID: r.Body.BranchID, PlanNumber: r.Body.PlanNumber,
		Change: fromWeekChange(r.Body.Change), Run: jobs.RunData{Seed: val(r.Body.Seed), Rounds: val(r.Body.Rounds), Seconds: val(r.Body.Seconds)}})
	if err != nil {
		return nil, err
	}
	x, err := h.s.Desk.Draft(ctx, out.NounID)
	if err != nil {
		return nil, err
	}
	return api.MendWeek201JSONResponse{Body: toDraft(x), Headers: api.MendWeek201ResponseHeaders{ETag: etag(x.Version), Location: place("drafts", x.ID)}}, nil
}

func toUpset(u *jobs.Upset) *api.Upset {
	if u == nil {
		return nil
	}
	early := mapped(u.Early, func(j jobs.UpsetJob) api.JobRef {
		return api.JobRef{JobID: j.JobID, JobNumber: j.JobNumber, CustomerName: j.CustomerName, SiteName: j.SiteName}
	})
	return &api.Upset{StoodCents: (*int64)(u.Stood), CameEarly: &early, Kind: api.UpsetKind(u.Kind), Says: u.Says,
		Recorded: mapped(u.Recorded, func(x jobs.Recorded) api.Recorded { return api.Recorded{Noun: x.Noun, ID: opt(x.ID), Says: x.Says} }),
		Untouched: api.Untouched{TotalCents: (*int64)(u.Untouched.Total), Heads: heads(u.Untouched.Heads), Late: mapped(u.Untouched.Late, toLatePromise),
			Stranded: mapped(u.Untouched.Stranded, toMovedVisit), Says: u.Untouched.Says}}
}
