package jobs

import (
	"crypto/sha256"
	"encoding/hex"
	"time"
)

// LinkPurpose is the one thing that a customer's link is for.
type LinkPurpose string

// What links are for.
const (
	LinkQuote  LinkPurpose = "quote"
	LinkPrep   LinkPurpose = "prep"
	LinkWindow LinkPurpose = "window"
	LinkFill   LinkPurpose = "fill"
)

// CustomerLink lets a customer answer without an account. Only the hash of its
// secret is kept; opening it changes nothing; it ends by itself.
type CustomerLink struct {
	ID        string
	Hash      string // hex of SHA-256 of the secret in the link
	Purpose   LinkPurpose
	BranchID  string
	JobID     string
	ContactID string
	QuoteID   string
	ExpiresAt time.Time
	UsedAt    *time.Time
	RevokedAt *time.Time
	CreatedAt time.Time
}

// LinkHash is what is kept of a link's secret.
func LinkHash(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}

// Open says whether the link may be used at an instant.
func (l CustomerLink) Open(now time.Time) bool {
	return l.RevokedAt == nil && now.Before(l.ExpiresAt)
}

// May lists what can be answered behind the link.
func (p LinkPurpose) May() []string {
	switch p {
	case LinkQuote:
		return []string{"approved", "declined"}
	case LinkPrep:
		return []string{"started", "reading", "reached", "window_accepted", "window_declined", "another_asked"}
	case LinkWindow:
		return []string{"window_accepted", "window_declined", "another_asked"}
	case LinkFill:
		return []string{"reading", "fill_opened", "fill_closed"}
	}
	return nil
}
