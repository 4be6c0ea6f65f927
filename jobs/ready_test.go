package jobs

import (
	"strings"
	"testing"
	"time"
)

func survey(finish, ground, soil, rain string) Survey {
	value := func(text, unit string) Value { return Value{Text: text, Unit: unit, Known: KnownTold} }
	site, body := map[string]Value{}, map[string]Value{}
	if soil != "" {
		site["soil_opened"] = value(soil, "")
	}
	if rain != "" {
		site["rain_season"] = value(rain, "")
	}
	if finish != "" {
		body["finish"] = value(finish, "")
	}
	if ground != "" {
		body["ground_water"] = value(ground, "ft")
	}
	s, err := Survey{Version: SurveyVersion, Zone: "America/Phoenix", Subjects: []Subject{
		{ID: "site", Kind: SubjectSite, Values: site}, {ID: "pool", Kind: SubjectBody, Name: "Pool", Values: body},
	}}.Settle()
	if err != nil {
		panic(err)
	}
	return s
}

// allHold is a job whose facts all hold, to take one away from.
func allHold() FactsKnown {
	return FactsKnown{
		Job: Job{JobData: JobData{Kind: JobConversion}},
		Quote: &Quote{State: QuoteApproved, Total: 500_000, Deposit: 50_000, AnsweredBy: "Pat", ValidUntil: "2026-04-01",
			CancelUntil: "2026-03-05"},
		Payments: []Payment{{Kind: PaymentDeposit, Amount: 50_000}},
		Permit:   Permit{PermitData: PermitData{Needed: Yes, Number: "E-12", IssuedDay: "2026-03-03", ExpiresDay: "2026-09-03"}},
		Marking:  Marking{MarkingData: MarkingData{SoilOpened: Yes, Ticket: "T-1", LawfulFromDay: "2026-03-09", ExpiresDay: "2026-03-30", PrivateMarked: true}},
		SignOffs: []SignOff{{Kind: SignDrainRisk, SignedBy: "Pat"}},
		Parts:    []JobPart{{JobPartData: JobPartData{Name: "Cord set 80 ft", State: PartReserved}}},
		Survey:   survey("plaster", "30", "yes", "no"), Today: "2026-03-04", HighGround: 10 * ft, TrustParts: true,
		SurveyVersion: 4, EstimateVersion: 4,
	}
}

func TestFactsThatAllHold(t *testing.T) {
	facts := allHold().Facts()
	if !AllHold(facts) {
		t.Errorf("%+v", facts)
	}
	from, to := Between(facts)
	if from != "2026-03-09" || to != "2026-03-30" {
		t.Errorf("between %s and %s", from, to)
	}
}

