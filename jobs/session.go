package jobs

import "time"

// How long sessions live.
const (
	AccessLife   = 10 * time.Minute    // an access token
	SessionLife  = 30 * 24 * time.Hour // a sign-in, however often it is renewed
	RefreshGrace = 30 * time.Second    // a spent refresh token still serves its own device
)

// Session is one sign-in on one device: a family of refresh tokens of which
// each serves once.
type Session struct {
	ID        string
	UserID    string
	Device    string // hash of the device's own secret
	Label     string // how the device called itself, for the person's list
	Epoch     int64  // the user's epoch at sign-in
	CreatedAt time.Time
	ExpiresAt time.Time
	EndedAt   time.Time // zero while it lives
	EndedWhy  string
}

// Live says whether the session still serves u at now.
func (s Session) Live(u User, now time.Time) bool {
	return s.EndedAt.IsZero() && now.Before(s.ExpiresAt) && !u.Disabled && s.Epoch == u.Epoch && s.UserID == u.ID
}

// RefreshToken is one link of a session's chain, known by its hash only.
type RefreshToken struct {
	Hash      string // SHA-256 of the token, hex
	SessionID string
	IssuedAt  time.Time
	SpentAt   time.Time // zero while unspent
}
