package desk_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/jobs/store"
	"ebbline/jobs/store/storetest"
)

// hands is an office with a clock that the test moves.
type hands struct {
	*testing.T
	*desk.Desk
	store  *store.Store
	now    time.Time
	last   atomic.Int64
	branch string
}

// Now and New make hands the desk's clock and ids.
type clock struct{ h *hands }

func (c clock) Now() time.Time { return c.h.now }

type ids struct{ h *hands }

func (i ids) New() string { return fmt.Sprintf("00000000-0000-7000-8000-%012d", i.h.last.Add(1)) }

// eachOffice runs the test with an office on each database. Its branch lies in
// Phoenix; it is Monday, 2 March 2026, eight in the morning there.
func eachOffice(t *testing.T, test func(h *hands)) {
	storetest.Each(t, func(t *testing.T, st *store.Store) { test(newOffice(t, st)) })
}

func newOffice(t *testing.T, st *store.Store) *hands {
	h := &hands{T: t, store: st, now: time.Date(2026, 3, 2, 15, 0, 0, 0, time.UTC)}
	d, err := desk.New(desk.Config{Store: st, Clock: clock{h}, IDs: ids{h}, HashMemoryKiB: 64})
	if err != nil {
		t.Fatal(err)
	}
	h.Desk = d
	out, err := d.CreateBranch(ctx, h.as(jobs.RoleOwner), "Yard", "America/Phoenix")
	h.must(err)
	h.branch = out.NounID
	return h
}

var ctx = context.Background()

func (h *hands) as(role jobs.Role) desk.Call {
	return desk.Call{Actor: jobs.Actor{Role: role, Name: "Mara"}, Now: h.now}
}

func (h *hands) office() desk.Call { return h.as(jobs.RoleDispatcher) }

func (h *hands) must(err error) {
	h.Helper()
	if err != nil {
		h.Fatal(err)
	}
}

func (h *hands) wants(err error, code jobs.Code, says string) {
	h.Helper()
	if jobs.CodeOf(err) != code || err != nil && !strings.Contains(err.Error(), says) {
		h.Errorf("got %v, want %s with %q", err, code, says)
	}
}

func (h *hands) wantState(jobID string, want jobs.State) desk.JobView {
	h.Helper()
	j, err := h.Job(ctx, h.office().Actor, jobID)
	h.must(err)
	if j.State != want {
		h.Fatalf("the job is %s, want %s", j.State, want)
	}
	return j
}

func (h *hands) fact(jobID, name string) jobs.Fact {
	h.Helper()
	f, err := h.Facts(ctx, jobID)
	h.must(err)
	for _, one := range f.Facts {
		if one.Name == name {
			return one
		}
	}
	h.Fatalf("no fact %s", name)
	return jobs.Fact{}
}

func ptr[T any](v T) *T { return &v }

