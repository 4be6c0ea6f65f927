package worker

import (
	"context"
	"log/slog"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
)

// Delivery sends one notice after another; it is safe for use by many at once.
type Delivery struct {
	Desk  *desk.Desk
	Mail  Sender
	SMS   Sender // nil: no gateway is set
	From  Address
	Lease time.Duration // how long a claim holds; zero means two minutes
	// Wait is the time before the second try; it doubles with each further one.
	// Zero means one minute.
	Wait time.Duration
	// Resend says whether the text gateway may be given the same message twice.
	Resend bool
	Log    *slog.Logger
	// Crash ends the process at a named point; only tests set it.
	Crash func(point string)
}

func (d *Delivery) lease() time.Duration {
	if d.Lease > 0 {
		return d.Lease
	}
	return 2 * time.Minute
}

// One sends the notice if it is still to be sent. An error means that the
// database could not be asked; how sending itself went stands in SQL.
func (d *Delivery) One(ctx context.Context, id string) error {
	n, err := d.Desk.ClaimNotice(ctx, id, d.lease())
	if err != nil || n == nil {
		return err
	}
	d.crash("after_claim")
	if n.Before == jobs.NoticeHandedOver && n.Channel == jobs.ChannelSMS && !d.Resend {
		return d.Desk.FailedNotice(ctx, n, jobs.NoticeUnknown, "The sender ended after giving it to the gateway; it may have arrived")
	}
	sender := d.sender(n.Channel)
	if sender == nil {
		return d.Desk.FailedNotice(ctx, n, jobs.NoticeFailed, "No gateway for text messages is set")
	}
	if n.Link, err = d.Desk.NoticeLink(ctx, n.Notice); err != nil {
		return err
	}
	var conflict error
	file, err := sender.Send(ctx, d.message(n), func() error {
		conflict = d.Desk.HandOverNotice(ctx, n)
		return conflict
	})
	switch {
	case conflict != nil && jobs.CodeOf(conflict) == jobs.CodeConflict:
		d.Log.Info("notice was replaced or taken over before it left", "notice", n.ID)
		return nil
	case conflict != nil:
		return conflict
	case err == nil:
		d.Log.Info("notice sent", "notice", n.ID, "kind", n.Kind, "attempt", n.Attempts, "file", file)
		if err := d.Desk.SentNotice(ctx, n, file); err != nil {
			return err
		}
		d.crash("after_sent")
		return nil
	}
	d.Log.Warn("notice not sent", "notice", n.ID, "kind", n.Kind, "attempt", n.Attempts, "error", err)
	switch f := failureOf(err); {
	case f.Unknown:
		return d.Desk.FailedNotice(ctx, n, jobs.NoticeUnknown, err.Error())
	case f.Never:
		return d.Desk.FailedNotice(ctx, n, jobs.NoticeFailed, err.Error())
	case f.Unreached:
		return d.Desk.LaterNotice(ctx, n, err.Error(), d.wait())
	}
	return d.Desk.RetryNotice(ctx, n, err.Error(), d.wait()<<min(n.Attempts-1, 10))
}

func (d *Delivery) wait() time.Duration {
	if d.Wait <= 0 {
		return time.Minute
	}
	return d.Wait
}

func (d *Delivery) sender(c jobs.Channel) Sender {
	if c == jobs.ChannelSMS {
		return d.SMS
	}
	return d.Mail
}

func (d *Delivery) message(n *desk.Outgoing) Message {
	m := Message{ID: n.ID, Attempt: n.Attempts, MessageID: n.MessageID, From: d.From,
		To: Address{n.ToName, n.Address}, Subject: n.Subject, Body: n.Body, At: d.Desk.Now()}
	if n.Company.Email != "" && n.Channel == jobs.ChannelEmail {
		m.From = Address{n.Company.Name, n.Company.Email}
	}
	if n.Link != "" {
		m.Body += "\n" + jobs.AnswerLine(n.Language) + "\n" + n.Link + "\n"
	}
	if n.ICalUID != "" && n.Facts.To > n.Facts.From {
		m.Calendar = &Event{UID: n.ICalUID, Sequence: n.ICalSequence, Cancelled: n.Facts.TakenBack, Title: n.Subject,
			Says: n.Body, From: time.Unix(n.Facts.From, 0), To: time.Unix(n.Facts.To, 0)}
	}
	return m
}

func (d *Delivery) crash(point string) {
	if d.Crash != nil {
		d.Crash(point)
	}
}
