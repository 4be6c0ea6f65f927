package desk_test

import (
	"slices"
	"strings"
	"testing"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// A quote's notice carries a link with a fresh secret for each attempt; the
// customer approves behind it, once, and the chain follows.
func TestCustomerApprovesByLink(t *testing.T) {
	eachOffice(t, func(h *hands) {
		d, err := desk.New(desk.Config{Store: h.store, Clock: clock{h}, IDs: ids{h}, HashMemoryKiB: 64, PublicURL: "https://pools.example.com/"})
		h.must(err)
		h.Desk = d
		jobID, q := h.quoted()
		j := h.wantState(jobID, jobs.StateQuoted)
		c, err := h.Customer(ctx, j.CustomerID)
		h.must(err)
		n := jobs.Notice{ID: "n", BranchID: h.branch, JobID: jobID, ContactID: c.Contacts[0].ID, Kind: jobs.NoticeQuote, UsefulUntil: h.now.AddDate(0, 0, 1)}
		url, err := h.NoticeLink(ctx, n)
		h.must(err)
		other, err := h.NoticeLink(ctx, n)
		h.must(err)
		secret, ok := strings.CutPrefix(url, "https://pools.example.com/link/")
		if !ok || len(secret) < 22 || url == other { // 22 characters of base64url hold 128 bits (RFC 4648)
			t.Fatalf("links %s and %s", url, other)
		}
		for kind, want := range map[jobs.NoticeKind]bool{jobs.NoticeCrewSheet: false, jobs.NoticeLookAfter: false, jobs.NoticePrep: true, jobs.NoticeOpenFill: true} {
			n.Kind = kind
			if url, err := h.NoticeLink(ctx, n); err != nil || (url != "") != want {
				t.Errorf("%s carries %q, %v", kind, url, err)
			}
		}

		v, err := h.ShowLink(ctx, secret)
		h.must(err)
		if v.Quote == nil || v.Quote.ID != q.ID || len(v.May) != 3 || v.Link.UsedAt != nil {
			t.Fatalf("the link shows %+v", v)
		}
		call := desk.Call{Now: h.now, Key: "k", Fingerprint: "f"}
		for range 2 { // the second is the same request again
			h.must(h.AnswerLink(ctx, call, secret, desk.LinkAnswer{Kind: "approved", By: "Pat Doe", Note: "Please ring\nbefore you come"}))
		}
		j = h.wantState(jobID, jobs.StateApproved)
		history, err := h.JobHistory(ctx, jobID, jobs.Page{})
		h.must(err)
		if !slices.ContainsFunc(history.Items, func(e jobs.AuditEntry) bool {
			return strings.HasSuffix(e.Note, "Pat Doe: Please ring before you come")
		}) {
			t.Errorf("what the customer added is lost: %+v", history.Items)
		}
		if len(j.Visits) < 3 {
			t.Errorf("%d visits; approving lays out the chain", len(j.Visits))
		}
		q, err = h.Quote(ctx, q.ID)
		h.must(err)
		if q.State != jobs.QuoteApproved || q.AnsweredBy != "Pat Doe" {
			t.Errorf("quote %+v", q)
		}
		call.Key = "another"
		h.wants(h.AnswerLink(ctx, call, secret, desk.LinkAnswer{Kind: "approved"}), jobs.CodeConflict, "")

		// A contact who may not decide sees the quote and cannot answer it.
		_, err = h.ChangeContact(ctx, h.office(), c.Contacts[0].ID, c.Contacts[0].Version, func() jobs.ContactData {
			data := c.Contacts[0].ContactData
			data.MayDecide = false
			return data
		}())
		h.must(err)
		call.Key = "third"
		h.wants(h.AnswerLink(ctx, call, secret, desk.LinkAnswer{Kind: "declined"}), jobs.CodeConflict, "cannot be answered")

		// One that was ended is as if it had never been.
		h.must(h.store.InTx(ctx, func(tx *store.Tx) error { return tx.RevokeLinks(jobID, jobs.LinkQuote, h.now) }))
		_, err = h.ShowLink(ctx, secret)
		h.wants(err, jobs.CodeNotFound, "does not work")
		_, never := h.ShowLink(ctx, strings.Repeat("x", 32))
		if err.Error() != never.Error() {
			t.Errorf("an ended link says %q, one that never was %q", err, never)
		}
	})
}