func surveyFile(t *testing.T, name string) jobs.Survey {
	t.Helper()
	data, err := os.ReadFile("../../testdata/survey/" + name + ".json")
	if err != nil {
		t.Fatal(err)
	}
	s, err := jobs.DecodeSurvey(data)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func (h *hands) firstCall() jobs.NewEnquiry {
	return jobs.NewEnquiry{
		BranchID: h.branch,
		Customer: &jobs.CustomerData{Name: "Pat  Doe"},
		Contacts: []jobs.ContactData{{Role: jobs.ContactPayer, Name: "Pat Doe", Email: "pat@example.com", PhoneText: "(559) 555-0123", MayDecide: true}},
		Site:     &jobs.SiteData{Street: "12 Ocotillo Ln", City: "Dry Fork", Region: "AZ"},
	}
}

// quoted brings a new job to a sent quote and gives both.
func (h *hands) quoted() (jobID string, q jobs.Quote) {
	h.Helper()
	out, err := h.CreateEnquiry(ctx, h.office(), h.firstCall())
	h.must(err)
	j := h.wantState(out.NounID, jobs.StateEnquiry)
	_, err = h.ChangeSurvey(ctx, h.office(), j.SiteID, 0, surveyFile(h.T, "rectangle"))
	h.must(err)
	made, err := h.MakeEstimate(ctx, h.office(), j.ID, jobs.EstimateWish{})
	h.must(err)
	draft, err := h.CreateQuote(ctx, h.office(), j.ID, jobs.NewQuote{EstimateID: made.NounID})
	h.must(err)
	_, err = h.SendQuote(ctx, h.office(), draft.NounID, 1)
	h.must(err)
	q, err = h.Quote(ctx, draft.NounID)
	h.must(err)
	return j.ID, q
}

// approved brings a new job to an approved quote.
func (h *hands) approved() (jobID string, q jobs.Quote) {
	h.Helper()
	jobID, q = h.quoted()
	_, err := h.AnswerQuote(ctx, h.office(), q.ID, q.Version, jobs.QuoteAnswer{Answer: jobs.QuoteApproved, By: "Pat Doe"})
	h.must(err)
	q, err = h.Quote(ctx, q.ID)
	h.must(err)
	return jobID, q
}

// makeReady lets everything that gates an approved job hold.
// makeReadyButParts notes everything that gates a job but its parts.
func (h *hands) makeReadyButParts(jobID string, q jobs.Quote) {
	h.Helper()
	_, err := h.AddPayment(ctx, h.office(), jobs.Payment{JobID: jobID, Kind: jobs.PaymentDeposit, Amount: q.Deposit, Method: "check"})
	h.must(err)
	_, err = h.SetPermit(ctx, h.office(), jobID, 0, jobs.PermitData{Needed: jobs.Yes, PulledBy: "us", Number: "E-17", IssuedDay: "2026-03-02", ExpiresDay: "2026-09-02"})
	h.must(err)
	_, err = h.AddSignOff(ctx, h.office(), jobs.SignOff{JobID: jobID, Kind: jobs.SignDrainRisk, SignedBy: "Pat Doe"})
	h.must(err)
}

func (h *hands) makeReady(jobID string, q jobs.Quote) {
	h.Helper()
	h.makeReadyButParts(jobID, q)
	f, err := h.Facts(ctx, jobID)
	h.must(err)
	for _, p := range f.Known.Parts {
		_, err := h.ChangeJobPart(ctx, h.office(), p.ID, p.Version, jobs.JobPartChange{State: ptr(jobs.PartReserved)})
		h.must(err)
	}
}

func TestFromFirstCallToReady(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, q := h.quoted()
		j := h.wantState(jobID, jobs.StateQuoted)
		if j.Number != 1 || j.CustomerName != "Pat Doe" || j.WayLow != jobs.LowCrewPump || *j.Value != q.Total {
			h.Errorf("%+v", j.Job)
		}
		if q.Deposit <= 0 || q.Total <= q.Tax || q.ValidUntil != "2026-04-01" {
			h.Errorf("%+v", q)
		}
		out, err := h.AnswerQuote(ctx, h.office(), q.ID, q.Version, jobs.QuoteAnswer{Answer: jobs.QuoteApproved, By: "Pat Doe"})
		h.must(err)
		q, err = h.Quote(ctx, out.NounID)
		h.must(err)
		j = h.wantState(jobID, jobs.StateApproved)
		var chain []string
		for _, v := range j.Visits {
			if v.State == jobs.VisitOpen {
				chain = append(chain, string(v.Kind))
				if v.Seconds == nil {
					h.Errorf("%s has no length of the estimate", v.Kind)
				}
			}
		}
		if strings.Join(chain, " ") != "drain convert connect commission" {
			h.Errorf("chain %v", chain)
		}
		if f := h.fact(jobID, "parts"); f.State != jobs.FactLacks {
			h.Errorf("parts %+v", f)
		}
		h.makeReady(jobID, q)
		j = h.wantState(jobID, jobs.StateReady)
		f, err := h.Facts(ctx, jobID)
		h.must(err)
		if !f.Ready || f.NotBefore != q.CancelUntil.Add(1) || f.NotAfter != "2026-09-02" {
			h.Errorf("between %s and %s, ready %v", f.NotBefore, f.NotAfter, f.Ready)
		}

		// One fact goes: it falls back. It comes again: it is ready again.
		_, err = h.AddSignOff(ctx, h.office(), jobs.SignOff{JobID: jobID, Kind: jobs.SignDrainRisk, SignedBy: "Pat Doe", Withdrawn: true})
		h.must(err)
		h.wantState(jobID, jobs.StateApproved)
		_, err = h.AddSignOff(ctx, h.office(), jobs.SignOff{JobID: jobID, Kind: jobs.SignDrainRisk, SignedBy: "Pat Doe"})
		h.must(err)
		h.wantState(jobID, jobs.StateReady)

		// Days pass: the permit expires.
		h.now = h.now.AddDate(0, 7, 0)
		moved, err := h.SettleDay(ctx, h.office(), h.branch)
		h.must(err)
		if moved != 1 {
			h.Errorf("%d jobs moved", moved)
		}
		h.wantState(jobID, jobs.StateApproved)

		history, err := h.JobHistory(ctx, jobID, jobs.Page{Limit: 200})
		h.must(err)
		var acts []string
		for i := len(history.Items) - 1; i >= 0; i-- {
			acts = append(acts, history.Items[i].Act)
		}
		for _, want := range []string{"createEnquiry", "changeSurvey", "send_quote", "approve", "addPayment", "facts_hold", "fact_lacks"} {
			if !strings.Contains(strings.Join(acts, " "), want) {
				h.Errorf("no %s in %v", want, acts)
			}
		}
	})
}

