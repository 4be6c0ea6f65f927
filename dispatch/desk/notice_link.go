package desk

import (
	"context"
	"crypto/rand"
	"encoding/base64"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// linkOf is what a notice's link is for; empty: it carries none.
func linkOf(kind jobs.NoticeKind) jobs.LinkPurpose {
	switch kind {
	case jobs.NoticeQuote:
		return jobs.LinkQuote
	case jobs.NoticePrep, jobs.NoticeStopChlorine, jobs.NoticeHalfway:
		return jobs.LinkPrep
	case jobs.NoticeBooking:
		return jobs.LinkWindow
	case jobs.NoticeOpenFill, jobs.NoticeCloseFill:
		return jobs.LinkFill
	}
	return ""
}

// linkLife is how long a link works after its notice stops being of use.
const linkLife = 7 * 24 * time.Hour

// NoticeLink makes the customer's link that goes out with a notice, fresh for
// each attempt, since only a hash of the secret is kept. Empty: this notice
// carries none.
func (d *Desk) NoticeLink(ctx context.Context, n jobs.Notice) (string, error) {
	purpose := linkOf(n.Kind)
	if purpose == "" || d.publicURL == "" || n.ContactID == "" || n.JobID == "" || n.Facts.TakenBack {
		return "", nil
	}
	secret, err := linkSecret()
	if err != nil {
		return "", err
	}
	link := jobs.CustomerLink{ID: d.ids.New(), Hash: jobs.LinkHash(secret), Purpose: purpose, BranchID: n.BranchID, JobID: n.JobID,
		ContactID: n.ContactID, ExpiresAt: n.UsefulUntil.Add(linkLife), CreatedAt: d.clock.Now()}
	err = d.store.InTx(ctx, func(tx *store.Tx) error {
		if purpose == jobs.LinkQuote {
			q, _, err := openQuote(tx, n.JobID)
			if err != nil {
				return err
			}
			link.QuoteID = q.ID
		}
		return tx.InsertLink(link)
	})
	if err != nil {
		return "", err
	}
	return d.publicURL + "/link/" + secret, nil
}

// linkSecret is 192 random bits as URL text.
func linkSecret() (string, error) {
	var b [24]byte
	if _, err := rand.Read(b[:]); err != nil {
		return "", err
	}
	return base64.RawURLEncoding.EncodeToString(b[:]), nil
}
