package desk_test

import (
	"context"
	"slices"
	"strings"
	"sync"
	"testing"

	"ebbline/dispatch/desk"
	"ebbline/estimate"
	"ebbline/jobs"
)

// rung notes what the bell is rung for.
type rung struct {
	sync.Mutex
	list []string
}

func (r *rung) Ring(_ context.Context, what string) {
	r.Lock()
	defer r.Unlock()
	r.list = append(r.list, what)
}

func (r *rung) take() []string {
	r.Lock()
	defer r.Unlock()
	list := r.list
	r.list = nil
	return list
}

// withBell gives the office a bell to listen to, and links.
func (h *hands) withBell() *rung {
	h.Helper()
	bell := &rung{}
	d, err := desk.New(desk.Config{Store: h.store, Clock: clock{h}, IDs: ids{h}, Bell: bell, HashMemoryKiB: 64, PublicURL: "https://pools.example.com/"})
	h.must(err)
	h.Desk = d
	return bell
}

// offered brings a new job to a sent quote with each way that the estimate's
// options know, beside the first.
func (h *hands) offered(survey string) (jobID string, q jobs.Quote) {
	h.Helper()
	out, err := h.CreateEnquiry(ctx, h.office(), h.firstCall())
	h.must(err)
	j := h.wantState(out.NounID, jobs.StateEnquiry)
	_, err = h.ChangeSurvey(ctx, h.office(), j.SiteID, 0, surveyFile(h.T, survey))
	h.must(err)
	options, err := h.Options(ctx, j.ID, jobs.EstimateWish{})
	h.must(err)
	var also []string
	for _, o := range options[1:min(len(options), jobs.MaxQuoteOptions)] {
		wish := jobs.EstimateWish{Zones: int(o.Zones), Light: o.Light, Later: o.LeftForLater}
		made, err := h.MakeEstimate(ctx, h.office(), j.ID, wish)
		h.must(err)
		also = append(also, made.NounID)
	}
	first, err := h.MakeEstimate(ctx, h.office(), j.ID, jobs.EstimateWish{})
	h.must(err)
	draft, err := h.CreateQuote(ctx, h.office(), j.ID, jobs.NewQuote{EstimateID: first.NounID, Also: also})
	h.must(err)
	_, err = h.SendQuote(ctx, h.office(), draft.NounID, 1)
	h.must(err)
	q, err = h.Quote(ctx, draft.NounID)
	h.must(err)
	return j.ID, q
}

// The customer takes the second way behind the link: the quote's sums, the job's
// worth and its newest estimate follow, and what was sent stays as it was.
func TestCustomerChoosesAnOption(t *testing.T) {
	eachOffice(t, func(h *hands) {
		bell := h.withBell()
		jobID, q := h.offered("rectangle")
		j := h.wantState(jobID, jobs.StateQuoted)
		body, err := q.Read()
		h.must(err)
		if len(body.Options) < 2 || body.Options[0].EstimateID != q.EstimateID || body.Options[0].Total != q.Total {
			h.Fatalf("%+v", body.Options)
		}
		at := slices.IndexFunc(body.Options, func(o jobs.QuoteOption) bool { return strings.HasPrefix(o.Name, "Two zones") })
		if at < 1 || body.In("es").Options[at].Total != body.Options[at].Total {
			h.Fatalf("%+v", body.Options)
		}
		two := body.Options[at]
		c, err := h.Customer(ctx, j.CustomerID)
		h.must(err)
		url, err := h.NoticeLink(ctx, jobs.Notice{ID: "n", BranchID: h.branch, JobID: jobID, ContactID: c.Contacts[0].ID, Kind: jobs.NoticeQuote, UsefulUntil: h.now.AddDate(0, 0, 1)})
		h.must(err)
		secret := strings.TrimPrefix(url, "https://pools.example.com/link/")

		call := desk.Call{Now: h.now, Key: "k1", Fingerprint: "f1"}
		answer := desk.LinkAnswer{Kind: "approved", By: "Pat Doe", EstimateID: two.EstimateID, Version: ptr(q.Version - 1)}
		h.wants(h.AnswerLink(ctx, call, secret, answer), jobs.CodeStale, "")
		answer.Version, answer.EstimateID, call.Key = ptr(q.Version), jobID, "k2"
		h.wants(h.AnswerLink(ctx, call, secret, answer), jobs.CodeInvalid, "estimate_id")
		answer.EstimateID, call.Key = two.EstimateID, "k3"
		bell.take()
		h.must(h.AnswerLink(ctx, call, secret, answer))
		if got := bell.take(); !slices.Contains(got, desk.BellNotice) {
			h.Errorf("the bell rang for %v", got)
		}

		after, err := h.Quote(ctx, q.ID)
		h.must(err)
		if after.EstimateID != two.EstimateID || after.Total != two.Total || after.Deposit != two.Deposit || string(after.Body) != string(q.Body) {
			h.Errorf("%+v", after)
		}
		j = h.wantState(jobID, jobs.StateApproved)
		if j.Value == nil || *j.Value != two.Total {
			h.Errorf("the job is worth %v", j.Value)
		}
		kept, err := h.KeptEstimate(ctx, j.EstimateID)
		h.must(err)
		e, err := estimate.Decode(kept.Body)
		h.must(err)
		if e.Ask.Zones != 2 || jobs.Cents(e.Price.Total.Value) != two.Total {
			h.Errorf("the job's estimate asks for %+v at %s", e.Ask, e.Price.Total.Text)
		}

		// what is made later follows what was approved, unless something else is asked
		for zones, want := range map[int]int{0: 2, 1: 1} {
			made, err := h.MakeEstimate(ctx, h.office(), jobID, jobs.EstimateWish{Zones: zones})
			h.must(err)
			kept, err := h.KeptEstimate(ctx, made.NounID)
			h.must(err)
			if e, err := estimate.Decode(kept.Body); err != nil || e.Ask.Zones != want {
				h.Errorf("%d zones asked after approval: made for %+v (%v)", zones, e.Ask, err)
			}
		}
	})
}

