package server

import (
	"context"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /customers. Office.
func (h *handlers) ListCustomers(ctx context.Context, r api.ListCustomersRequestObject) (api.ListCustomersResponseObject, error) {
	list, err := h.s.Desk.Customers(ctx,
		desk.CustomerFilter{BranchID: val(r.Params.BranchID), Query: val(r.Params.Q)}, page(r.Params.After, r.Params.Limit))
	if err != nil {
		return nil, err
	}
	return api.ListCustomers200JSONResponse{Items: mapped(list.Items, toCustomer), Next: opt(list.Next)}, nil
}

// POST /customers. Office.
func (h *handlers) CreateCustomer(ctx context.Context, r api.CreateCustomerRequestObject) (api.CreateCustomerResponseObject, error) {
	in := jobs.NewCustomer{BranchID: r.Body.BranchID, CustomerData: jobs.CustomerData{Name: r.Body.Name, Note: val(r.Body.Note)},
		Contacts: mapped(val(r.Body.Contacts), fromContact)}
	out, err := h.s.Desk.CreateCustomer(ctx, h.s.call(ctx, r.Params.IdempotencyKey), in)
	if err != nil {
		return nil, err
	}
	c, err := h.s.Desk.Customer(ctx, out.NounID)
	if err != nil {
		return nil, err
	}
	return api.CreateCustomer201JSONResponse{Body: toCustomer(c), Headers: api.CreateCustomer201ResponseHeaders{
		ETag: etag(c.Version), Location: place("customers", c.ID)}}, nil
}

// GET /customers/{id}. Office.
func (h *handlers) ShowCustomer(ctx context.Context, r api.ShowCustomerRequestObject) (api.ShowCustomerResponseObject, error) {
	c, err := h.s.Desk.Customer(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ShowCustomer200JSONResponse{Body: toCustomer(c), Headers: api.ShowCustomer200ResponseHeaders{ETag: etag(c.Version)}}, nil
}

// PATCH /customers/{id}. Office.
func (h *handlers) ChangeCustomer(ctx context.Context, r api.ChangeCustomerRequestObject) (api.ChangeCustomerResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	change := jobs.CustomerChange{Name: r.Body.Name, Note: r.Body.Note}
	if _, err := h.s.Desk.ChangeCustomer(ctx, h.s.call(ctx, ""), r.ID, version, change); err != nil {
		return nil, err
	}
	c, err := h.s.Desk.Customer(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ChangeCustomer200JSONResponse{Body: toCustomer(c), Headers: api.ChangeCustomer200ResponseHeaders{ETag: etag(c.Version)}}, nil
}

func toCustomer(c jobs.Customer) api.Customer {
	return api.Customer{ID: c.ID, BranchID: c.BranchID, Name: c.Name, Note: c.Note,
		Contacts: mapped(c.Contacts, toContact), CreatedAt: c.CreatedAt, Version: c.Version}
}
