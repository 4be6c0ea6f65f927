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
	ID       string
	BranchID string
	CustomerData
	Contacts  []Contact // in the order in which they were entered
	Version   int64     // grows by one with every change; the ETag
	CreatedAt time.Time
	UpdatedAt time.Time
}

// CustomerData is what people enter and change.
type CustomerData struct {
	Name string
	Note string
}

// check notes what is wrong; at is the path before the field, with its dot.
func (d CustomerData) check(f *Faults, at string) {
	f.Line(at+"name", d.Name, 1, MaxName)
	f.Note(at+"note", d.Note)
}

// NewCustomer is a customer as it is entered.
type NewCustomer struct {
	BranchID string
	CustomerData
	Contacts []ContactData
}

// Check refuses what is wrong, all of it at once.
func (n NewCustomer) Check() error {
	var f Faults
	f.ID("branch_id", n.BranchID)
	n.CustomerData.check(&f, "")
	checkContacts(&f, "", n.Contacts)
	return f.Err()
}

func checkContacts(f *Faults, at string, contacts []ContactData) {
	f.Check(len(contacts) <= MaxContacts, at+"contacts", itoa(len(contacts)), "at most "+itoa(MaxContacts))
	for i, c := range contacts {
		c.check(f, fmt.Sprintf("%scontacts.%d.", at, i))
	}
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
	}
	if ch.Note != nil {
		c.Note = *ch.Note
	}
	c.CustomerData.check(&f, "")
	return c, f.Err()
}

func itoa(n int) string { return strconv.Itoa(n) }
