package desk_test

import (
	"bytes"
	"testing"

	"ebbline/estimate"
	"ebbline/jobs"
)

// A quote offers two ways of doing the job; the customer takes the second. What
// it says stays as it was sent, its sums are those of the way taken, and the job
// goes by that way's estimate.
func TestTheCustomerChoosesAWayToDoIt(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, first := h.quoted()
		two, err := h.MakeEstimate(ctx, h.office(), jobID, jobs.EstimateWish{Zones: 2})
		h.must(err)
		one, err := h.MakeEstimate(ctx, h.office(), jobID, jobs.EstimateWish{Zones: 1})
		h.must(err)
		out, err := h.CreateQuote(ctx, h.office(), jobID, jobs.NewQuote{EstimateID: one.NounID, Also: []string{two.NounID}})
		h.must(err)
		_, err = h.SendQuote(ctx, h.office(), out.NounID, 1)
		h.must(err)
		q, err := h.Quote(ctx, out.NounID)
		h.must(err)
		b, err := q.Read()
		h.must(err)
		if len(b.Options) != 2 || b.Options[0].Total != q.Total || b.Options[1].Total <= q.Total || b.Total != q.Total {
			t.Fatalf("options %+v beside %s", b.Options, q.Total)
		}
		if b.Customer == "" || b.Site == "" || len(b.Scope) == 0 || len(b.Excludes) == 0 || len(b.Allowances) == 0 || len(b.Cautions) == 0 || b.Saves == "" || b.Water == nil {
			t.Errorf("the quote lacks something: %+v", b)
		}
		said := q.Body
		_, err = h.AnswerQuote(ctx, h.office(), q.ID, q.Version, jobs.QuoteAnswer{Answer: jobs.QuoteApproved, By: "Pat Doe", EstimateID: first.EstimateID})
		h.wants(err, jobs.CodeInvalid, "one of the options")
		_, err = h.AnswerQuote(ctx, h.office(), q.ID, q.Version, jobs.QuoteAnswer{Answer: jobs.QuoteApproved, By: "Pat Doe", EstimateID: two.NounID})
		h.must(err)
		got, err := h.Quote(ctx, q.ID)
		h.must(err)
		if got.EstimateID != two.NounID || got.Total != b.Options[1].Total || got.Deposit != b.Options[1].Deposit || !bytes.Equal(got.Body, said) {
			t.Errorf("%s, %s; body changed: %v", got.EstimateID, got.Total, !bytes.Equal(got.Body, said))
		}
		j := h.wantState(jobID, jobs.StateApproved)
		kept, err := h.KeptEstimate(ctx, j.EstimateID)
		h.must(err)
		e, err := estimate.Decode(kept.Body)
		h.must(err)
		if e.Ask.Zones != 2 || *j.Value != got.Total {
			t.Errorf("the job goes by %d zones and %s", e.Ask.Zones, j.Value)
		}
	})
}

// What is offered must be of the same job, each once, with a price.
func TestOnlyOwnEstimatesAreOffered(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, q := h.quoted()
		_, err := h.CreateQuote(ctx, h.office(), jobID, jobs.NewQuote{EstimateID: q.EstimateID, Also: []string{q.EstimateID}})
		h.wants(err, jobs.CodeInvalid, "each estimate once")
		other, err := h.CreateEnquiry(ctx, h.office(), h.firstCall())
		h.must(err)
		made, err := h.MakeEstimate(ctx, h.office(), other.NounID, jobs.EstimateWish{})
		h.must(err)
		_, err = h.CreateQuote(ctx, h.office(), jobID, jobs.NewQuote{EstimateID: q.EstimateID, Also: []string{made.NounID}})
		h.wants(err, jobs.CodeInvalid, "estimates of this job")
	})
}
