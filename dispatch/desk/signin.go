package desk

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// SignedIn is a session that was begun or renewed.
type SignedIn struct {
	User    jobs.User
	Session jobs.Session
	// Refresh is the next refresh token in clear: the only time it is seen.
	Refresh string
}

// errSignIn is one answer for every way in which a sign-in fails.
func errSignIn() error {
	return jobs.Errorf(jobs.CodeUnauthenticated, "That address and password do not belong together")
}

// errSession is one answer for every session that does not serve any more.
func errSession() error {
	return jobs.Errorf(jobs.CodeUnauthenticated, "Sign in again")
}

// SignIn begins a session. device is the device's own secret or name, by which
// it may ask twice for a renewal whose answer was lost; label is for reading.
// An unknown address takes as long as a wrong password. CodeUnauthenticated.
func (d *Desk) SignIn(ctx context.Context, now time.Time, email, password, device, label string) (SignedIn, error) {
	u, err := read(ctx, d, func(tx *store.Tx) (jobs.User, error) { return tx.UserByEmail(email) })
	hash := u.PasswordHash
	switch jobs.CodeOf(err) {
	case "":
	case jobs.CodeNotFound:
		hash = d.passwords.nobody
	default:
		return SignedIn{}, err
	}
	if len(password) > 4*jobs.MaxPassword {
		password = "" // never a password; not worth hashing
	}
	same, hashErr := d.passwords.same(ctx, password, hash)
	if hashErr != nil {
		return SignedIn{}, hashErr
	}
	if !same || err != nil || u.Disabled {
		return SignedIn{}, errSignIn()
	}
	s := jobs.Session{
		ID: d.ids.New(), UserID: u.ID, Device: hashText(device), Label: jobs.Short(jobs.CleanLine(label)), Epoch: u.Epoch,
		CreatedAt: now, ExpiresAt: now.Add(jobs.SessionLife),
	}
	token := newToken()
	_, err = d.act(ctx, Call{Actor: u.Actor(), Now: now}, "signIn", func(tx *store.Tx) (Outcome, error) {
		if err := tx.InsertSession(s); err != nil {
			return Outcome{}, err
		}
		return Outcome{Noun: "session", NounID: s.ID, Version: 1, BranchID: u.BranchID},
			tx.InsertRefreshToken(jobs.RefreshToken{Hash: hashText(token), SessionID: s.ID, IssuedAt: now})
	})
	return SignedIn{User: u, Session: s, Refresh: token}, err
}

// Refresh renews a session with a token that serves once. A token that was
// spent already means that two hold it: the session ends, unless the same
// device asks within the grace, because its answer may have been lost.
// CodeUnauthenticated.
func (d *Desk) Refresh(ctx context.Context, now time.Time, token, device string) (SignedIn, error) {
	next, auditID := newToken(), d.ids.New()
	out := SignedIn{Refresh: next}
	stolen := false
	err := d.store.InTx(ctx, func(tx *store.Tx) error {
		stolen = false
		t, err := tx.RefreshToken(hashText(token))
		if jobs.CodeOf(err) == jobs.CodeNotFound {
			return errSession()
		}
		if err != nil {
			return err
		}
		if out.Session, err = tx.Session(t.SessionID); err != nil {
			return err
		}
		if out.User, err = tx.User(out.Session.UserID); err != nil {
			return err
		}
		if !out.Session.Live(out.User, now) {
			return errSession()
		}
		first, err := tx.SpendRefreshToken(t.Hash, now)
		if err != nil {
			return err
		}
		if !first {
			if t, err = tx.RefreshToken(t.Hash); err != nil {
				return err
			}
			grace := now.Sub(t.SpentAt) <= jobs.RefreshGrace && out.Session.Device == hashText(device)
			if !grace {
				stolen = true
				if err := tx.EndSession(out.Session.ID, "a refresh token came twice", now); err != nil {
					return err
				}
				return tx.InsertAudit(jobs.AuditEntry{ID: auditID, At: now, Actor: out.User.Actor(), Act: "refuseRefresh",
					Noun: "session", NounID: out.Session.ID, Version: 1, BranchID: out.User.BranchID, Note: "a refresh token came twice"})
			}
		}
		return tx.InsertRefreshToken(jobs.RefreshToken{Hash: hashText(next), SessionID: out.Session.ID, IssuedAt: now})
	})
	if err != nil {
		return SignedIn{}, err
	}
	if stolen {
		return SignedIn{}, errSession()
	}
	return out, nil
}

// SignOut ends a session.
func (d *Desk) SignOut(ctx context.Context, call Call, sessionID string) error {
	_, err := d.act(ctx, call, "signOut", func(tx *store.Tx) (Outcome, error) {
		return Outcome{Noun: "session", NounID: sessionID, Version: 1}, tx.EndSession(sessionID, "signed out", call.Now)
	})
	return err
}

// Present is the user behind a session, when both still serve.
// CodeUnauthenticated.
func (d *Desk) Present(ctx context.Context, now time.Time, userID, sessionID string, epoch int64) (jobs.User, error) {
	u, err := read(ctx, d, func(tx *store.Tx) (jobs.User, error) {
		s, err := tx.Session(sessionID)
		if err != nil {
			return jobs.User{}, err
		}
		u, err := tx.User(userID)
		if err == nil && (!s.Live(u, now) || epoch != u.Epoch) {
			err = errSession()
		}
		return u, err
	})
	if jobs.CodeOf(err) == jobs.CodeNotFound {
		err = errSession()
	}
	return u, err
}

// newToken is 256 random bits as text.
func newToken() string {
	var b [32]byte
	rand.Read(b[:]) // never fails: crypto/rand ends the program instead
	return base64.RawURLEncoding.EncodeToString(b[:])
}

// hashText is how secrets with full entropy are kept: SHA-256 in hex.
func hashText(s string) string {
	h := sha256.Sum256([]byte(s))
	return hex.EncodeToString(h[:])
}