// A quote says everything once in each language, and nothing of what we earn.
func TestQuoteSaysEverything(t *testing.T) {
	eachOffice(t, func(h *hands) {
		_, q := h.offered("rectangle")
		b, err := q.Read()
		h.must(err)
		for _, language := range jobs.Languages {
			b := b.In(language)
			for name, list := range map[string][]string{"scope": b.Scope, "includes": b.Includes, "excludes": b.Excludes, "terms": b.Terms, "cautions": b.Cautions} {
				if len(list) == 0 || slices.Contains(list, "") {
					h.Errorf("%s: %s %q", language, name, list)
				}
			}
			if b.Water == nil || b.Water.Says == "" || b.Water.Drain <= 0 || b.Water.Work <= 0 || b.Water.Fill <= 0 {
				h.Errorf("%s: water %+v", language, b.Water)
			}
			if b.Customer != "Pat Doe" || b.Site == "" || b.Day != "2026-03-02" || len(b.Allowances) == 0 || !strings.Contains(b.Extra, "$250.00") {
				h.Errorf("%s: %+v", language, b)
			}
			if b.Lines[0].Cents+b.Tax != b.Total || b.Total != q.Total {
				h.Errorf("%s: %d and %d are not %d", language, b.Lines[0].Cents, b.Tax, b.Total)
			}
		}
		for _, ours := range []string{"margin", "overhead", "costs us", "hour ×"} {
			if strings.Contains(strings.ToLower(string(q.Body)), ours) {
				h.Errorf("the customer reads %q", ours)
			}
		}
	})
}

// What is left for later is named, with what it would cost as a job of its own.
func TestQuoteOffersLater(t *testing.T) {
	eachOffice(t, func(h *hands) {
		_, q := h.offered("pool_and_spa")
		b, err := q.Read()
		h.must(err)
		later := 0
		for _, o := range b.Options {
			if !strings.Contains(o.Name, "later: ") {
				continue
			}
			later++
			if o.Total >= b.Total || !strings.Contains(strings.Join(o.Says, "; "), "as a job of its own at today's rates") {
				h.Errorf("%+v beside %s", o, b.Total)
			}
		}
		if later == 0 {
			h.Errorf("no way leaves anything for later: %+v", b.Options)
		}
	})
}

// Our own price list is said in Spanish; a rule that somebody adds to it must
// be, too.
func TestPriceListIsSaidInSpanish(t *testing.T) {
	o := jobs.QuoteOffer{Ways: []jobs.QuoteWay{{}}}
	for _, a := range estimate.Allowances(estimate.DefaultSettings()) {
		o.Allowances = append(o.Allowances, jobs.QuoteAllowance{Name: a.Name, Why: a.Why, Cents: a.Cents})
	}
	b := o.Body()
	if len(b.Allowances) == 0 {
		t.Fatal("no price list")
	}
	for i, en := range b.Allowances {
		if es := b.In("es").Allowances[i]; es.Name == en.Name || es.Why == en.Why || es.Cents != en.Cents {
			t.Errorf("%+v", es)
		}
	}
}

// Parking a job takes back what was told, so the worker is woken.
func TestActOnJobRingsTheBell(t *testing.T) {
	eachOffice(t, func(h *hands) {
		bell := h.withBell()
		jobID, _ := h.quoted()
		j := h.wantState(jobID, jobs.StateQuoted)
		bell.take()
		_, err := h.ActOnJob(ctx, h.office(), jobID, j.Version+1, desk.JobAct{Act: jobs.ActPark, Note: "on holiday"})
		h.wants(err, jobs.CodeStale, "")
		if got := bell.take(); len(got) != 0 {
			h.Errorf("a refused act rang for %v", got)
		}
		_, err = h.ActOnJob(ctx, h.office(), jobID, j.Version, desk.JobAct{Act: jobs.ActPark, Note: "on holiday"})
		h.must(err)
		if got := bell.take(); !slices.Contains(got, desk.BellNotice) {
			h.Errorf("the bell rang for %v", got)
		}
	})
}
