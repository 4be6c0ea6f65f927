package jobs

import (
	"fmt"
	"strconv"
	"time"
)

// MaxContacts bounds the contacts that one request brings.
const MaxContacts = 20

// Customer is who a pool's work is done for, with the people to talk to.
type Customer struct {
	ID        string
	BranchID  string
	Name      string
	Note      string
	Contacts  []Contact // in the order in which they were entered
	Version   int64     // grows by one with every change; the ETag
	CreatedAt time.Time
	UpdatedAt time.Time
}

// NewCustomer is a customer as it is entered.
type NewCustomer struct {
	BranchID string
	Name     string
	Note     string
	Contacts []ContactData
}

// Check refuses what is wrong, all of it at once.
func (n NewCustomer) Check() error {
	var f Faults
	f.ID("branch_id", n.BranchID)
	f.Line("name", n.Name, 1, MaxName)
	f.Note("note", n.Note)
	f.Check(len(n.Contacts) <= MaxContacts, "contacts", itoa(len(n.Contacts)), "at most "+itoa(MaxContacts))
	for i, c := range n.Contacts {
		c.check(&f, fmt.Sprintf("contacts.%d.", i))
	}
	return f.Err()
}

// CustomerChange sets what is not nil.
type CustomerChange struct {
	Name *string
	Note *string
}

// Apply is c with the change made, or all that is wrong with it.
func (ch CustomerChange) Apply(c Customer) (Customer, error) {
	var f Faults
	if ch.Name != nil {
		c.Name = CleanLine(*ch.Name)
		f.Line("name", c.Name, 1, MaxName)
	}
	if ch.Note != nil {
		c.Note = *ch.Note
		f.Note("note", c.Note)
	}
	return c, f.Err()
}

func itoa(n int) string { return strconv.Itoa(n) }
