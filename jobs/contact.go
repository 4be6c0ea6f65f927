package jobs

import (
	"fmt"
	"strings"
	"time"
)

// ContactRole is what a person is to the pool.
type ContactRole string

// The roles of contacts.
const (
	ContactPayer    ContactRole = "payer"
	ContactOccupant ContactRole = "occupant"
	ContactOwner    ContactRole = "owner" // owns the place and does not live there
	ContactManager  ContactRole = "manager"
	ContactGate     ContactRole = "gate"
	ContactPoolCare ContactRole = "pool_care" // who would else refill, dose or start a pump
)

// ContactRoles lists the roles.
var ContactRoles = []ContactRole{ContactPayer, ContactOccupant, ContactOwner, ContactManager, ContactGate, ContactPoolCare}

// Channel is how notices reach a person.
type Channel string

// The channels. ChannelNone means that the office calls by hand.
const (
	ChannelEmail Channel = "email"
	ChannelSMS   Channel = "sms"
	ChannelNone  Channel = "none"
)

// Channels lists the channels.
var Channels = []Channel{ChannelEmail, ChannelSMS, ChannelNone}

// Languages that notices are written in.
var Languages = []string{"en", "es"}

// Contact is a person of a customer in one role.
type Contact struct {
	ID         string
	CustomerID string
	ContactData
	OptedOut  []Channel // channels that the person has stopped; read only
	Version   int64     // grows by one with every change; the ETag
	CreatedAt time.Time
	UpdatedAt time.Time
}

// ContactData is what people enter and change.
type ContactData struct {
	Role      ContactRole
	Name      string
	Email     string // empty: none known
	Phone     string // E.164 (+15595550123); empty: none known
	PhoneText string // as it was entered
	Language  string
	Channel   Channel
	MayDecide bool     // about price, day and draining
	Notices   []string // kinds of notice; nil: the usual ones of the role
}

// Check refuses what is wrong, all of it at once.
func (c ContactData) Check() error {
	var f Faults
	c.check(&f, "")
	return f.Err()
}

// check notes what is wrong; at is the path before the field, with its dot.
func (c ContactData) check(f *Faults, at string) {
	OneOf(f, at+"role", c.Role, ContactRoles)
	f.Line(at+"name", c.Name, 1, MaxName)
	f.Check(c.Email == "" || ValidEmail(c.Email), at+"email", c.Email, "an e-mail address such as name@example.com")
	f.Check(c.Phone == "" || validE164(c.Phone), at+"phone", c.PhoneText, "a phone number such as +1 559 555 0123")
	f.Line(at+"phone", c.PhoneText, 0, MaxName)
	OneOf(f, at+"language", c.Language, Languages)
	OneOf(f, at+"channel", c.Channel, Channels)
	f.Check(c.Channel != ChannelEmail || c.Email != "", at+"email", "", "needed, because notices go by email")
	f.Check(c.Channel != ChannelSMS || c.Phone != "", at+"phone", c.PhoneText, "needed, because notices go by sms")
	f.Check(len(c.Notices) <= 40, at+"notices", itoa(len(c.Notices)), "at most 40 kinds")
	for i, n := range c.Notices {
		ok := n != "" && strings.Trim(n, "abcdefghijklmnopqrstuvwxyz_") == ""
		f.Check(ok, fmt.Sprintf("%snotices.%d", at, i), n, "a kind of notice such as booking")
	}
}

// ValidEmail says whether s has the form of an address that mail can be sent
// to: one @, a dotted domain, no blanks or quotes. RFC 5321 (4.5.3.1, from
// memory) allows 64 octets before the @; 254 in all follow from its path limit.
func ValidEmail(s string) bool {
	local, domain, ok := strings.Cut(s, "@")
	if !ok || local == "" || len(local) > 64 || len(s) > 254 || !PlainText(s, false) {
		return false
	}
	if strings.ContainsAny(s, " \t\",;:<>()[]\\") || strings.Contains(domain, "@") || strings.Contains(s, "..") {
		return false
	}
	dot := strings.LastIndexByte(domain, '.')
	return dot > 0 && dot < len(domain)-1 && domain[0] != '.' && domain[0] != '-'
}

// validE164 follows ITU-T E.164: a plus sign and at most 15 digits.
func validE164(s string) bool {
	if len(s) < 8 || len(s) > 16 || s[0] != '+' || s[1] == '0' {
		return false
	}
	return strings.Trim(s[1:], "0123456789") == ""
}