func TestEnquiryAllOrNothing(t *testing.T) {
	eachOffice(t, func(h *hands) {
		in := h.firstCall()
		in.SiteID, in.Site = in.BranchID, nil // no such site
		in.CustomerID = ""
		_, err := h.CreateEnquiry(ctx, h.office(), in)
		h.wants(err, jobs.CodeInvalid, "site_id")
		list, err := h.Customers(ctx, store.CustomerFilter{}, jobs.Page{})
		h.must(err)
		if len(list.Items) != 0 {
			h.Errorf("half an enquiry was kept: %+v", list.Items)
		}
		for name, c := range map[string]struct {
			change func(in *jobs.NewEnquiry)
			field  string
		}{
			"no such branch":     {func(in *jobs.NewEnquiry) { in.BranchID = "nowhere" }, "branch_id"},
			"no customer":        {func(in *jobs.NewEnquiry) { in.Customer = nil }, "customer_id"},
			"both customers":     {func(in *jobs.NewEnquiry) { in.CustomerID = in.BranchID }, "customer_id"},
			"nameless":           {func(in *jobs.NewEnquiry) { in.Customer.Name = "  " }, "customer.name"},
			"bad phone":          {func(in *jobs.NewEnquiry) { in.Contacts[0].PhoneText = "12" }, "customer.contacts.0.phone"},
			"no street":          {func(in *jobs.NewEnquiry) { in.Site.Street = "" }, "site.street"},
			"unknown zone":       {func(in *jobs.NewEnquiry) { in.Site.Zone = "Mars/Olympus" }, "site.zone"},
			"half a place":       {func(in *jobs.NewEnquiry) { in.Site.LatE7 = ptr(int64(1)) }, "site.lon_e7"},
			"north of the pole":  {func(in *jobs.NewEnquiry) { in.Site.LatE7, in.Site.LonE7 = ptr(int64(91e7)), ptr(int64(0)) }, "site.lat_e7"},
			"window backwards":   {func(in *jobs.NewEnquiry) { in.Site.WorkFrom, in.Site.WorkTo = ptr(int64(900)), ptr(int64(600)) }, "site.work_to_minute"},
			"half a window":      {func(in *jobs.NewEnquiry) { in.Site.WorkFrom = ptr(int64(900)) }, "site.work_to_minute"},
			"no such day":        {func(in *jobs.NewEnquiry) { in.Job.DueDay = "2026-02-30" }, "job.due_day"},
			"due before allowed": {func(in *jobs.NewEnquiry) { in.Job.DueDay, in.Job.NotBeforeDay = "2026-03-01", "2026-03-09" }, "job.due_day"},
			"negative value":     {func(in *jobs.NewEnquiry) { in.Job.Value = ptr(jobs.Cents(-1)) }, "job.value_cents"},
			"no such way":        {func(in *jobs.NewEnquiry) { in.Job.WayLow = "magic" }, "job.way_low"},
			"control signs":      {func(in *jobs.NewEnquiry) { in.Site.GateCode = "12\x00" }, "site.gate_code"},
			"other zone":         {func(in *jobs.NewEnquiry) { s := surveyFile(h.T, "poor"); s.Zone = "America/Denver"; in.Survey = &s }, "zone"},
			"negative depth": {func(in *jobs.NewEnquiry) {
				in.Survey = &jobs.Survey{Version: 1, Subjects: []jobs.Subject{{ID: "pool", Kind: jobs.SubjectBody, Values: map[string]jobs.Value{"length": {Text: "-3", Unit: "ft", Known: jobs.KnownTold}}}}}
			}, "pool.length"},
			"wrong unit": {func(in *jobs.NewEnquiry) {
				in.Survey = &jobs.Survey{Version: 1, Subjects: []jobs.Subject{{ID: "pool", Kind: jobs.SubjectBody, Values: map[string]jobs.Value{"length": {Text: "3", Unit: "gal", Known: jobs.KnownTold}}}}}
			}, "pool.length"},
		} {
			in := h.firstCall()
			c.change(&in)
			_, err := h.CreateEnquiry(ctx, h.office(), in)
			var e *jobs.Error
			if !errors.As(err, &e) || e.Code != jobs.CodeInvalid || len(e.Fields) == 0 || e.Fields[0].Field != c.field {
				h.Errorf("%s: %v, want the field %s", name, err, c.field)
			}
		}
	})
}

