package store

import (
	"ebbline/jobs"
)

type customerRow struct {
	ID        string
	BranchID  string
	Name      string
	NameKey   string
	Notes     string
	Version   int64
	CreatedAt int64 `gorm:"autoCreateTime:false"`
	UpdatedAt int64 `gorm:"autoUpdateTime:false"`
}

func (customerRow) TableName() string { return "customers" }

func (r customerRow) customer() jobs.Customer {
	return jobs.Customer{
		ID: r.ID, BranchID: r.BranchID,
		CustomerData: jobs.CustomerData{Name: r.Name, Notes: r.Notes},
		Version:      r.Version, CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt),
	}
}

// InsertCustomer adds a customer with its contacts, whose ids are set.
func (tx *Tx) InsertCustomer(c jobs.Customer) error {
	err := tx.insert(&customerRow{
		ID: c.ID, BranchID: c.BranchID, Name: c.Name, NameKey: jobs.FoldKey(c.Name), Notes: c.Notes,
		Version: c.Version, CreatedAt: secs(c.CreatedAt), UpdatedAt: secs(c.UpdatedAt),
	})
	if err != nil {
		return err
	}
	return tx.putContacts(c.ID, nil, c.Contacts)
}

// UpdateCustomer writes c over the version it was read at (c.Version) and puts
// the contacts in place of the old ones, by id. CodeStale, CodeNotFound.
func (tx *Tx) UpdateCustomer(c jobs.Customer) error {
	err := tx.update("customer", &customerRow{}, c.ID, c.Version, c.UpdatedAt,
		change{"name": c.Name, "name_key": jobs.FoldKey(c.Name), "notes": c.Notes})
	if err != nil {
		return err
	}
	old, err := tx.contacts(c.ID)
	if err != nil {
		return err
	}
	return tx.putContacts(c.ID, old, c.Contacts)
}

// DeleteCustomer removes a customer that nothing refers to. CodeStale,
// CodeNotFound, CodeConflict.
func (tx *Tx) DeleteCustomer(id string, version int64) error {
	return tx.remove("customer", &customerRow{}, id, version)
}

// Customer reads one customer with its contacts.
func (tx *Tx) Customer(id string) (jobs.Customer, error) {
	row, err := first[customerRow](tx, "customer", "id = ?", id)
	if err != nil {
		return jobs.Customer{}, err
	}
	list, err := tx.withContacts([]customerRow{row})
	if err != nil {
		return jobs.Customer{}, err
	}
	return list[0], nil
}

// CustomerFilter narrows a list of customers; empty fields narrow nothing.
type CustomerFilter struct {
	BranchID string
	Name     string // a beginning of the name
}

// Customers reads a part of the list by name.
func (tx *Tx) Customers(filter CustomerFilter, page jobs.Page) (jobs.List[jobs.Customer], error) {
	after, err := readCursor(page)
	if err != nil {
		return jobs.List[jobs.Customer]{}, err
	}
	q := tx.db.Order("name_key, id").Limit(page.Size() + 1)
	if after.ID != "" {
		q = q.Where("(name_key, id) > (?, ?)", after.Key, after.ID)
	}
	if filter.BranchID != "" {
		q = q.Where("branch_id = ?", filter.BranchID)
	}
	if key := jobs.FoldKey(filter.Name); key != "" {
		q = q.Where("substr(name_key, 1, ?) = ?", len([]rune(key)), key)
	}
	var rows []customerRow
	if err := q.Find(&rows).Error; err != nil {
		return jobs.List[jobs.Customer]{}, err
	}
	part := cut(rows, page.Size(), func(r customerRow) cursor { return cursor{r.NameKey, r.ID} })
	items, err := tx.withContacts(part.Items)
	return jobs.List[jobs.Customer]{Items: items, Next: part.Next}, err
}

// withContacts reads the contacts of all rows by one statement per table.
func (tx *Tx) withContacts(rows []customerRow) ([]jobs.Customer, error) {
	ids := make([]string, len(rows))
	for i, r := range rows {
		ids[i] = r.ID
	}
	contacts, err := tx.contacts(ids...)
	if err != nil {
		return nil, err
	}
	out := make([]jobs.Customer, len(rows))
	for i, r := range rows {
		out[i] = r.customer()
		for _, c := range contacts {
			if c.CustomerID == r.ID {
				out[i].Contacts = append(out[i].Contacts, c.contact())
			}
		}
	}
	return out, nil
}
