package store

import (
	"errors"
	"time"

	"gorm.io/gorm"

	"ebbline/jobs"
)

// Outcome is what an act came to, kept with its idempotency key in the act's
// own transaction.
type Outcome struct {
	Noun   string // what was made or changed: "customer"
	NounID string
	// Version that the act made.
	Version int64
	// Note holds what more the answer needs, in the act's own form; no secrets.
	Note string
	// BranchID is for the audit; empty where the noun has none.
	BranchID string
	// Replayed says that this came from the store: nothing was done again.
	Replayed bool
}

type outcomeRow struct {
	Actor       string
	Act         string
	Key         string
	Fingerprint string
	Noun        string
	NounID      string
	Version     int64
	Note        string
	MadeAt      int64
}

func (outcomeRow) TableName() string { return "outcomes" }

// HoldKey makes sure that nobody else is at work on the same key until this
// transaction ends. CodeKeyBusy when somebody is. On SQLite writers already
// stand in line, so the later one finds the stored outcome.
func (tx *Tx) HoldKey(actor, act, key string) error {
	if tx.dialect != Postgres {
		return nil
	}
	var held bool
	err := tx.db.Raw(`SELECT pg_try_advisory_xact_lock(hashtextextended(?, 0))`, actor+"\n"+act+"\n"+key).Scan(&held).Error
	if err == nil && !held {
		return jobs.Errorf(jobs.CodeKeyBusy, "The same request is still being worked on; ask again in a moment")
	}
	return err
}

// FindOutcome is what an act with this key came to, or nil. CodeKeyReused when
// the key came with another request before.
func (tx *Tx) FindOutcome(actor, act, key, fingerprint string) (*Outcome, error) {
	var row outcomeRow
	err := tx.db.Where("actor = ? AND act = ? AND key = ?", actor, act, key).Take(&row).Error
	if errors.Is(err, gorm.ErrRecordNotFound) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	if row.Fingerprint != fingerprint {
		return nil, jobs.Errorf(jobs.CodeKeyReused, "This Idempotency-Key came with another request before; use a new one")
	}
	return &Outcome{Noun: row.Noun, NounID: row.NounID, Version: row.Version, Note: row.Note, Replayed: true}, nil
}

// InsertOutcome keeps what an act with a key came to.
func (tx *Tx) InsertOutcome(actor, act, key, fingerprint string, o Outcome, at time.Time) error {
	return tx.insert(&outcomeRow{Actor: actor, Act: act, Key: key, Fingerprint: fingerprint,
		Noun: o.Noun, NounID: o.NounID, Version: o.Version, Note: o.Note, MadeAt: secs(at)})
}

// SweepOutcomes forgets outcomes made before the instant. Keys live for seven
// days, because phones may be offline that long.
func (tx *Tx) SweepOutcomes(before time.Time) (int64, error) {
	done := tx.db.Where("made_at < ?", secs(before)).Delete(&outcomeRow{})
	return done.RowsAffected, done.Error
}
