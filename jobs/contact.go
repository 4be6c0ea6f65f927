package jobs

import (
	"fmt"
	"strings"
)

// ContactRole is what a person is to the pool.
type ContactRole string

// The roles of contacts. One person may be entered once per role.
const (
	ContactPayer       ContactRole = "payer"
	ContactOccupant    ContactRole = "occupant"
	ContactAbsentOwner ContactRole = "absent_owner"
	ContactManager     ContactRole = "manager"
	ContactGate        ContactRole = "gate"
	ContactPoolCare    ContactRole = "pool_care" // who would refill, dose or start a pump
)

// ContactRoles lists the roles in the order in which people expect them.
var ContactRoles = []ContactRole{ContactPayer, ContactOccupant, ContactAbsentOwner, ContactManager, ContactGate, ContactPoolCare}

// Channel is how notices reach a person.
type Channel string

// The channels. ChannelCall means that the office calls by hand.
const (
	ChannelEmail Channel = "email"
	ChannelSMS   Channel = "sms"
	ChannelCall  Channel = "call"
)

// Channels lists the channels.
var Channels = []Channel{ChannelEmail, ChannelSMS, ChannelCall}

// Decision is something a contact may settle for the customer.
type Decision string

// The decisions: price (quote and extra work), time (window and day), water
// (draining and its risk).
const (
	DecidePrice Decision = "price"
	DecideTime  Decision = "time"
	DecideWater Decision = "water"
)

// Decisions lists the decisions.
var Decisions = []Decision{DecidePrice, DecideTime, DecideWater}

// Topic is a group of notices that a contact gets.
type Topic string

// The topics of notices to contacts.
const (
	TopicQuote   Topic = "quote"   // quote and approval
	TopicBooking Topic = "booking" // booked, moved, withdrawn
	TopicWater   Topic = "water"   // drain, halfway reading, fill
	TopicDay     Topic = "day"     // the crew has left, is late
	TopicAfter   Topic = "after"   // how to use, season
)

// Topics lists the topics.
var Topics = []Topic{TopicQuote, TopicBooking, TopicWater, TopicDay, TopicAfter}

// Contact is a person to talk to about a customer's pools.
type Contact struct {
	ID        string // empty for a new one
	Role      ContactRole
	Name      string
	Email     string // empty: none known
	Phone     string // E.164 (+15595550123); empty: none known
	PhoneText string // as it was entered
	Language  string // BCP 47 tag, such as en or es
	Channel   Channel
	MayDecide []Decision
	Topics    []Topic
}

// Check notes what is wrong with c under the dotted path at.
func (c Contact) Check(f *Faults, at string) {
	if c.ID != "" {
		f.ID(at+".id", c.ID)
	}
	OneOf(f, at+".role", c.Role, ContactRoles)
	f.Line(at+".name", c.Name, 1, MaxName)
	f.Check(c.Email == "" || ValidEmail(c.Email), at+".email", c.Email, "an e-mail address such as name@example.com")
	f.Check(c.Phone == "" || validE164(c.Phone), at+".phone", c.PhoneText, "a phone number such as +1 559 555 0123")
	f.Check(validLanguage(c.Language), at+".language", c.Language, "a language tag such as en or es")
	OneOf(f, at+".channel", c.Channel, Channels)
	f.Check(c.Channel != ChannelEmail || c.Email != "", at+".email", "", "needed, because notices go by email")
	f.Check(c.Channel == ChannelEmail || c.Phone != "", at+".phone", c.PhoneText, "needed, because notices go by phone")
	checkSet(f, at+".mayDecide", c.MayDecide, Decisions)
	checkSet(f, at+".topics", c.Topics, Topics)
}

func checkSet[T ~string](f *Faults, at string, got, words []T) {
	seen := map[T]bool{}
	for i, g := range got {
		OneOf(f, fmt.Sprintf("%s.%d", at, i), g, words)
		f.Check(!seen[g], fmt.Sprintf("%s.%d", at, i), string(g), "each word once")
		seen[g] = true
	}
}

// ValidEmail says whether s has the form of an address that mail can be sent
// to: one @, a dotted domain, no blanks or quotes. RFC 5321 allows 254
// characters in all and 64 before the @.
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

func validLanguage(s string) bool {
	if len(s) < 2 || len(s) > 35 {
		return false
	}
	for i, part := range strings.Split(s, "-") {
		if part == "" || len(part) > 8 || (i == 0 && len(part) > 3) {
			return false
		}
		for _, r := range part {
			if (r < 'a' || r > 'z') && (r < 'A' || r > 'Z') && (i == 0 || r < '0' || r > '9') {
				return false
			}
		}
	}
	return true
}
