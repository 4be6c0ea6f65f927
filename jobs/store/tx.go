package store

import (
	"context"
	"database/sql"
	"math/rand/v2"
	"time"

	"gorm.io/gorm"
	"gorm.io/gorm/clause"
)

// Tx is what a transaction can do; its methods stand in the nouns' files.
type Tx struct {
	db      *gorm.DB
	dialect string
}

// maxTries bounds how often a transaction is run that another one broke.
const maxTries = 5

// InTx runs fn in a transaction that commits when fn returns nil. fn runs
// again when the database broke it off for another's sake (40001, 40P01), so
// it must be repeatable: ids and the instant are taken before it.
func (s *Store) InTx(ctx context.Context, fn func(tx *Tx) error) error {
	for try := 1; ; try++ {
		err := s.write.WithContext(ctx).Transaction(func(db *gorm.DB) error {
			return fn(&Tx{db: db, dialect: s.dialect})
		})
		if err == nil {
			return nil
		}
		if try == maxTries || !brokenOff(err) {
			return refusal(err)
		}
		select {
		case <-ctx.Done():
			return refusal(ctx.Err())
		case <-time.After(time.Duration(1+rand.IntN(10*try)) * time.Millisecond):
		}
	}
}

// View runs fn over one snapshot of the data; fn only reads.
func (s *Store) View(ctx context.Context, fn func(tx *Tx) error) error {
	opts := &sql.TxOptions{}
	if s.dialect == Postgres {
		opts = &sql.TxOptions{Isolation: sql.LevelRepeatableRead, ReadOnly: true}
	}
	return refusal(s.read.WithContext(ctx).Transaction(func(db *gorm.DB) error {
		return fn(&Tx{db: db, dialect: s.dialect})
	}, opts))
}

// insert writes one row (a pointer to a row struct) or several (a pointer to a
// slice of them), and nothing beside.
func (tx *Tx) insert(rows any) error {
	return tx.db.Omit(clause.Associations).Create(rows).Error
}

// first reads the one row that the condition finds. noun is for the sentence
// when there is none: "customer".
func first[R any](tx *Tx, noun, where string, args ...any) (R, error) {
	var row R
	err := tx.db.Where(where, args...).Take(&row).Error
	return row, notFound(err, noun)
}

// all reads every row that the condition finds, in the given order. order is a
// constant in the code, never an input.
func all[R any](tx *Tx, order, where string, args ...any) ([]R, error) {
	var rows []R
	err := tx.db.Where(where, args...).Order(order).Find(&rows).Error
	return rows, err
}

// LeaseNow is the database's own clock in unix seconds. Leases and fences read
// it, so that processes with wrong clocks agree; business instants come from
// jobs.Clock.
func LeaseNow(tx *Tx) (int64, error) {
	query := `SELECT CAST(strftime('%s', 'now') AS INTEGER)`
	if tx.dialect == Postgres {
		query = `SELECT CAST(floor(EXTRACT(EPOCH FROM clock_timestamp())) AS BIGINT)`
	}
	var now int64
	err := tx.db.Raw(query).Scan(&now).Error
	return now, err
}

// secs is an instant as it is stored.
func secs(t time.Time) int64 { return t.Unix() }

// instant is a stored instant.
func instant(s int64) time.Time { return time.Unix(s, 0).UTC() }

// maybeSecs stores the zero time as NULL: it has not happened.
func maybeSecs(t time.Time) *int64 {
	if t.IsZero() {
		return nil
	}
	s := t.Unix()
	return &s
}

// maybeInstant is the zero time for NULL.
func maybeInstant(s *int64) time.Time {
	if s == nil {
		return time.Time{}
	}
	return instant(*s)
}

// maybeText stores the empty string as NULL, for references.
func maybeText(s string) *string {
	if s == "" {
		return nil
	}
	return &s
}

// text is the empty string for NULL.
func text(s *string) string {
	if s == nil {
		return ""
	}
	return *s
}