func TestEachFact(t *testing.T) {
	um := func(n int64) *int64 { return &n }
	for _, c := range []struct {
		name, fact string
		change     func(k *FactsKnown)
		state      FactState
		says       string
	}{
		{"no quote", "approval", func(k *FactsKnown) { k.Quote = nil }, FactLacks, "no quote"},
		{"no quote, no deposit", "deposit", func(k *FactsKnown) { k.Quote = nil }, FactNotKnown, "no quote"},
		{"sent", "approval", func(k *FactsKnown) { k.Quote.State = QuoteSent }, FactLacks, "no answer yet"},
		{"declined", "approval", func(k *FactsKnown) { k.Quote.State = QuoteDeclined }, FactLacks, "declined"},
		{"part of the deposit", "deposit", func(k *FactsKnown) { k.Payments[0].Amount = 49_999 }, FactLacks, "$499.99 of $500.00"},
		{"deposit given back", "deposit", func(k *FactsKnown) {
			k.Payments = append(k.Payments, Payment{Kind: PaymentRefund, Amount: 1})
		}, FactLacks, "$499.99"},
		{"no deposit asked", "deposit", func(k *FactsKnown) { k.Quote.Deposit, k.Payments = 0, nil }, FactNotNeeded, "asks for none"},
		{"permit not known", "permit", func(k *FactsKnown) { k.Permit = Permit{} }, FactNotKnown, "authority"},
		{"no permit needed", "permit", func(k *FactsKnown) { k.Permit.Needed = No }, FactNotNeeded, "not needed"},
		{"permit not issued", "permit", func(k *FactsKnown) { k.Permit.IssuedDay = ""; k.Permit.AppliedDay = "2026-02-01" }, FactLacks, "applied for on Sun Feb 1, 2026"},
		{"permit expired", "permit", func(k *FactsKnown) { k.Today = "2026-09-04" }, FactLacks, "expired"},
		{"permit on its last day", "permit", func(k *FactsKnown) { k.Today, k.Marking.ExpiresDay = "2026-09-03", "" }, FactHolds, "E-12"},
		{"soil only in the survey", "marking", func(k *FactsKnown) { k.Marking = Marking{} }, FactLacks, "ticket is needed"},
		{"no soil", "marking", func(k *FactsKnown) { k.Marking = Marking{}; k.Survey = survey("plaster", "30", "no", "") }, FactNotNeeded, "no soil"},
		{"soil not known", "marking", func(k *FactsKnown) { k.Marking = Marking{}; k.Survey = survey("plaster", "30", "", "") }, FactNotKnown, "whether"},
		{"private lines", "marking", func(k *FactsKnown) { k.Marking.PrivateMarked = false }, FactLacks, "private lines"},
		{"ticket expired", "marking", func(k *FactsKnown) { k.Today = "2026-03-31" }, FactLacks, "expired"},
		{"estimate of today's survey", "estimate", func(k *FactsKnown) {}, FactHolds, "nothing"},
		{"survey changed", "estimate", func(k *FactsKnown) { k.SurveyVersion = 5 }, FactLacks, "make the estimate again"},
		{"survey changed, trip for nothing", "estimate", func(k *FactsKnown) {
			k.SurveyVersion, k.Job.Visits = 5, []Visit{{Kind: VisitSurvey, State: VisitDone}, {Kind: VisitDrain, State: VisitWasted}}
		}, FactLacks, "look at the parts"},
		{"measured by the crew", "estimate", func(k *FactsKnown) {
			k.SurveyVersion, k.Job.Visits = 5, []Visit{{Kind: VisitDrain, State: VisitDone}, {Kind: VisitConvert, State: VisitUnderWay}}
		}, FactNotNeeded, "work has begun"},
		{"no estimate", "estimate", func(k *FactsKnown) { k.EstimateVersion = 0 }, FactNotNeeded, "no estimate"},
		{"no part listed", "parts", func(k *FactsKnown) { k.Parts = nil }, FactNotKnown, "which parts"},
		{"part on order", "parts", func(k *FactsKnown) { k.Parts[0].State = PartOrdered }, FactLacks, "ordered"},
		{"only returned ones", "parts", func(k *FactsKnown) { k.Parts[0].State = PartReturned }, FactNotKnown, "which parts"},
		{"promised, trusted", "parts", func(k *FactsKnown) { k.Parts[0].State, k.Parts[0].PromisedDay = PartPromised, "2026-03-10" }, FactHolds, "promised for 2026-03-10"},
		{"promised, past", "parts", func(k *FactsKnown) { k.Parts[0].State, k.Parts[0].PromisedDay = PartPromised, "2026-03-03" }, FactLacks, "promised for Tue Mar 3"},
		{"promised, not trusted", "parts", func(k *FactsKnown) {
			k.Parts[0].State, k.Parts[0].PromisedDay, k.TrustParts = PartPromised, "2026-03-10", false
		}, FactLacks, "promised"},
		{"risk not accepted", "drain_risk", func(k *FactsKnown) { k.SignOffs = nil }, FactLacks, "nobody"},
		{"risk withdrawn", "drain_risk", func(k *FactsKnown) {
			k.SignOffs = append(k.SignOffs, SignOff{Kind: SignDrainRisk, SignedBy: "Pat", Withdrawn: true})
		}, FactLacks, "nobody"},
		{"vinyl", "shell", func(k *FactsKnown) { k.Survey = survey("vinyl", "30", "no", "") }, FactLacks, "vinyl"},
		{"vinyl signed", "shell", func(k *FactsKnown) {
			k.Survey = survey("vinyl", "30", "no", "")
			k.SignOffs = append(k.SignOffs, SignOff{Kind: SignShell, SignedBy: "Lee", LeastWater: um(609_600)})
		}, FactHolds, "2' of water"},
		{"finish not known", "shell", func(k *FactsKnown) { k.Survey = survey("", "30", "no", "") }, FactNotKnown, "finish"},
		{"high ground water", "ground_water", func(k *FactsKnown) { k.Survey = survey("plaster", "9.9", "no", "") }, FactLacks, "9'"},
		{"just deep enough", "ground_water", func(k *FactsKnown) { k.Survey = survey("plaster", "10", "no", "") }, FactNotNeeded, "deep"},
		{"rain season", "ground_water", func(k *FactsKnown) { k.Survey = survey("plaster", "30", "no", "yes") }, FactLacks, "rain season"},
		{"ground water not known", "ground_water", func(k *FactsKnown) { k.Survey = survey("plaster", "", "no", "") }, FactNotKnown, "how deep"},
		{"site rules", "site_rules", func(k *FactsKnown) { k.VendorPass = "register at the gate house" }, FactLacks, "gate house"},
		{"wished day", "not_before", func(k *FactsKnown) { k.Job.NotBeforeDay = "2026-03-20" }, FactHolds, "2026-03-20"},
	} {
		k := allHold()
		c.change(&k)
		found := false
		for _, f := range k.Facts() {
			if f.Name != c.fact {
				continue
			}
			found = true
			if f.State != c.state || !strings.Contains(f.Says, c.says) {
				t.Errorf("%s: got %s %q, want %s with %q", c.name, f.State, f.Says, c.state, c.says)
			}
		}
		if !found {
			t.Errorf("%s: no fact %s", c.name, c.fact)
		}
		if lacks := c.state == FactLacks || c.state == FactNotKnown; AllHold(k.Facts()) == lacks {
			t.Errorf("%s: ready is %v", c.name, !lacks)
		}
	}
}

