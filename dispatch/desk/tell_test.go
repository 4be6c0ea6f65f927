package desk_test

import (
	"strings"
	"testing"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// A quote that is sent stands in the outbox in the same transaction, with its
// lines, total and terms; a later quote replaces what has not left.
func TestQuoteIsTold(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, q := h.quoted()
		first := h.onlyNotice(jobID, jobs.NoticeDue)
		if first.Kind != jobs.NoticeQuote || first.Address != "pat@example.com" || !strings.Contains(first.Body, q.Total.String()) {
			t.Fatalf("the outbox holds %+v", first)
		}
		phoenix, err := time.LoadLocation("America/Phoenix")
		h.must(err)
		if want := q.ValidUntil.Add(1).Start(phoenix); !first.UsefulUntil.Equal(want) {
			t.Errorf("of use until %s, want %s: the end of the last day in the branch's zone", first.UsefulUntil, want)
		}
		draft, err := h.CreateQuote(ctx, h.office(), jobID, jobs.NewQuote{EstimateID: q.EstimateID})
		h.must(err)
		_, err = h.SendQuote(ctx, h.office(), draft.NounID, 1)
		h.must(err)
		second := h.onlyNotice(jobID, jobs.NoticeDue)
		old, err := h.Notice(ctx, first.ID)
		h.must(err)
		if old.State != jobs.NoticeSuperseded || old.SupersededBy != second.ID {
			t.Errorf("the customer gets two prices: the first notice is %s, replaced by %q", old.State, old.SupersededBy)
		}
	})
}

// onlyNotice is the one notice of a job in a state.
func (h *hands) onlyNotice(jobID string, state jobs.NoticeState) jobs.Notice {
	h.Helper()
	list, err := h.Notices(ctx, desk.NoticeFilter{JobID: jobID, State: string(state)}, jobs.Page{})
	h.must(err)
	if len(list.Items) != 1 {
		h.Fatalf("%d notices are %s", len(list.Items), state)
	}
	return list.Items[0]
}

// The link that goes out with a quote is for the quote that was sent, though the
// office has begun another draft since; once the quote is answered nothing goes
// out any more.
func TestLinkIsForTheQuoteThatWasSent(t *testing.T) {
	eachOffice(t, func(h *hands) {
		public, err := desk.New(desk.Config{Store: h.store, Clock: clock{h}, IDs: ids{h}, HashMemoryKiB: 64, PublicURL: "https://pools.example.com"})
		h.must(err)
		jobID, q := h.quoted()
		_, err = h.CreateQuote(ctx, h.office(), jobID, jobs.NewQuote{EstimateID: q.EstimateID})
		h.must(err)
		n := h.onlyNotice(jobID, jobs.NoticeDue)
		url, err := public.NoticeLink(ctx, n)
		h.must(err)
		secret := strings.TrimPrefix(url, "https://pools.example.com/link/")
		h.must(h.store.View(ctx, func(tx *store.Tx) error {
			link, err := tx.LinkByHash(jobs.LinkHash(secret))
			if err == nil && link.QuoteID != q.ID {
				t.Errorf("the link is for quote %q, want the one that was sent, %q", link.QuoteID, q.ID)
			}
			return err
		}))
		_, err = h.AnswerQuote(ctx, h.office(), q.ID, q.Version, jobs.QuoteAnswer{Answer: jobs.QuoteApproved, By: "Pat Doe"})
		h.must(err)
		if out, err := h.ClaimNotice(ctx, n.ID, time.Minute); err != nil || out != nil {
			t.Errorf("asked for an answer that was given: %+v, %v", out, err)
		}
		if after, _ := h.Notice(ctx, n.ID); after.State != jobs.NoticeSuppressed {
			t.Errorf("the notice is %s", after.State)
		}
	})
}

// putNotice writes one notice that is due now.
func (h *hands) putNotice(change func(*jobs.Notice)) jobs.Notice {
	h.Helper()
	id := ids{h}.New()
	n := jobs.Notice{ID: id, BranchID: h.branch, Kind: jobs.NoticePrep, Thing: "prep/" + id, Revision: 1, Channel: jobs.ChannelSMS,
		Address: "+15595550123", Language: "en", Zone: "America/New_York", Subject: "Drain", Body: "Start the drain.", MessageID: id + "@notice.ebbline",
		DueAt: h.now, UsefulUntil: h.now.Add(24 * time.Hour), State: jobs.NoticeDue, CreatedAt: h.now}
	change(&n)
	h.must(h.store.InTx(ctx, func(tx *store.Tx) error { return tx.InsertNotices([]jobs.Notice{n}) }))
	return n
}

