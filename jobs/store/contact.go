package store

import (
	"strings"

	"ebbline/jobs"
)

type contactRow struct {
	ID         string
	CustomerID string
	Role       string
	Name       string
	Email      string
	EmailKey   string
	Phone      string
	PhoneText  string
	Language   string
	Channel    string
	MayDecide  bool
	Notices    *string
	Version    int64
	CreatedAt  int64 `gorm:"autoCreateTime:false"`
	UpdatedAt  int64 `gorm:"autoUpdateTime:false"`
}

func (contactRow) TableName() string { return "contacts" }

func (r contactRow) contact() jobs.Contact {
	c := jobs.Contact{
		ID: r.ID, CustomerID: r.CustomerID,
		ContactData: jobs.ContactData{
			Role: jobs.ContactRole(r.Role), Name: r.Name, Email: r.Email, Phone: r.Phone, PhoneText: r.PhoneText,
			Language: r.Language, Channel: jobs.Channel(r.Channel), MayDecide: r.MayDecide,
		},
		Version: r.Version, CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt),
	}
	if r.Notices != nil {
		c.Notices = strings.Fields(*r.Notices) // empty, not nil, for none at all
	}
	return c
}

// InsertContact adds a contact.
func (tx *Tx) InsertContact(c jobs.Contact) error {
	return tx.insert(&contactRow{
		ID: c.ID, CustomerID: c.CustomerID, Role: string(c.Role), Name: c.Name,
		Email: c.Email, EmailKey: jobs.FoldEmail(c.Email), Phone: c.Phone, PhoneText: c.PhoneText,
		Language: c.Language, Channel: string(c.Channel), MayDecide: c.MayDecide, Notices: words(c.Notices),
		Version: c.Version, CreatedAt: secs(c.CreatedAt), UpdatedAt: secs(c.UpdatedAt),
	})
}

// UpdateContact writes c over the version it was read at. CodeStale,
// CodeNotFound.
func (tx *Tx) UpdateContact(c jobs.Contact) error {
	return tx.update("contact", &contactRow{}, c.ID, c.Version, c.UpdatedAt, change{
		"role": string(c.Role), "name": c.Name, "email": c.Email, "email_key": jobs.FoldEmail(c.Email),
		"phone": c.Phone, "phone_text": c.PhoneText, "language": c.Language, "channel": string(c.Channel),
		"may_decide": c.MayDecide, "notices": words(c.Notices),
	})
}

// DeleteContact removes a contact that nothing refers to. CodeStale,
// CodeNotFound, CodeConflict.
func (tx *Tx) DeleteContact(id string, version int64) error {
	return tx.remove("contact", &contactRow{}, id, version)
}

// Contact reads one contact. CodeNotFound.
func (tx *Tx) Contact(id string) (jobs.Contact, error) {
	row, err := first[contactRow](tx, "contact", "id = ?", id)
	if err != nil {
		return jobs.Contact{}, err
	}
	list, err := tx.withOptOuts([]contactRow{row})
	if err != nil {
		return jobs.Contact{}, err
	}
	return list[0], nil
}

// Contacts reads the contacts of customers in the order they were entered.
func (tx *Tx) Contacts(customerIDs ...string) ([]jobs.Contact, error) {
	if len(customerIDs) == 0 {
		return nil, nil
	}
	rows, err := all[contactRow](tx, "created_at, id", "customer_id IN ?", customerIDs)
	if err != nil {
		return nil, err
	}
	return tx.withOptOuts(rows)
}

// withOptOuts adds the channels that the contacts' addresses have stopped.
func (tx *Tx) withOptOuts(rows []contactRow) ([]jobs.Contact, error) {
	var addresses []string
	for _, r := range rows {
		for _, a := range []string{r.EmailKey, r.Phone} {
			if a != "" {
				addresses = append(addresses, a)
			}
		}
	}
	stopped, err := tx.Stopped(addresses...)
	if err != nil {
		return nil, err
	}
	out := make([]jobs.Contact, len(rows))
	for i, r := range rows {
		out[i] = r.contact()
		if stopped[Address{jobs.ChannelEmail, r.EmailKey}] {
			out[i].OptedOut = append(out[i].OptedOut, jobs.ChannelEmail)
		}
		if stopped[Address{jobs.ChannelSMS, r.Phone}] {
			out[i].OptedOut = append(out[i].OptedOut, jobs.ChannelSMS)
		}
	}
	return out, nil
}

// words stores a list of words; nil becomes NULL.
func words(list []string) *string {
	if list == nil {
		return nil
	}
	s := strings.Join(list, " ")
	return &s
}
