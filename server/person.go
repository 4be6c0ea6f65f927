package server

import (
	"context"

	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /persons. Office.
func (h *handlers) ListPersons(ctx context.Context, r api.ListPersonsRequestObject) (api.ListPersonsResponseObject, error) {
	list, err := h.s.Desk.Persons(ctx, r.Params.BranchID)
	if err != nil {
		return nil, err
	}
	return api.ListPersons200JSONResponse{Items: mapped(list, toPerson)}, nil
}

// POST /persons. Office.
func (h *handlers) CreatePerson(ctx context.Context, r api.CreatePersonRequestObject) (api.CreatePersonResponseObject, error) {
	in := jobs.PersonData{Name: r.Body.Name, Email: val(r.Body.Email), Phone: val(r.Body.Phone), Active: r.Body.Active == nil || *r.Body.Active}
	for _, s := range r.Body.Skills {
		in.Skills = append(in.Skills, jobs.Skill(s))
	}
	out, err := h.s.Desk.CreatePerson(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.Body.BranchID, in)
	if err != nil {
		return nil, err
	}
	x, err := h.s.Desk.Person(ctx, out.NounID)
	if err != nil {
		return nil, err
	}
	return api.CreatePerson201JSONResponse{Body: toPerson(x), Headers: api.CreatePerson201ResponseHeaders{ETag: etag(x.Version), Location: place("persons", x.ID)}}, nil
}

// PUT /persons/{id}. Office.
func (h *handlers) ChangePerson(ctx context.Context, r api.ChangePersonRequestObject) (api.ChangePersonResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	in := jobs.PersonData{Name: r.Body.Name, Email: val(r.Body.Email), Phone: val(r.Body.Phone), Active: r.Body.Active == nil || *r.Body.Active}
	for _, s := range r.Body.Skills {
		in.Skills = append(in.Skills, jobs.Skill(s))
	}
	if _, err := h.s.Desk.ChangePerson(ctx, h.s.call(ctx, ""), r.ID, version, in); err != nil {
		return nil, err
	}
	x, err := h.s.Desk.Person(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ChangePerson200JSONResponse{Body: toPerson(x), Headers: api.ChangePerson200ResponseHeaders{ETag: etag(x.Version)}}, nil
}

func toPerson(x jobs.Person) api.Person {
	return api.Person{ID: x.ID, BranchID: x.BranchID, Name: x.Name, Email: opt(x.Email), Phone: opt(x.Phone), Active: &x.Active,
		Skills: mapped(x.Skills, func(s jobs.Skill) api.PersonSkills { return api.PersonSkills(s) }), UserID: opt(x.UserID), Version: x.Version}
}