// What was held up until the night is sent when the reader's morning has come,
// by the clocks of the reader's own zone, and has lost no try by that. Hours
// after 47 CFR 64.1200(c)(1): not before 8 nor after 21.
func TestNobodyIsWokenByWhatWasHeldUp(t *testing.T) {
	eachOffice(t, func(h *hands) {
		n := h.putNotice(func(*jobs.Notice) {})
		office := h.putNotice(func(n *jobs.Notice) { n.Kind, n.Thing = jobs.NoticeBounced, "office_bounced/1" })
		h.now = time.Date(2026, 3, 3, 3, 30, 0, 0, time.UTC) // 20:30 in Phoenix, 22:30 in New York
		if out, err := h.ClaimNotice(ctx, n.ID, time.Minute); err != nil || out != nil {
			t.Fatalf("sent at 22:30: %+v, %v", out, err)
		}
		after, err := h.Notice(ctx, n.ID)
		h.must(err)
		if want := time.Date(2026, 3, 3, 13, 0, 0, 0, time.UTC); after.State != jobs.NoticeDue || !after.DueAt.Equal(want) || after.Attempts != 0 {
			t.Errorf("%s, due %s after %d tries; want due at %s after none", after.State, after.DueAt, after.Attempts, want)
		}
		if out, err := h.ClaimNotice(ctx, office.ID, time.Minute); err != nil || out == nil {
			t.Errorf("the office waits for its own notice: %v", err)
		}
		h.now = after.DueAt
		if out, err := h.ClaimNotice(ctx, n.ID, time.Minute); err != nil || out == nil {
			t.Errorf("not sent at 8:00: %v", err)
		}
	})
}

// A sender passed the point of no return and was not heard of again; meanwhile
// another hand-out told the reader something else. The old words do not go out
// after the new ones.
func TestOldWordsStayBehindNewOnes(t *testing.T) {
	eachOffice(t, func(h *hands) {
		n := h.putNotice(func(n *jobs.Notice) {
			n.Channel, n.Address, n.State = jobs.ChannelEmail, "pat@example.com", jobs.NoticeHandedOver
		})
		h.must(h.store.InTx(ctx, func(tx *store.Tx) error {
			later := n
			later.ID, later.Revision, later.State = ids{h}.New(), 2, jobs.NoticeDue
			later.MessageID = later.ID + "@notice.ebbline"
			if err := tx.InsertNotices([]jobs.Notice{later}); err != nil {
				return err
			}
			return tx.SupersedeNotice(n.ID, later.ID)
		}))
		if out, err := h.ClaimNotice(ctx, n.ID, time.Minute); err != nil || out != nil {
			t.Errorf("the old words go out: %+v, %v", out, err)
		}
		if after, _ := h.Notice(ctx, n.ID); after.State != jobs.NoticeUnknown {
			t.Errorf("the notice is %s; it may have left", after.State)
		}
	})
}

// That a drain was confirmed once says nothing about the next one, after the
// pool was refilled in between.
func TestAnEarlierDrainConfirmsNothing(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, _ := h.quoted()
		said := func(at time.Time) {
			h.must(h.store.InTx(ctx, func(tx *store.Tx) error {
				return tx.InsertAnswer(jobs.Answer{ID: ids{h}.New(), BranchID: h.branch, JobID: jobID, Kind: jobs.AnswerStarted, At: at, MadeBy: "Pat"})
			}))
		}
		unconfirmed := func(n *jobs.Notice) {
			n.Kind, n.Thing, n.JobID = jobs.NoticeUnconfirmed, "office_unconfirmed/"+n.ID, jobID
			n.Channel, n.Address = jobs.ChannelEmail, "office@example.com"
		}
		said(h.now.AddDate(0, 0, -9))
		if out, err := h.ClaimNotice(ctx, h.putNotice(unconfirmed).ID, time.Minute); err != nil || out == nil {
			t.Errorf("the office is not told, because of an answer nine days old: %v", err)
		}
		n := h.putNotice(unconfirmed)
		said(h.now)
		if out, err := h.ClaimNotice(ctx, n.ID, time.Minute); err != nil || out != nil {
			t.Errorf("told that nobody confirmed, though somebody did: %v", err)
		}
	})
}

// Who reads Spanish gets lines and terms of a quote in Spanish, from the figures
// that were frozen with it.
func TestQuoteInSpanish(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, q := h.quoted()
		j := h.wantState(jobID, jobs.StateQuoted)
		c, err := h.Customer(ctx, j.CustomerID)
		h.must(err)
		data := c.Contacts[0].ContactData
		data.Language = "es"
		_, err = h.ChangeContact(ctx, h.office(), c.Contacts[0].ID, c.Contacts[0].Version, data)
		h.must(err)
		draft, err := h.CreateQuote(ctx, h.office(), jobID, jobs.NewQuote{EstimateID: q.EstimateID})
		h.must(err)
		_, err = h.SendQuote(ctx, h.office(), draft.NounID, 1)
		h.must(err)
		n := h.onlyNotice(jobID, jobs.NoticeDue)
		for _, want := range []string{"Cambio de 4 luces de piscina", q.Total.String(), "hasta el ", "hasta 3 días después", "persona con licencia"} {
			if !strings.Contains(n.Body, want) {
				t.Errorf("the quote does not say %q:\n%s", want, n.Body)
			}
		}
		for _, not := range []string{"deposit", "Follow", "Conversion"} {
			if strings.Contains(n.Body, not) {
				t.Errorf("the quote says %q:\n%s", not, n.Body)
			}
		}
	})
}