func TestCallBackNeedsOnlyItsParts(t *testing.T) {
	k := FactsKnown{Job: Job{JobData: JobData{Kind: JobCallBack}}, Today: "2026-03-04"}
	if facts := k.Facts(); !AllHold(facts) || len(facts) != 1 {
		t.Errorf("%+v", facts)
	}
	k.Parts = []JobPart{{JobPartData: JobPartData{Name: "seal", State: PartOrdered}}}
	if AllHold(k.Facts()) {
		t.Error("goes without its part")
	}
}

func TestChain(t *testing.T) {
	base := survey("plaster", "30", "no", "")
	supply := func(s Survey, field, word string) Survey {
		s.Subjects = append(s.Subjects, Subject{ID: "supply", Kind: SubjectSupply, Values: map[string]Value{field: {Text: word, Known: KnownTold}}})
		return s
	}
	for name, c := range map[string]struct {
		d    JobData
		s    Survey
		want string
	}{
		"customer drains":  {JobData{Kind: JobConversion, WayLow: LowCustomer}, base, "convert connect commission"},
		"crew with a pump": {JobData{Kind: JobConversion, WayLow: LowCrewPump}, base, "drain convert connect commission"},
		"own outlet":       {JobData{Kind: JobConversion, WayLow: LowOwnOutlet}, base, "drain convert connect commission"},
		"soil":             {JobData{Kind: JobConversion, WayLow: LowArrival}, survey("plaster", "30", "yes", ""), "prepare convert connect commission"},
		"no base":          {JobData{Kind: JobConversion, WayLow: LowOthers}, supply(base, "base", "none"), "prepare convert connect commission"},
		"no protection":    {JobData{Kind: JobConversion, WayLow: LowCrewPump}, supply(base, "protection", "none"), "circuit drain convert connect commission"},
		"call-back":        {JobData{Kind: JobCallBack}, base, "call_back"},
	} {
		var got []string
		for _, k := range Chain(c.d, c.s) {
			got = append(got, string(k))
		}
		if strings.Join(got, " ") != c.want || len(got) > MaxVisits {
			t.Errorf("%s: %v, want %s", name, got, c.want)
		}
	}
}

