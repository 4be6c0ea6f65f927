package desk

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// MaxTries is how often a notice is tried before it is put aside as failed.
const MaxTries = 5

// Outgoing is a notice in its sender's hands.
type Outgoing struct {
	jobs.Notice
	Company jobs.CompanySettings
	// Before is the state it was claimed from: handed_over means that an
	// earlier sender passed the point of no return and was not heard of again.
	Before jobs.NoticeState
	Link   string // the customer's link; empty: none
}

// NoticesToRing reads the ids of notices that should be sent now and for which
// the bell has been silent for the given time.
func (d *Desk) NoticesToRing(ctx context.Context, quiet time.Duration, limit int) (ids []string, err error) {
	now := d.clock.Now()
	err = d.store.InTx(ctx, func(tx *store.Tx) error {
		ids, err = tx.NoticesToRing(now, quiet, limit)
		return err
	})
	return ids, err
}

// ClaimNotice puts a notice into the caller's hands for the length of a lease.
// nil: there is nothing to do (it was sent, replaced, is not due, is held by
// another), or it came to its end here: too late to be of use, stopped by its
// reader, replaced, tried too often, or already answered. Whoever reads it is
// not woken: what comes to be sent at night waits for the next decent hour.
func (d *Desk) ClaimNotice(ctx context.Context, id string, lease time.Duration) (*Outgoing, error) {
	now, bouncedID := d.clock.Now(), d.ids.New()
	var out *Outgoing
	err := d.store.InTx(ctx, func(tx *store.Tx) error {
		out = nil
		n, before, ok, err := tx.ClaimNotice(id, now, lease)
		if err != nil || !ok {
			return err
		}
		named, err := tx.NoticeNamed(id)
		if err != nil {
			return err
		}
		n.ToName = named.ToName
		settings, err := tx.Settings(n.BranchID)
		if err != nil {
			return err
		}
		end, why, err := needless(tx, n, before, now)
		if err != nil {
			return err
		}
		if end == jobs.NoticeFailed {
			return failNotice(tx, n, settings.Settings.Company, end, why, bouncedID, now)
		}
		if end != "" {
			n.State, n.Error = end, why
			return tx.EndNotice(n, 0)
		}
		next, err := decentHour(tx, n, settings.Settings.Planning.NoticeHours, now)
		if err != nil {
			return err
		}
		if next.After(now) && before != jobs.NoticeHandedOver { // else it may have left already
			return tx.PutOffNotice(n, next)
		}
		out = &Outgoing{Notice: n, Company: settings.Settings.Company, Before: before}
		return nil
	})
	if err != nil || out == nil {
		return nil, err
	}
	return out, nil
}

// decentHour is the next instant, now or later, at which the notice's reader may
// be written to. The office reads its own at any hour.
func decentHour(tx *store.Tx, n jobs.Notice, hours []jobs.Hours, now time.Time) (time.Time, error) {
	if n.Kind.Reader() == jobs.ReaderOffice {
		return now, nil
	}
	zone, err := time.LoadLocation(n.Zone)
	if err != nil {
		if _, zone, err = branchZone(tx, n.BranchID); err != nil {
			return now, err
		}
	}
	return jobs.NextWithin(hours, now, zone), nil
}

// needless says why a notice claimed from the state before must not be sent; an
// empty state: send it.
func needless(tx *store.Tx, n jobs.Notice, before jobs.NoticeState, now time.Time) (jobs.NoticeState, string, error) {
	switch {
	case n.SupersededBy != "" && before == jobs.NoticeHandedOver: // its sender was not heard of again
		return jobs.NoticeUnknown, "It may have left before a later notice took its place", nil
	case n.SupersededBy != "":
		return jobs.NoticeSuperseded, "A later notice took its place", nil
	case now.After(n.UsefulUntil):
		return jobs.NoticeSuppressed, "It was too late to be of use", nil
	case n.Attempts > MaxTries:
		return jobs.NoticeFailed, fmt.Sprintf("Given up after %d tries: %s", MaxTries, n.Error), nil
	case n.Channel == jobs.ChannelNone || n.Address == "":
		return jobs.NoticeSuppressed, "The office calls by hand: no address is known", nil
	}
	stopped, err := tx.Stopped(addressKey(n))
	if err != nil {
		return "", "", err
	}
	if stopped[store.Address{Channel: n.Channel, Key: addressKey(n)}] {
		return jobs.NoticeSuppressed, "The reader has stopped messages to this address", nil
	}
	switch n.Kind {
	case jobs.NoticeQuote:
		if _, open, err := openQuote(tx, n.JobID); err != nil || !open {
			return jobs.NoticeSuppressed, "The quote was answered meanwhile", err
		}
	case jobs.NoticeHalfway:
		readings, err := tx.Readings(n.JobID)
		if err == nil && slices.ContainsFunc(readings, func(r jobs.Reading) bool { return r.At.Unix() >= n.Facts.From }) {
			return jobs.NoticeSuppressed, "The water was read meanwhile", nil
		}
		answers, err2 := tx.Answers(n.JobID)
		if slices.ContainsFunc(answers, func(a jobs.Answer) bool { return a.Kind == jobs.AnswerReached && !a.At.Before(n.CreatedAt) }) {
			return jobs.NoticeSuppressed, "The pool is low already", nil
		}
		return "", "", errors.Join(err, err2)
	case jobs.NoticeLate:
		why, err := lateNoMore(tx, n)
		if err != nil || why != "" {
			return jobs.NoticeSuppressed, why, err
		}
	case jobs.NoticeUnconfirmed:
		answers, err := tx.Answers(n.JobID)
		for _, a := range answers {
			// One from before is about an earlier drain.
			if !a.At.Before(n.CreatedAt) && (a.Kind == jobs.AnswerStarted || a.Kind == jobs.AnswerReached) {
				return jobs.NoticeSuppressed, "The drain was confirmed meanwhile", err
			}
		}
		return "", "", err
	}
	return "", "", nil
}

