package server

import (
	"context"

	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /users. Owner.
func (h *handlers) ListUsers(ctx context.Context, r api.ListUsersRequestObject) (api.ListUsersResponseObject, error) {
	list, err := h.s.Desk.Users(ctx, page(r.Params.After, r.Params.Limit))
	if err != nil {
		return nil, err
	}
	return api.ListUsers200JSONResponse{Items: mapped(list.Items, toUser), Next: opt(list.Next)}, nil
}

// POST /users. Owner.
func (h *handlers) CreateUser(ctx context.Context, r api.CreateUserRequestObject) (api.CreateUserResponseObject, error) {
	in := jobs.NewUser{Email: r.Body.Email, Name: r.Body.Name, Role: jobs.Role(r.Body.Role),
		Password: r.Body.Password, PersonID: val(r.Body.PersonID)}
	out, err := h.s.Desk.CreateUser(ctx, h.s.call(ctx, r.Params.IdempotencyKey), in)
	if err != nil {
		return nil, err
	}
	u, err := h.s.Desk.User(ctx, out.NounID)
	if err != nil {
		return nil, err
	}
	return api.CreateUser201JSONResponse{Body: toUser(u), Headers: api.CreateUser201ResponseHeaders{
		ETag: etag(u.Version), Location: place("users", u.ID)}}, nil
}

// PATCH /users/{id}. Owner.
func (h *handlers) ChangeUser(ctx context.Context, r api.ChangeUserRequestObject) (api.ChangeUserResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	change := jobs.UserChange{Name: r.Body.Name, Password: r.Body.Password, Disabled: r.Body.Disabled, PersonID: r.Body.PersonID}
	if r.Body.Role != nil {
		role := jobs.Role(*r.Body.Role)
		change.Role = &role
	}
	if _, err := h.s.Desk.ChangeUser(ctx, h.s.call(ctx, ""), r.ID, version, change); err != nil {
		return nil, err
	}
	h.s.present.forget()
	u, err := h.s.Desk.User(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ChangeUser200JSONResponse{Body: toUser(u), Headers: api.ChangeUser200ResponseHeaders{ETag: etag(u.Version)}}, nil
}

func toUser(u jobs.User) api.User {
	return api.User{ID: u.ID, Email: u.Email, Name: u.Name, Role: api.UserRole(u.Role), PersonID: opt(u.PersonID),
		CrewID: opt(u.CrewID), Disabled: u.Disabled, Version: u.Version}
}
