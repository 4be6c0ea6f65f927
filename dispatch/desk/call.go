package desk

import (
	"context"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// Call says who acts, when, and under which idempotency key.
type Call struct {
	Actor jobs.Actor
	// Key is the caller's idempotency key; empty where the act is guarded by a
	// version instead.
	Key string
	// Fingerprint tells the request apart from others under the same key.
	Fingerprint string
	Now         time.Time
}

// owner is who a key belongs to: nobody meets another's keys.
func (c Call) owner() string {
	switch {
	case c.Actor.UserID != "":
		return "user:" + c.Actor.UserID
	case c.Actor.LinkID != "":
		return "link:" + c.Actor.LinkID
	}
	return string(c.Actor.Role)
}

// KeyLife is how long an outcome answers for its key: phones may be offline for
// days.
const KeyLife = 7 * 24 * time.Hour

// Outcome is what an act came to.
type Outcome = store.Outcome

// act runs do in a transaction and writes its audit entry and, where the call
// has a key, its outcome there too. A call whose key has an outcome gets that
// one back and do does not run. do may run more than once: ids and instants are
// taken before it.
func (d *Desk) act(ctx context.Context, call Call, name string, do func(tx *store.Tx) (Outcome, error)) (Outcome, error) {
	auditID := d.ids.New()
	var out Outcome
	err := d.store.InTx(ctx, func(tx *store.Tx) error {
		if call.Key != "" {
			if err := tx.HoldKey(call.owner(), name, call.Key); err != nil {
				return err
			}
			before, err := tx.FindOutcome(call.owner(), name, call.Key, call.Fingerprint)
			if err != nil {
				return err
			}
			if before != nil {
				out = *before
				return nil
			}
		}
		var err error
		if out, err = do(tx); err != nil {
			return err
		}
		err = tx.InsertAudit(jobs.AuditEntry{
			ID: auditID, At: call.Now, Actor: call.Actor, Act: name, Noun: out.Noun, NounID: out.NounID,
			Version: out.Version, BranchID: out.BranchID, Note: out.Note,
		})
		if err != nil || call.Key == "" {
			return err
		}
		return tx.InsertOutcome(call.owner(), name, call.Key, call.Fingerprint, out, call.Now)
	})
	if err != nil {
		return Outcome{}, err
	}
	return out, nil
}

// read runs a question over one snapshot.
func read[T any](ctx context.Context, d *Desk, ask func(tx *store.Tx) (T, error)) (T, error) {
	var got T
	err := d.store.View(ctx, func(tx *store.Tx) (err error) {
		got, err = ask(tx)
		return err
	})
	return got, err
}

// stale refuses a change to a thing that moved on since the caller read it.
func stale(noun string, have, sent int64) error {
	if have == sent {
		return nil
	}
	return jobs.Errorf(jobs.CodeStale, "Somebody changed this %s since you read it; read it again", noun)
}
