package paper

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"ebbline/jobs"
)

// offered is a quote with everything that one may say, names with accents among it.
func offered(t *testing.T, lights int) jobs.Quote {
	t.Helper()
	b := jobs.QuoteBody{
		Company: "Owl Wash Pool Lights", License: "C-10 000000", Customer: "Íñigo Peñarrubia-Castañeda and the owners' association of Long Shadow Terrace",
		Site: "12 Dry Fork Rd, Cinder Wells AZ 00000", Day: "2026-03-02", Note: "As said on the phone: the gate is open on weekdays.",
		Lines: []jobs.QuoteLine{{Name: fmt.Sprintf("Conversion of %d pool lights to low-voltage LED, work and materials", lights), Cents: 1_234_500}},
		Tax:   81_25, Total: 1_242_625, Deposit: 372_788, Saves: "About $212 less for power and lamps in a year.",
		Includes: []string{"Drain", "Convert", "2 × Wall-fitting adapter"}, Excludes: []string{"Water and sewer charges."},
		Terms: []string{"It can be cancelled without cost until 3 days after approval."}, Cautions: []string{"Close the automatic filler before pumping."},
		Allowances: []jobs.QuoteAllowance{{Name: "Open up a conduit", Cents: 412_00, Why: "the old bundle does not move"}},
		Options: []jobs.QuoteOption{
			{EstimateID: "a", Name: "All lights in one zone", Says: []string{"4 pool lights now"}, Total: 1_242_625, Deposit: 372_788},
			{EstimateID: "b", Name: "Two zones, each switched and coloured by itself", Says: []string{"$310.00 more than the first"}, Total: 1_273_625, Deposit: 382_088},
		},
		Water: &jobs.QuoteWater{Drain: 47_400, Work: 24_000, Fill: 28_500, Says: "The water is lowered below the lights in about 13 h of pumping."},
	}
	for i := range lights {
		b.Scope = append(b.Scope, fmt.Sprintf("Body %d: 1 pool light (by the steps)", i+1))
	}
	text, err := json.Marshal(b)
	if err != nil {
		t.Fatal(err)
	}
	return jobs.Quote{Number: 12, State: jobs.QuoteSent, Total: b.Total, Tax: b.Tax, Deposit: b.Deposit, Body: text, ValidUntil: "2026-04-01",
		SentAt: time.Date(2026, 3, 2, 17, 0, 0, 0, time.UTC)}
}

// What was sent gives the same bytes ever after, on either size of sheet.
func TestQuoteGivesTheSameBytes(t *testing.T) {
	for _, size := range []Size{Letter, A4} {
		for _, lights := range []int{1, 60} {
			one, err := Quote(offered(t, lights), size)
			if err != nil {
				t.Fatal(err)
			}
			two, err := Quote(offered(t, lights), size)
			if err != nil || !bytes.Equal(one, two) {
				t.Fatalf("%s, %d lights: other bytes the second time (%v)", size, lights, err)
			}
			box := map[Size]string{Letter: "612.00 792.00", A4: "595.28 841.89"}[size]
			if !bytes.HasPrefix(one, []byte("%PDF-")) || !bytes.Contains(one, []byte(box)) {
				t.Errorf("%s: no sheet of %s", size, box)
			}
			if to := os.Getenv("EBBLINE_PAPER"); to != "" { // to look at it: EBBLINE_PAPER=/tmp go test ./server/paper
				if err := os.WriteFile(fmt.Sprintf("%s/quote-%s-%d.pdf", to, size, lights), one, 0o600); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
}

func TestQuoteNeedsABody(t *testing.T) {
	q := offered(t, 1)
	q.Body = []byte("not a body")
	if _, err := Quote(q, Letter); err == nil {
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