func TestActsAnswerOnce(t *testing.T) {
	eachOffice(t, func(h *hands) {
		call := h.office()
		call.Key, call.Fingerprint = "k1", "f1"
		call.Actor.UserID = "00000000-0000-7000-8000-999999999999"
		first, err := h.CreateEnquiry(ctx, call, h.firstCall())
		h.must(err)
		second, err := h.CreateEnquiry(ctx, call, h.firstCall())
		h.must(err)
		if first.NounID != second.NounID || !second.Replayed {
			h.Errorf("%+v and %+v", first, second)
		}
		call.Fingerprint = "f2"
		_, err = h.CreateEnquiry(ctx, call, h.firstCall())
		h.wants(err, jobs.CodeKeyReused, "")
		list, err := h.Jobs(ctx, call.Actor, store.JobFilter{}, jobs.Page{})
		h.must(err)
		if len(list.Items) != 1 {
			h.Errorf("%d jobs", len(list.Items))
		}

		_, err = h.ActOnJob(ctx, h.office(), first.NounID, 7, desk.JobAct{Act: jobs.ActMarkSurveyed})
		h.wants(err, jobs.CodeStale, "")
		_, err = h.ActOnJob(ctx, h.office(), first.NounID, 1, desk.JobAct{Act: jobs.ActPark})
		h.wants(err, jobs.CodeInvalid, "note")
		_, err = h.ActOnJob(ctx, h.as(jobs.RoleTech), first.NounID, 1, desk.JobAct{Act: jobs.ActPark, Note: "why"})
		h.wants(err, jobs.CodeForbidden, "tech")
		_, err = h.ActOnJob(ctx, h.office(), first.NounID, 1, desk.JobAct{Act: jobs.ActClose})
		h.wants(err, jobs.CodeConflict, "enquiry")
		_, err = h.ActOnJob(ctx, h.office(), first.NounID, 1, desk.JobAct{Act: "send_quote"})
		h.wants(err, jobs.CodeInvalid, "act")
		_, err = h.ActOnJob(ctx, h.office(), h.branch, 1, desk.JobAct{Act: jobs.ActMarkSurveyed})
		h.wants(err, jobs.CodeNotFound, "")
		_, err = h.ActOnJob(ctx, h.office(), first.NounID, 1, desk.JobAct{Act: jobs.ActPark, Note: "on holiday"})
		h.must(err)
		h.wantState(first.NounID, jobs.StateParked)
		_, err = h.ActOnJob(ctx, h.office(), first.NounID, 2, desk.JobAct{Act: jobs.ActUnpark})
		h.must(err)
		h.wantState(first.NounID, jobs.StateEnquiry)
	})
}

