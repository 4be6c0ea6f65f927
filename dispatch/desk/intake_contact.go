package desk

import (
	"context"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

func (d *Desk) newContact(call Call, customerID string, in jobs.ContactData) jobs.Contact {
	return jobs.Contact{ID: d.ids.New(), CustomerID: customerID, ContactData: in,
		Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now}
}

// AddContact adds a person to a customer. CodeInvalid, CodeNotFound.
func (d *Desk) AddContact(ctx context.Context, call Call, customerID string, in jobs.ContactData) (Outcome, error) {
	in = cleanContact(in)
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	c := d.newContact(call, customerID, in)
	return d.act(ctx, call, "addContact", func(tx *store.Tx) (Outcome, error) {
		owner, err := tx.Customer(customerID)
		if err != nil {
			return Outcome{}, err
		}
		if len(owner.Contacts) >= jobs.MaxContacts {
			return Outcome{}, jobs.Errorf(jobs.CodeConflict, "A customer has at most %d contacts", jobs.MaxContacts)
		}
		return Outcome{Noun: "contact", NounID: c.ID, Version: 1, BranchID: owner.BranchID}, tx.InsertContact(c)
	})
}

// ChangeContact puts new data in place of the old. CodeInvalid, CodeNotFound,
// CodeStale.
func (d *Desk) ChangeContact(ctx context.Context, call Call, id string, version int64, in jobs.ContactData) (Outcome, error) {
	in = cleanContact(in)
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	return d.act(ctx, call, "changeContact", func(tx *store.Tx) (Outcome, error) {
		c := jobs.Contact{ID: id, ContactData: in, Version: version, UpdatedAt: call.Now}
		return Outcome{Noun: "contact", NounID: id, Version: version + 1}, tx.UpdateContact(c)
	})
}

// RemoveContact takes a person away to whom nothing was ever written.
// CodeNotFound, CodeStale, CodeConflict.
func (d *Desk) RemoveContact(ctx context.Context, call Call, id string, version int64) (Outcome, error) {
	return d.act(ctx, call, "removeContact", func(tx *store.Tx) (Outcome, error) {
		return Outcome{Noun: "contact", NounID: id, Version: version + 1}, tx.DeleteContact(id, version)
	})
}

// Contact reads one contact. CodeNotFound.
func (d *Desk) Contact(ctx context.Context, id string) (jobs.Contact, error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.Contact, error) { return tx.Contact(id) })
}
