package store

import "ebbline/jobs"

type customerRow struct {
	ID        string
	BranchID  string
	Name      string
	NameKey   string
	Note      string
	Version   int64
	CreatedAt int64 `gorm:"autoCreateTime:false"`
	UpdatedAt int64 `gorm:"autoUpdateTime:false"`
}

func (customerRow) TableName() string { return "customers" }

func (r customerRow) customer() jobs.Customer {
	return jobs.Customer{
		ID: r.ID, BranchID: r.BranchID, CustomerData: jobs.CustomerData{Name: r.Name, Note: r.Note},
		Version: r.Version, CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt),
	}
}

// InsertCustomer adds a customer with its contacts.
func (tx *Tx) InsertCustomer(c jobs.Customer) error {
	err := tx.insert(&customerRow{
		ID: c.ID, BranchID: c.BranchID, Name: c.Name, NameKey: jobs.FoldKey(c.Name), Note: c.Note,
		Version: c.Version, CreatedAt: secs(c.CreatedAt), UpdatedAt: secs(c.UpdatedAt),
	})
	for i := 0; err == nil && i < len(c.Contacts); i++ {
		err = tx.InsertContact(c.Contacts[i])
	}
	return err
}

// UpdateCustomer writes name and note over the version that c was read at; its
// contacts are things of their own. CodeStale, CodeNotFound.
func (tx *Tx) UpdateCustomer(c jobs.Customer) error {
	return tx.update("customer", &customerRow{}, c.ID, c.Version, c.UpdatedAt,
		change{"name": c.Name, "name_key": jobs.FoldKey(c.Name), "note": c.Note})
}

// Customer reads one customer with its contacts. CodeNotFound.
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
	Query    string // a part of the name
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
	if key := jobs.FoldKey(filter.Query); key != "" {
		q = q.Where(`name_key LIKE ? ESCAPE '\'`, "%"+likeText(key)+"%")
	}
	var rows []customerRow
	if err := q.Find(&rows).Error; err != nil {
		return jobs.List[jobs.Customer]{}, err
	}
	part := cut(rows, page.Size(), func(r customerRow) cursor { return cursor{r.NameKey, r.ID} })
	items, err := tx.withContacts(part.Items)
	return jobs.List[jobs.Customer]{Items: items, Next: part.Next}, err
}

// withContacts reads the contacts of all rows at once.
func (tx *Tx) withContacts(rows []customerRow) ([]jobs.Customer, error) {
	ids := make([]string, len(rows))
	for i, r := range rows {
		ids[i] = r.ID
	}
	contacts, err := tx.Contacts(ids...)
	if err != nil {
		return nil, err
	}
	of := map[string][]jobs.Contact{}
	for _, c := range contacts {
		of[c.CustomerID] = append(of[c.CustomerID], c)
	}
	out := make([]jobs.Customer, len(rows))
	for i, r := range rows {
		out[i] = r.customer()
		out[i].Contacts = of[r.ID]
	}
	return out, nil
}
