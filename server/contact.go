package server

import (
	"context"

	"ebbline/jobs"
	"ebbline/server/api"
)

// POST /customers/{id}/contacts. Office.
func (h *handlers) AddContact(ctx context.Context, r api.AddContactRequestObject) (api.AddContactResponseObject, error) {
	out, err := h.s.Desk.AddContact(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.ID, fromContact(*r.Body))
	if err != nil {
		return nil, err
	}
	c, err := h.s.Desk.Contact(ctx, out.NounID)
	if err != nil {
		return nil, err
	}
	return api.AddContact201JSONResponse{Body: toContact(c), Headers: api.AddContact201ResponseHeaders{
		ETag: etag(c.Version), Location: place("contacts", c.ID)}}, nil
}

// PUT /contacts/{id}. Office.
func (h *handlers) ChangeContact(ctx context.Context, r api.ChangeContactRequestObject) (api.ChangeContactResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	if _, err := h.s.Desk.ChangeContact(ctx, h.s.call(ctx, ""), r.ID, version, fromContact(*r.Body)); err != nil {
		return nil, err
	}
	c, err := h.s.Desk.Contact(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ChangeContact200JSONResponse{Body: toContact(c), Headers: api.ChangeContact200ResponseHeaders{ETag: etag(c.Version)}}, nil
}

// DELETE /contacts/{id}. Office.
func (h *handlers) RemoveContact(ctx context.Context, r api.RemoveContactRequestObject) (api.RemoveContactResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	if _, err := h.s.Desk.RemoveContact(ctx, h.s.call(ctx, ""), r.ID, version); err != nil {
		return nil, err
	}
	return api.RemoveContact204Response{}, nil
}

func fromContact(b api.ContactBody) jobs.ContactData {
	c := jobs.ContactData{
		Role: jobs.ContactRole(b.Role), Name: b.Name, Email: val(b.Email), PhoneText: val(b.Phone),
		Language: string(val(b.Language)), Channel: jobs.Channel(val(b.Channel)), MayDecide: val(b.MayDecide),
	}
	if b.Notices != nil {
		c.Notices = append([]string{}, *b.Notices...) // empty means none at all
	}
	return c
}

func toContact(c jobs.Contact) api.Contact {
	out := api.Contact{
		ID: c.ID, CustomerID: c.CustomerID, Role: api.ContactRole(c.Role), Name: c.Name, Email: opt(c.Email),
		Phone: opt(c.PhoneText), Language: opt(api.ContactLanguage(c.Language)), Channel: opt(api.ContactChannel(c.Channel)),
		MayDecide: &c.MayDecide, Version: c.Version,
	}
	if c.Notices != nil {
		out.Notices = &c.Notices
	}
	if len(c.OptedOut) > 0 {
		stopped := mapped(c.OptedOut, func(ch jobs.Channel) string { return string(ch) })
		out.OptedOut = &stopped
	}
	return out
}
