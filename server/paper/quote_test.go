package paper

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"ebbline/jobs"
)

// offered is a quote with everything that one may say, names with accents among
// it. All its lights are in one pool.
func offered(t *testing.T, lights int, change ...func(*jobs.QuoteOffer)) jobs.Quote {
	t.Helper()
	payback := int64(130)
	o := jobs.QuoteOffer{
		Company: "Owl Wash Pool Lights", License: "C-10 000000", Customer: "Íñigo Peñarrubia-Castañeda and the owners' association of Long Shadow Terrace",
		Site: "12 Dry Fork Rd, Cinder Wells AZ 00000", Day: "2026-03-02", ValidUntil: "2026-04-01", Note: "As said on the phone: the gate is open on weekdays.",
		CancelDays: 3, Limit: 250_00, Supply: "Supply 300 W, two outputs",
		Visits:     []jobs.VisitKind{jobs.VisitDrain, jobs.VisitConvert, jobs.VisitConnect, jobs.VisitCommission},
		Materials:  []jobs.QuoteMaterial{{Quantity: 2, Name: "Wall-fitting adapter"}},
		Allowances: []jobs.QuoteAllowance{{Name: "Another day of lowering", Cents: 412_00, Why: "rain, a filler left open, or a slower discharge than allowed"}},
		Saving:     jobs.QuoteSaving{Known: true, LitHours: 1460, WattHours: 1_250_000, Power: 181_25, PowerLow: 170_00, PowerHigh: 190_00, Lamps: 82_00, PaybackMonths: 130},
		Dangers:    []string{"filler", "guard", "uplift"}, Lowered: true,
		Water: &jobs.QuoteWater{Drain: 47_400, Work: 24_000, Fill: 28_500}, Lowering: "13 h 10 min", Filling: "7 h 55 min",
		Ways: []jobs.QuoteWay{
			{EstimateID: "a", Zones: 1, Lights: lights, Net: 12_345_00, Tax: 81_25, Total: 12_426_25, Deposit: 3_727_88, Payback: &payback},
			{EstimateID: "b", Zones: 2, Lights: lights, Net: 12_655_00, Tax: 81_25, Total: 12_736_25, Deposit: 3_820_88},
			{EstimateID: "c", Zones: 1, Lights: 1, Later: []string{"Pool"}, Net: 3_000_00, Tax: 10_00, Total: 3_010_00, Deposit: 903_00, LaterTotal: ptr(jobs.Cents(10_200_00))},
		},
	}
	pool := jobs.QuotePlace{Name: "Pool"}
	for i := range lights {
		pool.Lights = append(pool.Lights, fmt.Sprintf("Light %d, by the steps", i+1))
	}
	o.Places = []jobs.QuotePlace{pool}
	for _, c := range change {
		c(&o)
	}
	text, err := json.Marshal(o.Body())
	if err != nil {
		t.Fatal(err)
	}
	first := o.Ways[0]
	return jobs.Quote{Number: 12, State: jobs.QuoteSent, Total: first.Total, Tax: first.Tax, Deposit: first.Deposit, Body: text, ValidUntil: o.ValidUntil,
		SentAt: time.Date(2026, 3, 2, 17, 0, 0, 0, time.UTC)}
}

func ptr[T any](v T) *T { return &v }

// What was sent gives the same bytes ever after, on either size of sheet.
func TestQuoteGivesTheSameBytes(t *testing.T) {
	for _, size := range []Size{Letter, A4} {
		for _, lights := range []int{1, 60} {
			one, err := Quote(offered(t, lights), size, "en")
			if err != nil {
				t.Fatal(err)
			}
			two, err := Quote(offered(t, lights), size, "en")
			if err != nil || !bytes.Equal(one, two) {
				t.Fatalf("%s, %d lights: other bytes the second time (%v)", size, lights, err)
			}
			box := map[Size]string{Letter: "612.00 792.00", A4: "595.28 841.89"}[size]
			if !bytes.HasPrefix(one, []byte("%PDF-")) || !bytes.Contains(one, []byte(box)) {
				t.Errorf("%s: no sheet of %s", size, box)
			}
		}
	}
}

func TestQuoteNeedsABody(t *testing.T) {
	q := offered(t, 1)
	q.Body = []byte("not a body")
	if _, err := Quote(q, Letter, "en"); err == nil {
		t.Error("a quote without a body was set")
	}
}

func TestDollars(t *testing.T) {
	for cents, want := range map[jobs.Cents]string{0: "$0.00", 5: "$0.05", 123_456: "$1,234.56", 100_000_000: "$1,000,000.00", -310_00: "-$310.00"} {
		if got := dollars(cents); got != want {
			t.Errorf("%d: %s, %s asked", cents, got, want)
		}
	}
}

func TestPlainKeepsAccents(t *testing.T) {
	if got := plain("Peñarrubia\x07 \U0001F4A7"); got != "Peñarrubia   " || strings.ContainsRune(got, 7) {
		t.Errorf("%q", got)
	}
}

// A quote that was answered is the paper that was sent.
func TestAnswerLeavesThePaperAlone(t *testing.T) {
	q := offered(t, 4)
	sent, err := Quote(q, Letter, "en")
	if err != nil {
		t.Fatal(err)
	}
	q.State, q.AnsweredAt, q.AnsweredBy, q.CancelUntil = jobs.QuoteApproved, q.SentAt.Add(time.Hour), "Íñigo", "2026-03-05"
	q.EstimateID, q.Total, q.Tax, q.Deposit, q.Version = "b", 12_736_25, 81_25, 3_820_88, 9
	q.UpdatedAt = q.AnsweredAt
	if answered, err := Quote(q, Letter, "en"); err != nil || !bytes.Equal(sent, answered) {
		t.Errorf("the answer changed the paper (%v)", err)
	}
	q.State = jobs.QuoteDraft
	if draft, err := Quote(q, Letter, "en"); err != nil || bytes.Equal(sent, draft) || !strings.Contains(textOf(t, draft), "a draft that was not sent") {
		t.Errorf("a draft does not say so (%v)", err)
	}
}
