package jobs

import "time"

// AuditEntry records one act: who did what to which thing, and when. Every act
// that changes something writes one in the same transaction.
type AuditEntry struct {
	ID       string
	At       time.Time
	Actor    Actor
	Act      string // the operation's name, such as createCustomer
	Noun     string // what it was done to, such as customer
	NounID   string
	Version  int64  // the version that the act made
	BranchID string // empty where the noun has none
	Note     string // a few words for the reader; no secrets
}
