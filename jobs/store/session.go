package store

import (
	"time"

	"ebbline/jobs"
)

type sessionRow struct {
	ID        string
	UserID    string
	Device    string
	Label     string
	Epoch     int64
	CreatedAt int64 `gorm:"autoCreateTime:false"`
	ExpiresAt int64
	EndedAt   *int64
	EndedWhy  string
}

func (sessionRow) TableName() string { return "sessions" }

func (r sessionRow) session() jobs.Session {
	return jobs.Session{
		ID: r.ID, UserID: r.UserID, Device: r.Device, Label: r.Label, Epoch: r.Epoch,
		CreatedAt: instant(r.CreatedAt), ExpiresAt: instant(r.ExpiresAt),
		EndedAt: maybeInstant(r.EndedAt), EndedWhy: r.EndedWhy,
	}
}

type refreshTokenRow struct {
	Hash      string
	SessionID string
	IssuedAt  int64
	SpentAt   *int64
}

func (refreshTokenRow) TableName() string { return "refresh_tokens" }

// InsertSession adds a session.
func (tx *Tx) InsertSession(s jobs.Session) error {
	return tx.insert(&sessionRow{
		ID: s.ID, UserID: s.UserID, Device: s.Device, Label: s.Label, Epoch: s.Epoch,
		CreatedAt: secs(s.CreatedAt), ExpiresAt: secs(s.ExpiresAt),
	})
}

// Session reads one session.
func (tx *Tx) Session(id string) (jobs.Session, error) {
	row, err := first[sessionRow](tx, "session", "id = ?", id)
	return row.session(), err
}

// EndSession ends a session; one that has ended keeps its first reason.
func (tx *Tx) EndSession(id, why string, at time.Time) error {
	return tx.db.Model(&sessionRow{}).Where("id = ? AND ended_at IS NULL", id).
		Updates(map[string]any{"ended_at": secs(at), "ended_why": why}).Error
}

// InsertRefreshToken adds an unspent token.
func (tx *Tx) InsertRefreshToken(t jobs.RefreshToken) error {
	return tx.insert(&refreshTokenRow{Hash: t.Hash, SessionID: t.SessionID, IssuedAt: secs(t.IssuedAt)})
}

// RefreshToken finds a token by its hash.
func (tx *Tx) RefreshToken(hash string) (jobs.RefreshToken, error) {
	r, err := first[refreshTokenRow](tx, "token", "hash = ?", hash)
	return jobs.RefreshToken{Hash: r.Hash, SessionID: r.SessionID, IssuedAt: instant(r.IssuedAt),
		SpentAt: maybeInstant(r.SpentAt)}, err
}

// SpendRefreshToken marks a token as spent; false means that another request
// was faster.
func (tx *Tx) SpendRefreshToken(hash string, at time.Time) (bool, error) {
	done := tx.db.Model(&refreshTokenRow{}).Where("hash = ? AND spent_at IS NULL", hash).
		Updates(map[string]any{"spent_at": secs(at)})
	return done.RowsAffected == 1, done.Error
}

// SweepSessions removes sessions whose time ended before the instant, with
// their tokens.
func (tx *Tx) SweepSessions(before time.Time) (int64, error) {
	done := tx.db.Where("expires_at < ?", secs(before)).Delete(&sessionRow{})
	return done.RowsAffected, done.Error
}