func TestQuotesAreFrozen(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, first := h.quoted()
		_, err := h.SendQuote(ctx, h.office(), first.ID, first.Version)
		h.wants(err, jobs.CodeConflict, "draft")
		_, err = h.SendQuote(ctx, h.office(), first.ID, 1)
		h.wants(err, jobs.CodeStale, "")

		draft, err := h.CreateQuote(ctx, h.office(), jobID, jobs.NewQuote{EstimateID: first.EstimateID, ValidDays: ptr(int64(2))})
		h.must(err)
		_, err = h.AnswerQuote(ctx, h.office(), draft.NounID, 1, jobs.QuoteAnswer{Answer: jobs.QuoteApproved, By: "Pat"})
		h.wants(err, jobs.CodeConflict, "draft")
		_, err = h.SendQuote(ctx, h.office(), draft.NounID, 1)
		h.must(err)
		list, err := h.Quotes(ctx, jobID)
		h.must(err)
		if len(list) != 2 || list[0].State != jobs.QuoteReplaced || list[1].State != jobs.QuoteSent || list[1].Number != 2 {
			h.Errorf("%+v", list)
		}
		if j := h.wantState(jobID, jobs.StateQuoted); j.QuoteID != draft.NounID || j.EstimateID != first.EstimateID {
			h.Errorf("newest papers %s and %s", j.QuoteID, j.EstimateID)
		}
		_, err = h.AnswerQuote(ctx, h.office(), first.ID, list[0].Version, jobs.QuoteAnswer{Answer: jobs.QuoteApproved, By: "Pat"})
		h.wants(err, jobs.CodeConflict, "replaced")
		h.now = h.now.AddDate(0, 0, 3)
		_, err = h.AnswerQuote(ctx, h.office(), draft.NounID, 2, jobs.QuoteAnswer{Answer: jobs.QuoteApproved, By: "Pat"})
		h.wants(err, jobs.CodeConflict, "valid until Wed Mar 4, 2026")
		_, err = h.AnswerQuote(ctx, h.as(jobs.RoleCustomer), draft.NounID, 2, jobs.QuoteAnswer{Answer: jobs.QuoteDeclined, By: "Pat"})
		h.must(err)
		h.wantState(jobID, jobs.StateDeclined)
	})
}

func TestCancelledWhileItMayBe(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, q := h.approved()
		h.makeReady(jobID, q)
		h.wantState(jobID, jobs.StateReady)
		_, err := h.AnswerQuote(ctx, h.as(jobs.RoleCustomer), q.ID, q.Version, jobs.QuoteAnswer{Answer: jobs.QuoteDeclined, By: "Pat"})
		h.must(err)
		j := h.wantState(jobID, jobs.StateDeclined)
		_, err = h.ActOnJob(ctx, h.office(), jobID, j.Version, desk.JobAct{Act: jobs.ActReopen})
		h.must(err)
		// It stood ready; without an approved quote it is not.
		h.wantState(jobID, jobs.StateApproved)
		if f := h.fact(jobID, "approval"); f.State != jobs.FactLacks {
			h.Errorf("%+v", f)
		}
	})
}

func TestEstimateNeedsWhatItNeeds(t *testing.T) {
	eachOffice(t, func(h *hands) {
		out, err := h.CreateEnquiry(ctx, h.office(), h.firstCall())
		h.must(err)
		e, err := h.Estimate(ctx, out.NounID, jobs.EstimateWish{})
		h.must(err)
		if e.Price != nil || len(e.Missing) == 0 || e.SettingsNumber != 1 {
			h.Errorf("nothing is known, and yet %+v", e)
		}
		made, err := h.MakeEstimate(ctx, h.office(), out.NounID, jobs.EstimateWish{})
		h.must(err)
		_, err = h.CreateQuote(ctx, h.office(), out.NounID, jobs.NewQuote{EstimateID: made.NounID})
		h.wants(err, jobs.CodeConflict, "price")

		s := surveyFile(h.T, "rectangle")
		j := h.wantState(out.NounID, jobs.StateEnquiry)
		_, err = h.ChangeSurvey(ctx, h.office(), j.SiteID, 0, s)
		h.must(err)
		_, err = h.ChangeSurvey(ctx, h.office(), j.SiteID, 0, s)
		h.wants(err, jobs.CodeStale, "")
		e, err = h.Estimate(ctx, out.NounID, jobs.EstimateWish{})
		h.must(err)
		if e.Price == nil || e.PlanningSeconds == nil || *e.PlanningSeconds <= *e.MedianSeconds || e.SurveyVersion != 1 {
			h.Errorf("%+v", e)
		}
		known, err := h.Survey(ctx, h.office().Actor, j.SiteID)
		h.must(err)
		if v := known.Survey.Subjects[1].Values["becomes_low"]; v.By != "Mara" || v.At == 0 {
			h.Errorf("nobody noted it: %+v", v)
		}
		tech := jobs.Actor{Role: jobs.RoleTech, CrewID: h.branch}
		_, err = h.Survey(ctx, tech, j.SiteID)
		h.wants(err, jobs.CodeNotFound, "")
	})
}

