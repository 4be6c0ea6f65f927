package server

import (
	"context"

	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /absences. Office.
func (h *handlers) ListAbsences(ctx context.Context, r api.ListAbsencesRequestObject) (api.ListAbsencesResponseObject, error) {
	list, err := h.s.Desk.Absences(ctx, r.Params.BranchID, jobs.Day(r.Params.From), jobs.Day(r.Params.To))
	if err != nil {
		return nil, err
	}
	return api.ListAbsences200JSONResponse{Items: mapped(list, toAbsence)}, nil
}

// POST /absences. Office.
func (h *handlers) CreateAbsence(ctx context.Context, r api.CreateAbsenceRequestObject) (api.CreateAbsenceResponseObject, error) {
	in := jobs.AbsenceData{CrewID: val(r.Body.CrewID), PersonID: val(r.Body.PersonID), Day: jobs.Day(r.Body.Day),
		FromMinute: r.Body.FromMinute, ToMinute: r.Body.ToMinute, Reason: r.Body.Reason}
	out, err := h.s.Desk.CreateAbsence(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.Body.BranchID, in)
	if err != nil {
		return nil, err
	}
	x, err := h.s.Desk.Absence(ctx, out.NounID)
	if err != nil {
		return nil, err
	}
	return api.CreateAbsence201JSONResponse{Body: toAbsence(x), Headers: api.CreateAbsence201ResponseHeaders{ETag: etag(x.Version), Location: place("absences", x.ID)}}, nil
}

// DELETE /absences/{id}. Office.
func (h *handlers) RemoveAbsence(ctx context.Context, r api.RemoveAbsenceRequestObject) (api.RemoveAbsenceResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	if _, err := h.s.Desk.RemoveAbsence(ctx, h.s.call(ctx, ""), r.ID, version); err != nil {
		return nil, err
	}
	return api.RemoveAbsence204Response{}, nil
}

func toAbsence(x jobs.Absence) api.Absence {
	return api.Absence{ID: x.ID, BranchID: x.BranchID, CrewID: opt(x.CrewID), PersonID: opt(x.PersonID), Day: string(x.Day),
		FromMinute: x.FromMinute, ToMinute: x.ToMinute, Reason: x.Reason, Version: x.Version}
}
