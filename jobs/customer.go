package jobs

import (
	"fmt"
	"strconv"
	"time"
)

// MaxContacts bounds the contacts of one customer.
const MaxContacts = 20

// Customer is who a pool's work is done for, with the people to talk to.
type Customer struct {
	ID       string
	BranchID string
	CustomerData
	Version   int64 // grows by one with every change; the ETag
	CreatedAt time.Time
	UpdatedAt time.Time
}

// CustomerData is what people enter and change.
type CustomerData struct {
	Name     string
	Notes    string
	Contacts []Contact // in the order in which to try them
}

// NewCustomer is a customer as it is entered.
type NewCustomer struct {
	BranchID string
	CustomerData
}

// Check refuses what is wrong, all of it at once.
func (n NewCustomer) Check() error {
	var f Faults
	f.ID("branchId", n.BranchID)
	n.CustomerData.check(&f)
	return f.Err()
}

// Check refuses what is wrong, all of it at once.
func (d CustomerData) Check() error {
	var f Faults
	d.check(&f)
	return f.Err()
}

func (d CustomerData) check(f *Faults) {
	f.Line("name", d.Name, 1, MaxName)
	f.Note("notes", d.Notes)
	f.Check(len(d.Contacts) <= MaxContacts, "contacts", itoa(len(d.Contacts)), "at most "+itoa(MaxContacts))
	seen := map[string]bool{}
	for i, c := range d.Contacts {
		at := fmt.Sprintf("contacts.%d", i)
		c.Check(f, at)
		f.Check(c.ID == "" || !seen[c.ID], at+".id", c.ID, "each contact once")
		seen[c.ID] = true
	}
}

func itoa(n int) string { return strconv.Itoa(n) }