func TestSettingsByVersion(t *testing.T) {
	eachOffice(t, func(h *hands) {
		s, err := h.Settings(ctx, h.branch)
		h.must(err)
		if s.Number != 1 || len(s.Settings.Estimate) == 0 {
			h.Errorf("number %d", s.Number)
		}
		s.Settings.Company.CancelDays = 10
		body, err := jobs.EncodeSettings(s.Settings)
		h.must(err)
		_, err = h.ChangeSettings(ctx, h.as(jobs.RoleOwner), h.branch, 7, body)
		h.wants(err, jobs.CodeStale, "")
		_, err = h.ChangeSettings(ctx, h.as(jobs.RoleOwner), h.branch, 1, body)
		h.must(err)
		bad := strings.Replace(string(body), `"crew_hour":6200`, `"crew_hour":-1`, 1)
		_, err = h.ChangeSettings(ctx, h.as(jobs.RoleOwner), h.branch, 2, []byte(bad))
		h.wants(err, jobs.CodeInvalid, "estimate.price.crew_hour")
		bad = strings.Replace(string(body), `"crew_hour":6200`, `"crew_our":1`, 1)
		_, err = h.ChangeSettings(ctx, h.as(jobs.RoleOwner), h.branch, 2, []byte(bad))
		h.wants(err, jobs.CodeInvalid, "estimate.price.crew_our")
		s, err = h.Settings(ctx, h.branch)
		h.must(err)
		if s.Number != 2 || s.Settings.Company.CancelDays != 10 || s.MadeBy != "Mara" {
			h.Errorf("%+v", s)
		}
		_, q := h.approved()
		if q.CancelUntil != "2026-03-12" {
			h.Errorf("cancelled until %s", q.CancelUntil)
		}
	})
}

func TestVisitsOfAChain(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, _ := h.approved()
		chain := func() string {
			var kinds []string
			last := int64(0)
			for _, v := range h.wantState(jobID, jobs.StateApproved).Visits {
				if v.State == jobs.VisitOpen {
					kinds = append(kinds, string(v.Kind))
				}
				if v.Place <= last {
					h.Errorf("place %d after %d", v.Place, last)
				}
				last = v.Place
			}
			return strings.Join(kinds, " ")
		}
		if got := chain(); got != "drain convert connect commission" {
			h.Fatalf("%s", got)
		}
		for _, kind := range []jobs.VisitKind{jobs.VisitCircuit, jobs.VisitInspect} {
			_, err := h.AddVisit(ctx, h.office(), jobID, jobs.NewVisit{Kind: kind, Seconds: ptr(int64(3600))})
			h.must(err)
		}
		if got := chain(); got != "circuit drain convert connect inspect commission" {
			h.Errorf("%s", got)
		}
		_, err := h.AddVisit(ctx, h.office(), jobID, jobs.NewVisit{Kind: jobs.VisitCollect})
		h.wants(err, jobs.CodeConflict, "at most 6")
		_, err = h.AddVisit(ctx, h.office(), jobID, jobs.NewVisit{Kind: "party"})
		h.wants(err, jobs.CodeInvalid, "kind")

		for _, v := range h.wantState(jobID, jobs.StateApproved).Visits {
			if v.Kind != jobs.VisitInspect {
				continue
			}
			_, err := h.ChangeVisit(ctx, h.office(), v.ID, v.Version, jobs.VisitChange{PinDay: ptr(jobs.Day("2026-03-09")), Seconds: ptr(int64(1800))})
			h.must(err)
			_, err = h.ChangeVisit(ctx, h.office(), v.ID, v.Version, jobs.VisitChange{Withdraw: true})
			h.wants(err, jobs.CodeStale, "")
			got, err := h.Visit(ctx, v.ID)
			h.must(err)
			if got.PinDay != "2026-03-09" || *got.Seconds != 1800 {
				h.Errorf("%+v", got)
			}
			_, err = h.ChangeVisit(ctx, h.office(), v.ID, got.Version, jobs.VisitChange{Withdraw: true})
			h.must(err)
			_, err = h.ChangeVisit(ctx, h.office(), v.ID, got.Version+1, jobs.VisitChange{Withdraw: true})
			h.wants(err, jobs.CodeConflict, "withdrawn")
			_, err = h.ChangeVisit(ctx, h.office(), v.ID, got.Version+1, jobs.VisitChange{Seconds: ptr(int64(1))})
			h.wants(err, jobs.CodeInvalid, "seconds")
		}
	})
}

