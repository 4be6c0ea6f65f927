package server

import (
	"context"

	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /crews. Office; the crews' names are no secret to those who go out.
func (h *handlers) ListCrews(ctx context.Context, r api.ListCrewsRequestObject) (api.ListCrewsResponseObject, error) {
	list, err := h.s.Desk.Crews(ctx, r.Params.BranchID)
	if err != nil {
		return nil, err
	}
	return api.ListCrews200JSONResponse{Items: mapped(list, toCrew)}, nil
}

// POST /crews. Office.
func (h *handlers) CreateCrew(ctx context.Context, r api.CreateCrewRequestObject) (api.CreateCrewResponseObject, error) {
	in := jobs.CrewData{HomeID: r.Body.HomeID, Name: r.Body.Name, Place: val(r.Body.Place), PumpBerths: r.Body.PumpBerths, People: r.Body.People,
		Shifts: mapped(r.Body.Shifts, fromShift), Active: r.Body.Active == nil || *r.Body.Active}
	out, err := h.s.Desk.CreateCrew(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.Body.BranchID, in)
	if err != nil {
		return nil, err
	}
	x, err := h.s.Desk.Crew(ctx, out.NounID)
	if err != nil {
		return nil, err
	}
	return api.CreateCrew201JSONResponse{Body: toCrew(x), Headers: api.CreateCrew201ResponseHeaders{ETag: etag(x.Version), Location: place("crews", x.ID)}}, nil
}

// PUT /crews/{id}. Office.
func (h *handlers) ChangeCrew(ctx context.Context, r api.ChangeCrewRequestObject) (api.ChangeCrewResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	in := jobs.CrewData{HomeID: r.Body.HomeID, Name: r.Body.Name, Place: val(r.Body.Place), PumpBerths: r.Body.PumpBerths, People: r.Body.People,
		Shifts: mapped(r.Body.Shifts, fromShift), Active: r.Body.Active == nil || *r.Body.Active}
	if _, err := h.s.Desk.ChangeCrew(ctx, h.s.call(ctx, ""), r.ID, version, in); err != nil {
		return nil, err
	}
	x, err := h.s.Desk.Crew(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ChangeCrew200JSONResponse{Body: toCrew(x), Headers: api.ChangeCrew200ResponseHeaders{ETag: etag(x.Version)}}, nil
}

func fromShift(s api.Shift) jobs.Shift {
	return jobs.Shift{Weekday: s.Weekday, FromMinute: s.FromMinute, ToMinute: s.ToMinute, OvertimeMinutes: s.OvertimeMinutes}
}

func toCrew(x jobs.Crew) api.Crew {
	return api.Crew{ID: x.ID, BranchID: x.BranchID, HomeID: x.HomeID, Name: x.Name, Place: &x.Place, PumpBerths: x.PumpBerths, Active: &x.Active,
		People: mapped(x.People, func(id string) string { return id }), Version: x.Version,
		Shifts: mapped(x.Shifts, func(s jobs.Shift) api.Shift {
			return api.Shift{Weekday: s.Weekday, FromMinute: s.FromMinute, ToMinute: s.ToMinute, OvertimeMinutes: s.OvertimeMinutes}
		})}
}
