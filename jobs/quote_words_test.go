package jobs

import (
	"encoding/json"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// Every language has every word of a quote, and says the same figures in it.
func TestQuoteWordsAreComplete(t *testing.T) {
	verbs := func(text string) string {
		var list []string
		for i := range len(text) - 1 {
			if text[i] == '%' {
				list = append(list, text[i:i+2])
			}
		}
		return strings.Join(list, " ")
	}
	var compare func(name string, en, es reflect.Value)
	compare = func(name string, en, es reflect.Value) {
		switch en.Kind() {
		case reflect.String:
			if name == "QuoteLabels.Day" || name == "QuoteLabels.Valid" || name == "QuoteLabels.SignDay" {
				return // filled in for each quote
			}
			if en.String() == "" || es.String() == "" || verbs(en.String()) != verbs(es.String()) {
				t.Errorf("%s: %q and %q", name, en, es)
			}
		case reflect.Struct:
			for i := range en.NumField() {
				at := en.Type().Field(i).Name
				if name != "" {
					at = name + "." + at
				}
				compare(at, en.Field(i), es.Field(i))
			}
		case reflect.Slice:
			if en.Len() == 0 || en.Len() != es.Len() {
				t.Errorf("%s: %d and %d", name, en.Len(), es.Len())
			}
		}
	}
	compare("", reflect.ValueOf(quoteEnglish), reflect.ValueOf(quoteSpanish))
	if en, es := slices.Sorted(maps.Keys(quoteEnglish.Cautions)), slices.Sorted(maps.Keys(quoteSpanish.Cautions)); !slices.Equal(en, es) {
		t.Errorf("cautions %v and %v", en, es)
	}
	for _, kind := range VisitKinds {
		if (quoteEnglish.Does[kind] == "") != (quoteSpanish.Does[kind] == "") {
			t.Errorf("%s is said in one language only", kind)
		}
	}
	if got := spanishDay("2026-03-02"); got != "lunes 2 de marzo de 2026" {
		t.Errorf("%s", got)
	}
}

func wayOf(id string, total Cents) QuoteWay {
	return QuoteWay{EstimateID: id, Zones: 1, Lights: 4, Net: total - 10_00, Tax: 10_00, Total: total, Deposit: total / 4}
}

// The first way is what the lines say; where there is one only, there is nothing
// to choose. A way that costs less says so.
func TestQuoteOfferSaysItsWays(t *testing.T) {
	o := QuoteOffer{CancelDays: 3, Ways: []QuoteWay{wayOf("a", 5_000_00)}}
	b := o.Body()
	if b.Options != nil || b.Total != 5_000_00 || b.Lines[0].Cents+b.Tax != b.Total {
		t.Errorf("%+v", b)
	}
	later := Cents(3_500_00)
	less := wayOf("b", 2_000_00)
	less.Lights, less.Later, less.LaterTotal = 2, []string{"Spa"}, &later
	two := wayOf("c", 5_300_00)
	two.Zones = 2
	o.Ways = append(o.Ways, less, two)
	b = o.Body()
	if len(b.Options) != 3 || b.Total != 5_000_00 {
		t.Fatalf("%+v", b.Options)
	}
	says := func(b QuoteBody, i int) string {
		return b.Options[i].Name + "; " + strings.Join(b.Options[i].Says, "; ")
	}
	for _, want := range []string{"later: Spa", "2 pool lights now", "$3,500.00", "$3,000.00 less than the first"} {
		if got := says(b, 1); !strings.Contains(got, want) {
			t.Errorf("%q does not say %q", got, want)
		}
	}
	if got := says(b, 2); !strings.HasPrefix(got, "Two zones") || !strings.Contains(got, "by itself") || !strings.HasPrefix(says(b, 0), "One zone; ") || !strings.Contains(got, "$300.00 more than the first") {
		t.Errorf("%q", got)
	}
	// Only what sets the ways apart is said: here first the later, then the light.
	o.Ways = []QuoteWay{wayOf("a", 5_000_00), less}
	if b := o.Body(); b.Options[0].Name != "All lights now" || b.Options[1].Name != "Later: Spa" {
		t.Errorf("%+v", b.Options)
	}
	white, color := wayOf("a", 5_000_00), wayOf("b", 5_100_00)
	white.Light, color.Light = "White light", "Color light"
	o.Ways = []QuoteWay{white, color}
	if b := o.Body(); b.Options[0].Name != "White light" || b.Options[1].Name != "Color light" {
		t.Errorf("%+v", b.Options)
	}
	es := b.In("es")
	if got := says(es, 1); !strings.Contains(got, "más adelante: Spa") || es.Words.Language != "es-US" || es.Options[1].Total != b.Options[1].Total {
		t.Errorf("%q", got)
	}
}

// A quote may choose what it offers and nothing else; the sums follow.
func TestChoosingAnOption(t *testing.T) {
	o := QuoteOffer{Ways: []QuoteWay{wayOf("a", 5_000_00), wayOf("b", 6_000_00)}}
	body := o.Body()
	q := Quote{State: QuoteSent, EstimateID: "a", Total: 5_000_00, Tax: 10_00, Deposit: 1_250_00, ValidUntil: "2026-04-01", Body: mustBody(t, body)}
	now, day := Day("2026-03-02").Start(loadZone(t, "UTC")), Day("2026-03-02")
	got, err := q.Answer(QuoteAnswer{Answer: QuoteApproved, EstimateID: "b", By: "Pat"}, now, day, 3)
	if err != nil || got.EstimateID != "b" || got.Total != 6_000_00 || got.Deposit != 1_500_00 || string(got.Body) != string(q.Body) {
		t.Errorf("%+v, %v", got, err)
	}
	if _, err = q.Answer(QuoteAnswer{Answer: QuoteApproved, EstimateID: "c", By: "Pat"}, now, day, 3); CodeOf(err) != CodeInvalid {
		t.Errorf("an option that was not offered: %v", err)
	}
	if got, err = q.Answer(QuoteAnswer{Answer: QuoteApproved, By: "Pat"}, now, day, 3); err != nil || got.EstimateID != "a" || got.Total != 5_000_00 {
		t.Errorf("%+v, %v", got, err)
	}
	if got, err = q.Answer(QuoteAnswer{Answer: QuoteDeclined, EstimateID: "b", By: "Pat"}, now, day, 3); err != nil || got.EstimateID != "a" {
		t.Errorf("declining chose an option: %+v, %v", got, err)
	}
}

// The terms hold for whichever way is taken, and the days to cancel are those
// that the customer read, whatever the office sets later.
func TestTermsHoldForTheWayTaken(t *testing.T) {
	one := QuoteOffer{CancelDays: 3, Ways: []QuoteWay{wayOf("a", 5_000_00)}}
	if b := one.Body(); !strings.Contains(b.Terms[0], "$1,250.00") || b.Words.Price != "Price" {
		t.Errorf("%q under %q", b.Terms, b.Words.Price)
	}
	two := one
	two.Ways = append(two.Ways, wayOf("b", 6_000_00))
	body := two.Body()
	for _, language := range []string{"en", "es"} {
		b := body.In(language)
		if strings.Contains(b.Terms[0], "1,250.00") || len(b.Terms) != 3 || !strings.Contains(strings.ToLower(b.Words.Price), map[string]string{"en": "first", "es": "primera"}[language]) {
			t.Errorf("%q under %q", b.Terms, b.Words.Price)
		}
		_, letter := QuoteText(Quote{Number: 1, Total: 5_000_00, Tax: 10_00, Deposit: 1_250_00, ValidUntil: "2026-04-01"}, body, NoticeWords{Language: language})
		if !strings.Contains(letter, "$6,000.00, "+b.Words.Down+" $1,500.00") {
			t.Errorf("the letter does not say the deposit of the second way: %s", letter)
		}
	}
	now := Day("2026-03-02").Start(loadZone(t, "UTC"))
	q := Quote{State: QuoteSent, EstimateID: "a", ValidUntil: "2026-04-01", Body: mustBody(t, body)}
	for _, set := range []int64{0, 10} {
		if got, err := q.Answer(QuoteAnswer{Answer: QuoteApproved, By: "Pat"}, now, "2026-03-02", set); err != nil || got.CancelUntil != "2026-03-05" {
			t.Errorf("with %d days set: until %s, %v", set, got.CancelUntil, err)
		}
	}
}

func TestCautionsOfAQuote(t *testing.T) {
	o := QuoteOffer{Ways: []QuoteWay{wayOf("a", 5_000_00)}, Dangers: []string{"liner", "ways", "sizes", "liner"}, Lowered: true}
	list := o.Body().Cautions
	w := quoteEnglish.Cautions
	if want := []string{w["low"], w["shell"], w["chlorine"], w["liner"], w["power"]}; !slices.Equal(list, want) {
		t.Errorf("%q", list)
	}
	o.Lowered = false
	if list := o.Body().Cautions; !slices.Equal(list, []string{w["power"]}) {
		t.Errorf("nothing is lowered: %q", list)
	}
}

// What is not known is not said as a figure.
func TestSavingsOfAQuote(t *testing.T) {
	known := QuoteSaving{Known: true, LitHours: 1460, WattHours: 1_250_000, Power: 181_25, PowerLow: 181_25, PowerHigh: 181_25, PaybackMonths: 23}
	for want, s := range map[string]QuoteSaving{
		"not known yet: it takes": {},
		"save no power":           {Known: true, WattHours: -5},
		"Lit 1,460 hours in a year, the new lights save about 1,250 kWh or $181.25 of power, with a kilowatt-hour at 14.5 cents. By savings alone the price is paid back in about 23 months.": known,
	} {
		if got := quoteEnglish.saves(s); !strings.Contains(got, want) || want[0] == 'L' && got != want {
			t.Errorf("%q does not say %q", got, want)
		}
	}
	known.PaybackMonths = 0
	if got := quoteEnglish.saves(known); !strings.HasSuffix(got, quoteEnglish.PaybackUnknown) {
		t.Errorf("%q", got)
	}
	for n, want := range map[int64]string{1: "1 month", 23: "23 months", 24: "2 years", 29: "2 years", 30: "3 years"} {
		if got := quoteEnglish.months(n); got != want {
			t.Errorf("%d: %s", n, got)
		}
	}
	for n, want := range map[int64]string{0: "0", 999: "999", 1000: "1,000", -1000: "-1,000", 1_234_567: "1,234,567"} {
		if got := thousands(n); got != want {
			t.Errorf("%d: %s", n, got)
		}
	}
}

func mustBody(t *testing.T, b QuoteBody) []byte {
	t.Helper()
	text, err := json.Marshal(b)
	if err != nil {
		t.Fatal(err)
	}
	return text
}