// Two people note the same permit from the same page: one is told.
func TestTwoAtOnePermit(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, _ := h.approved()
		answers := make(chan error, 2)
		for range 2 {
			go func() {
				_, err := h.SetPermit(ctx, h.office(), jobID, 0, jobs.PermitData{Needed: jobs.No})
				answers <- err
			}()
		}
		a, b := jobs.CodeOf(<-answers), jobs.CodeOf(<-answers)
		if won := a == "" || b == ""; !won || a == b {
			h.Errorf("%q and %q", a, b)
		}
	})
}

// The last facts are noted by several people at once: the job is ready, on
// both databases, however they interleave.
func TestFactsNotedAtOnce(t *testing.T) {
	eachOffice(t, func(h *hands) {
		for range 5 {
			jobID, q := h.approved()
			f, err := h.Facts(ctx, jobID)
			h.must(err)
			call := h.office()
			acts := []func() error{
				func() error {
					_, err := h.AddPayment(ctx, call, jobs.Payment{JobID: jobID, Kind: jobs.PaymentDeposit, Amount: q.Deposit, Method: "check"})
					return err
				},
				func() error {
					_, err := h.SetPermit(ctx, call, jobID, 0, jobs.PermitData{Needed: jobs.No})
					return err
				},
				func() error {
					_, err := h.AddSignOff(ctx, call, jobs.SignOff{JobID: jobID, Kind: jobs.SignDrainRisk, SignedBy: "Pat"})
					return err
				},
			}
			for _, p := range f.Known.Parts {
				acts = append(acts, func() error {
					_, err := h.ChangeJobPart(ctx, call, p.ID, p.Version, jobs.JobPartChange{State: ptr(jobs.PartReceived)})
					return err
				})
			}
			errs := make(chan error, len(acts))
			for _, act := range acts {
				go func() { errs <- act() }()
			}
			for range acts {
				h.must(<-errs)
			}
			h.wantState(jobID, jobs.StateReady)
		}
	})
}

// putState sets a job's state by hand, as the pool side would have brought it
// about.
func (h *hands) putState(jobID string, state jobs.State, visits jobs.VisitState) {
	h.Helper()
	h.must(h.store.InTx(ctx, func(tx *store.Tx) error {
		j, err := tx.Job(jobID)
		if err != nil {
			return err
		}
		for _, v := range j.Visits {
			if v.State != jobs.VisitOpen || v.Kind == jobs.VisitConnect || v.Kind == jobs.VisitCommission {
				continue
			}
			v.State = visits
			if err := tx.UpdateVisit(v); err != nil {
				return err
			}
		}
		j.State = state
		return tx.UpdateJob(j)
	}))
}

func openKinds(j desk.JobView) string {
	var kinds []string
	for _, v := range j.Visits {
		if v.State == jobs.VisitOpen {
			kinds = append(kinds, string(v.Kind))
		}
	}
	return strings.Join(kinds, " ")
}