func TestQuoteLife(t *testing.T) {
	now := time.Date(2026, 3, 4, 16, 0, 0, 0, time.UTC)
	q := Quote{State: QuoteDraft, ValidUntil: "2026-04-03", Body: []byte("{}")}
	if _, err := q.Answer(QuoteAnswer{Answer: QuoteApproved, By: "Pat"}, now, "2026-03-04", 3); CodeOf(err) != CodeConflict {
		t.Errorf("a draft was answered: %v", err)
	}
	if _, err := q.Send(now, "2026-04-04"); CodeOf(err) != CodeConflict {
		t.Errorf("sent after its last day: %v", err)
	}
	q, err := q.Send(now, "2026-03-04")
	if err != nil || q.State != QuoteSent || !q.SentAt.Equal(now) {
		t.Fatalf("%+v %v", q, err)
	}
	if _, err := q.Send(now, "2026-03-04"); CodeOf(err) != CodeConflict {
		t.Errorf("sent twice: %v", err)
	}
	if _, err := q.Answer(QuoteAnswer{Answer: QuoteApproved, By: "Pat"}, now, "2026-04-04", 3); CodeOf(err) != CodeConflict {
		t.Errorf("approved after its last day: %v", err)
	}
	q, err = q.Answer(QuoteAnswer{Answer: QuoteApproved, By: "Pat"}, now, "2026-04-03", 3)
	if err != nil || q.State != QuoteApproved || q.CancelUntil != "2026-04-06" || q.AnsweredBy != "Pat" {
		t.Fatalf("%+v %v", q, err)
	}
	if _, err := q.Answer(QuoteAnswer{Answer: QuoteDeclined, By: "Pat"}, now, "2026-04-07", 3); CodeOf(err) != CodeConflict {
		t.Errorf("cancelled too late: %v", err)
	}
	q, err = q.Answer(QuoteAnswer{Answer: QuoteDeclined, By: "Pat"}, now, "2026-04-06", 3)
	if err != nil || q.State != QuoteDeclined || q.CancelUntil != "" {
		t.Errorf("cancelled on the last day: %+v %v", q, err)
	}
}

// What a promised day and a list behind its estimate do to the fact of the
// parts.
func TestPartsFactFollowsStates(t *testing.T) {
	part := func(state PartState, day Day, surplus bool) JobPart {
		return JobPart{JobPartData: JobPartData{Name: "Cord set 80 ft", Quantity: 1, StockUnit: "set", State: state, PromisedDay: day, Surplus: surplus}}
	}
	for _, c := range []struct {
		name   string
		part   JobPart
		trust  bool
		behind string
		want   FactState
		before Day
		says   string
	}{
		{"promised and trusted", part(PartPromised, "2026-03-05", false), true, "", FactHolds, "2026-03-06", "1 listed"},
		{"promised, not trusted: lacks, but not before is known", part(PartPromised, "2026-03-05", false), false, "", FactLacks, "2026-03-06", "promised for Thu"},
		{"back-ordered with a day", part(PartBackOrdered, "2026-03-05", false), true, "", FactLacks, "2026-03-06", "back-ordered for Thu"},
		{"back-ordered without one", part(PartBackOrdered, "", false), true, "", FactLacks, "", "(back-ordered)"},
		{"promised for a day that is past", part(PartPromised, "2026-03-01", false), true, "", FactLacks, "", "promised for Sun"},
		{"surplus gates nothing", part(PartOrdered, "", true), true, "", FactNotKnown, "", "which parts"},
		{"sent back counts as gone", part(PartSentBack, "", false), true, "", FactNotKnown, "", "which parts"},
		{"behind the estimate", part(PartReserved, "", false), true, "still needed: 1 × Seal", FactLacks, "", "renew it: still needed: 1 × Seal"},
	} {
		f := FactsKnown{Parts: []JobPart{c.part}, Today: "2026-03-02", TrustParts: c.trust, PartsBehind: c.behind}.parts(true)
		if f.State != c.want || f.NotBefore != c.before || !strings.Contains(f.Says, c.says) {
			t.Errorf("%s: %+v", c.name, f)
		}
	}
	k := FactsKnown{Parts: []JobPart{part(PartReserved, "", false)}, PartsBehind: "x", Job: Job{Visits: []Visit{{Kind: VisitConvert, State: VisitUnderWay}}}}
	if f := k.parts(true); f.State != FactHolds {
		t.Errorf("work has begun: %+v", f)
	}
}
