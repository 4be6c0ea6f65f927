package store

import (
	"slices"

	"ebbline/jobs"
)

type contactRow struct {
	ID         string
	CustomerID string
	Position   int
	Role       string
	Name       string
	Email      string
	EmailKey   string
	Phone      string
	PhoneText  string
	Language   string
	Channel    string

	decisions []jobs.Decision
	topics    []jobs.Topic
}

func (contactRow) TableName() string { return "contacts" }

type contactDecisionRow struct{ ContactID, Decision string }

func (contactDecisionRow) TableName() string { return "contact_decisions" }

type contactTopicRow struct{ ContactID, Topic string }

func (contactTopicRow) TableName() string { return "contact_topics" }

func (r contactRow) contact() jobs.Contact {
	return jobs.Contact{
		ID: r.ID, Role: jobs.ContactRole(r.Role), Name: r.Name, Email: r.Email,
		Phone: r.Phone, PhoneText: r.PhoneText, Language: r.Language, Channel: jobs.Channel(r.Channel),
		MayDecide: r.decisions, Topics: r.topics,
	}
}

// contacts reads the contacts of customers in their order.
func (tx *Tx) contacts(customerIDs ...string) ([]contactRow, error) {
	if len(customerIDs) == 0 {
		return nil, nil
	}
	rows, err := all[contactRow](tx, "customer_id, position", "customer_id IN ?", customerIDs)
	if err != nil || len(rows) == 0 {
		return rows, err
	}
	at, ids := map[string]int{}, make([]string, len(rows))
	for i, r := range rows {
		at[r.ID], ids[i] = i, r.ID
	}
	decisions, err := all[contactDecisionRow](tx, "contact_id", "contact_id IN ?", ids)
	if err != nil {
		return nil, err
	}
	topics, err := all[contactTopicRow](tx, "contact_id", "contact_id IN ?", ids)
	if err != nil {
		return nil, err
	}
	for _, d := range decisions {
		r := &rows[at[d.ContactID]]
		r.decisions = append(r.decisions, jobs.Decision(d.Decision))
	}
	for _, t := range topics {
		r := &rows[at[t.ContactID]]
		r.topics = append(r.topics, jobs.Topic(t.Topic))
	}
	for i := range rows {
		inOrder(rows[i].decisions, jobs.Decisions)
		inOrder(rows[i].topics, jobs.Topics)
	}
	return rows, nil
}

// inOrder sorts words as the list of all words has them.
func inOrder[T comparable](words, list []T) {
	slices.SortFunc(words, func(a, b T) int { return slices.Index(list, a) - slices.Index(list, b) })
}

// putContacts makes the stored contacts those given: known ids are changed, new
// ones added, missing ones removed. An id of another customer's contact is
// CodeNotFound.
func (tx *Tx) putContacts(customerID string, old []contactRow, contacts []jobs.Contact) error {
	gone := map[string]bool{}
	for _, r := range old {
		gone[r.ID] = true
	}
	for i, c := range contacts {
		row := contactRow{
			ID: c.ID, CustomerID: customerID, Position: i, Role: string(c.Role), Name: c.Name,
			Email: c.Email, EmailKey: jobs.FoldEmail(c.Email), Phone: c.Phone, PhoneText: c.PhoneText,
			Language: c.Language, Channel: string(c.Channel),
		}
		var err error
		if gone[c.ID] {
			delete(gone, c.ID)
			err = tx.db.Model(&contactRow{}).Where("id = ?", c.ID).Updates(map[string]any{
				"position": row.Position, "role": row.Role, "name": row.Name, "email": row.Email,
				"email_key": row.EmailKey, "phone": row.Phone, "phone_text": row.PhoneText,
				"language": row.Language, "channel": row.Channel,
			}).Error
		} else {
			err = tx.insert(&row)
		}
		if err == nil {
			err = tx.putContactWords(c)
		}
		if err != nil {
			return err
		}
	}
	for id := range gone {
		if err := tx.db.Where("id = ?", id).Delete(&contactRow{}).Error; err != nil {
			return err
		}
	}
	return nil
}

func (tx *Tx) putContactWords(c jobs.Contact) error {
	if err := tx.db.Where("contact_id = ?", c.ID).Delete(&contactDecisionRow{}).Error; err != nil {
		return err
	}
	if err := tx.db.Where("contact_id = ?", c.ID).Delete(&contactTopicRow{}).Error; err != nil {
		return err
	}
	for _, d := range c.MayDecide {
		if err := tx.insert(&contactDecisionRow{c.ID, string(d)}); err != nil {
			return err
		}
	}
	for _, t := range c.Topics {
		if err := tx.insert(&contactTopicRow{c.ID, string(t)}); err != nil {
			return err
		}
	}
	return nil
}
