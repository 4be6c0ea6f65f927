package desk

import (
	"context"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// CreateCustomer notes a customer with contacts. CodeInvalid, CodeNotFound
// (branch).
func (d *Desk) CreateCustomer(ctx context.Context, call Call, in jobs.NewCustomer) (Outcome, error) {
	in.Name = jobs.CleanLine(in.Name)
	c := jobs.Customer{
		ID: d.ids.New(), BranchID: in.BranchID, CustomerData: in.CustomerData,
		Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now,
	}
	for i := range in.Contacts {
		in.Contacts[i] = cleanContact(in.Contacts[i])
		c.Contacts = append(c.Contacts, d.newContact(call, c.ID, in.Contacts[i]))
	}
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	return d.act(ctx, call, "createCustomer", func(tx *store.Tx) (Outcome, error) {
		if _, err := tx.Branch(c.BranchID); err != nil {
			return Outcome{}, err
		}
		return Outcome{Noun: "customer", NounID: c.ID, Version: 1, BranchID: c.BranchID}, tx.InsertCustomer(c)
	})
}

// ChangeCustomer sets name or note. version is the one that the caller read.
// CodeInvalid, CodeNotFound, CodeStale.
func (d *Desk) ChangeCustomer(ctx context.Context, call Call, id string, version int64, change jobs.CustomerChange) (Outcome, error) {
	return d.act(ctx, call, "changeCustomer", func(tx *store.Tx) (Outcome, error) {
		c, err := tx.Customer(id)
		if err != nil {
			return Outcome{}, err
		}
		if err := stale("customer", c.Version, version); err != nil {
			return Outcome{}, err
		}
		if c, err = change.Apply(c); err != nil {
			return Outcome{}, err
		}
		c.UpdatedAt = call.Now
		return Outcome{Noun: "customer", NounID: id, Version: version + 1, BranchID: c.BranchID}, tx.UpdateCustomer(c)
	})
}

// CustomerFilter narrows a list of customers.
type CustomerFilter = store.CustomerFilter

// Customer reads one customer. CodeNotFound.
func (d *Desk) Customer(ctx context.Context, id string) (jobs.Customer, error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.Customer, error) { return tx.Customer(id) })
}

// Customers reads a part of the list by name.
func (d *Desk) Customers(ctx context.Context, filter CustomerFilter, page jobs.Page) (jobs.List[jobs.Customer], error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.List[jobs.Customer], error) { return tx.Customers(filter, page) })
}