// openQuote is the quote of a job that waits for the customer's answer; there is
// at most one.
func openQuote(tx *store.Tx, jobID string) (jobs.Quote, bool, error) {
	list, err := tx.Quotes(jobID)
	for _, q := range list {
		if q.State == jobs.QuoteSent {
			return q, true, err
		}
	}
	return jobs.Quote{}, false, err
}

func addressKey(n jobs.Notice) string {
	if n.Channel == jobs.ChannelEmail {
		return jobs.FoldEmail(n.Address)
	}
	return n.Address
}

// HandOverNotice is the sender's last look before the point of no return.
// CodeConflict: do not send.
func (d *Desk) HandOverNotice(ctx context.Context, o *Outgoing) error {
	return d.store.InTx(ctx, func(tx *store.Tx) error { return tx.HandOverNotice(o.Notice) })
}

// SentNotice notes that the channel took the notice. file is where it lies when
// there is no mail server.
func (d *Desk) SentNotice(ctx context.Context, o *Outgoing, file string) error {
	n := o.Notice
	n.State, n.SentAt, n.File, n.Error = jobs.NoticeSent, d.clock.Now(), file, ""
	return d.store.InTx(ctx, func(tx *store.Tx) error { return tx.EndNotice(n, 0) })
}

// LaterNotice notes that the channel could not be reached at all: a mail server
// that is away for an hour costs no notice a try, only its usefulness ends it.
func (d *Desk) LaterNotice(ctx context.Context, o *Outgoing, why string, wait time.Duration) error {
	n := o.Notice
	n.State, n.Error, n.Attempts = jobs.NoticeDue, why, n.Attempts-1
	return d.store.InTx(ctx, func(tx *store.Tx) error { return tx.EndNotice(n, wait) })
}

// RetryNotice notes an attempt that may be made again, later each time.
func (d *Desk) RetryNotice(ctx context.Context, o *Outgoing, why string, wait time.Duration) error {
	n := o.Notice
	n.State, n.Error = jobs.NoticeDue, why
	if n.Attempts >= MaxTries {
		return d.FailedNotice(ctx, o, jobs.NoticeFailed, fmt.Sprintf("Given up after %d tries: %s", n.Attempts, why))
	}
	return d.store.InTx(ctx, func(tx *store.Tx) error { return tx.EndNotice(n, wait) })
}

// FailedNotice puts a notice aside as failed or unknown, and tells the office
// about it when it was meant for somebody outside.
func (d *Desk) FailedNotice(ctx context.Context, o *Outgoing, state jobs.NoticeState, why string) error {
	id, now := d.ids.New(), d.clock.Now()
	return d.store.InTx(ctx, func(tx *store.Tx) error { return failNotice(tx, o.Notice, o.Company, state, why, id, now) })
}

// failNotice is FailedNotice inside a transaction; id is that of the notice to
// the office.
func failNotice(tx *store.Tx, n jobs.Notice, company jobs.CompanySettings, state jobs.NoticeState, why, id string, now time.Time) error {
	n.State, n.Error = state, why
	if err := tx.EndNotice(n, 0); err != nil {
		return err
	}
	if company.Email == "" || n.Kind.Reader() == jobs.ReaderOffice {
		return nil // the Notices page shows it; nothing is told to nobody
	}
	subject, body := jobs.BouncedText(company.Language, n.Subject, n.Address, why)
	return tx.InsertNotices([]jobs.Notice{{ID: id, BranchID: n.BranchID, JobID: n.JobID, Kind: jobs.NoticeBounced,
		Thing: "office_bounced/" + n.ID, Revision: n.Fence, Channel: jobs.ChannelEmail, Address: company.Email, Language: company.Language,
		Zone: n.Zone, Subject: subject, Body: body, MessageID: messageID(id), DueAt: now,
		UsefulUntil: now.Add(7 * 24 * time.Hour), State: jobs.NoticeDue, CreatedAt: now}})
}

// messageID is the name of a notice's mail, the same however often it is tried.
func messageID(noticeID string) string { return noticeID + "@notice.ebbline" }

// NoticeFilter narrows a list of notices.
type NoticeFilter = store.NoticeFilter

// Notices reads a part of the outbox, the latest due first.
func (d *Desk) Notices(ctx context.Context, filter NoticeFilter, page jobs.Page) (jobs.List[jobs.Notice], error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.List[jobs.Notice], error) { return tx.Notices(filter, page) })
}

// Notice reads one. CodeNotFound.
func (d *Desk) Notice(ctx context.Context, id string) (jobs.Notice, error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.Notice, error) { return tx.NoticeNamed(id) })
}

// SendNoticeAgain makes a failed or unknown notice due once more. CodeConflict
// for any other state.
func (d *Desk) SendNoticeAgain(ctx context.Context, call Call, id string) (Outcome, error) {
	out, err := d.act(ctx, call, "sendNoticeAgain", func(tx *store.Tx) (Outcome, error) {
		n, err := tx.Notice(id)
		if err != nil {
			return Outcome{}, err
		}
		return Outcome{Noun: "notice", NounID: id, Version: n.Revision, BranchID: n.BranchID}, tx.TryNoticeAgain(id)
	})
	if err == nil && !out.Replayed {
		d.bell.Ring(ctx, BellNotice)
	}
	return out, err
}

// NoticeCounts is how many notices stand in each state.
func (d *Desk) NoticeCounts(ctx context.Context) (map[string]int64, error) {
	return read(ctx, d, func(tx *store.Tx) (map[string]int64, error) { return tx.NoticeCounts() })
}