func TestWhatFollowsMadeSafe(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, q := h.approved()
		h.makeReady(jobID, q)
		h.putState(jobID, jobs.StateMadeSafe, jobs.VisitDone)
		j := h.wantState(jobID, jobs.StateMadeSafe)
		_, err := h.ActOnJob(ctx, h.office(), jobID, j.Version, desk.JobAct{Act: jobs.ActHoldLow})
		h.wants(err, jobs.CodeInvalid, "until")
		_, err = h.ActOnJob(ctx, h.office(), jobID, j.Version, desk.JobAct{Act: jobs.ActHoldLow, Until: h.now.Add(-time.Hour)})
		h.wants(err, jobs.CodeInvalid, "until")
		_, err = h.ActOnJob(ctx, h.office(), jobID, j.Version, desk.JobAct{Act: jobs.ActHoldLow, Until: h.now.Add(48 * time.Hour)})
		h.must(err)
		j = h.wantState(jobID, jobs.StateMadeSafe)
		if got := openKinds(j); got != "convert connect commission" || j.LowDecision != jobs.HoldLow || !j.LowUntil.Equal(h.now.Add(48*time.Hour)) {
			h.Errorf("%s, %s until %s", got, j.LowDecision, j.LowUntil)
		}
		_, err = h.ActOnJob(ctx, h.office(), jobID, j.Version, desk.JobAct{Act: jobs.ActRefillAndReturn})
		h.must(err)
		j = h.wantState(jobID, jobs.StateReady) // everything that gates it still holds
		if got := openKinds(j); got != "drain convert connect commission" || !j.LowUntil.IsZero() {
			h.Errorf("%s until %s", got, j.LowUntil)
		}
	})
}

func TestInspectionAndClosing(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, q := h.approved()
		h.makeReady(jobID, q) // with a permit
		h.putState(jobID, jobs.StateConverted, jobs.VisitDone)
		j := h.wantState(jobID, jobs.StateConverted)
		_, err := h.ActOnJob(ctx, h.office(), jobID, j.Version, desk.JobAct{Act: jobs.ActClose})
		h.wants(err, jobs.CodeConflict, "every visit done or withdrawn and the inspection passed")
		_, err = h.ActOnJob(ctx, h.office(), jobID, j.Version, desk.JobAct{Act: jobs.ActRequestInspection})
		h.must(err)
		j = h.wantState(jobID, jobs.StateAwaitingInspection)
		if got := openKinds(j); got != "connect inspect commission" {
			h.Errorf("%s", got)
		}
		for _, v := range j.Visits {
			if v.State == jobs.VisitOpen {
				_, err := h.ChangeVisit(ctx, h.office(), v.ID, v.Version, jobs.VisitChange{Withdraw: true})
				h.must(err)
			}
		}
		_, err = h.ActOnJob(ctx, h.office(), jobID, j.Version, desk.JobAct{Act: jobs.ActPassInspection})
		h.must(err)
		j = h.wantState(jobID, jobs.StateClosed)
		if !j.ClosedAt.Equal(h.now) || len(j.Acts) != 0 {
			h.Errorf("closed at %s, acts %v", j.ClosedAt, j.Acts)
		}
		_, err = h.AddVisit(ctx, h.office(), jobID, jobs.NewVisit{Kind: jobs.VisitConvert})
		h.wants(err, jobs.CodeConflict, "closed")
	})
}

// A call-back needs no quote: it is ready as soon as its parts are there.
func TestCallBack(t *testing.T) {
	eachOffice(t, func(h *hands) {
		in := h.firstCall()
		in.Job.Kind = jobs.JobCallBack
		out, err := h.CreateEnquiry(ctx, h.office(), in)
		h.must(err)
		j := h.wantState(out.NounID, jobs.StateReady)
		if openKinds(j) != "call_back" || out.Version != j.Version {
			h.Errorf("%s, version %d and %d", openKinds(j), out.Version, j.Version)
		}
		_, err = h.AddJobPart(ctx, h.office(), j.ID, jobs.JobPartData{Name: "Seal", Quantity: 1, StockUnit: "piece", State: jobs.PartOrdered})
		h.must(err)
		h.wantState(j.ID, jobs.StateApproved)
	})
}
