package jobs

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// QuoteOffer is what a quote is about before it is put into words: plain facts
// and sums with nothing of our rates and margin.
type QuoteOffer struct {
	Company, License     string
	Customer, Site, Note string
	Day, ValidUntil      Day
	CancelDays           int64
	Limit                Cents // extra work that the crew's lead may agree to at the pool
	Places               []QuotePlace
	Supply               string // name in the catalogue
	Visits               []VisitKind
	Materials            []QuoteMaterial
	Allowances           []QuoteAllowance
	Saving               QuoteSaving
	Dangers              []string // keys of the estimate's cautions
	Lowered              bool     // some water is lowered
	Water                *QuoteWater
	Lowering, Filling    string     // their times as the estimate says them
	Ways                 []QuoteWay // one or more; the first is what the quote is about
}

// QuotePlace is a body of water with the names of its lights.
type QuotePlace struct {
	Name   string
	Lights []string
}

// QuoteMaterial is a part that stays in the pool or is used up.
type QuoteMaterial struct {
	Quantity int64
	Name     string
}

// QuoteSaving is what is saved in a year; zero values are not known.
type QuoteSaving struct {
	Known         bool
	LitHours      int64
	WattHours     int64
	Power         Cents
	PowerLow      Cents
	PowerHigh     Cents
	Lamps         Cents
	PaybackMonths int64
}

// QuoteWay is one way of doing the job.
type QuoteWay struct {
	EstimateID               string
	Zones, Lights            int
	Light                    string   // name in the catalogue; empty where all ways have the same
	Later                    []string // names of what is left for later
	Net, Tax, Total, Deposit Cents
	LaterTotal               *Cents // what the rest costs as a job of its own at today's rates
	Payback                  *int64 // months
}

// Body puts the offer into words, in every language.
func (o QuoteOffer) Body() QuoteBody {
	body, spanish := o.say(&quoteEnglish), o.say(&quoteSpanish)
	body.Spanish = &spanish
	return body
}

func (o QuoteOffer) say(w *quoteWords) QuoteBody {
	first, labels := o.Ways[0], w.QuoteLabels
	labels.Day, labels.Valid, labels.SignDay = w.Day(o.Day), fmt.Sprintf(w.Valid, w.Day(o.ValidUntil)), fmt.Sprintf(w.SignDay, w.Day(o.ValidUntil))
	b := QuoteBody{
		Lines:   []QuoteLine{{Name: fmt.Sprintf(w.Line, w.lights(first.Lights)), Cents: first.Net}},
		Company: o.Company, License: o.License, Customer: o.Customer, Site: o.Site, Note: o.Note, Day: o.Day,
		LightCount: int64(first.Lights), CancelDays: o.CancelDays, Tax: first.Tax, Total: first.Total, Deposit: first.Deposit,
		Includes: []string{}, Excludes: w.Excludes, Saves: w.saves(o.Saving), Words: &labels,
		Terms: []string{fmt.Sprintf(w.DepositTerm, first.Deposit), fmt.Sprintf(w.CancelTerm, o.CancelDays), w.SafetyTerm},
	}
	if o.CancelDays == 0 {
		b.Terms = slices.Delete(b.Terms, 1, 2)
	}
	for _, p := range o.Places {
		b.Scope = append(b.Scope, p.Name+": "+w.lights(len(p.Lights))+" ("+strings.Join(p.Lights, "; ")+")")
	}
	if o.Supply != "" && first.Zones > 0 {
		b.Scope = append(b.Scope, o.Supply+", "+w.zones(first.Zones))
	}
	for _, kind := range o.Visits {
		if does := w.Does[kind]; does != "" {
			b.Includes = append(b.Includes, does)
		}
	}
	for _, m := range o.Materials {
		b.Includes = append(b.Includes, strconv.FormatInt(m.Quantity, 10)+" × "+m.Name)
	}
	for _, a := range o.Allowances {
		a.Name, a.Why = w.own(a.Name), w.own(a.Why)
		b.Allowances = append(b.Allowances, a)
	}
	if len(b.Allowances) > 0 {
		b.Extra = fmt.Sprintf(w.ExtraLimit, o.Limit)
		if o.Limit == 0 {
			b.Extra = w.ExtraNone
		}
	}
	b.Cautions = w.cautions(o.Dangers, o.Lowered)
	if o.Water != nil {
		water := *o.Water
		water.Says = fmt.Sprintf(w.Course, o.Lowering, o.Filling)
		b.Water = &water
	}
	if len(o.Ways) > 1 {
		// The sums are the first way's; whoever takes another owes that one's.
		labels.Price, b.Terms[0] = w.FirstPrice, w.ChosenDeposit
		for _, way := range o.Ways {
			b.Options = append(b.Options, w.option(way, o.Ways))
		}
	}
	return b
}

// own says in another language what our price list says by itself; what the
// office has put into its own words stays.
func (w *quoteWords) own(text string) string {
	if own, ok := w.Own[text]; ok {
		return own
	}
	return text
}

func (w *quoteWords) lights(n int) string {
	if n == 1 {
		return w.OneLight
	}
	return fmt.Sprintf(w.Lights, n)
}

func (w *quoteWords) zones(n int) string {
	switch n {
	case 1:
		return w.OneZone
	case 2:
		return w.TwoZones
	}
	return fmt.Sprintf(w.Zones, n)
}

// option says a way of doing the job by what sets it apart from the others.
func (w *quoteWords) option(way QuoteWay, all []QuoteWay) QuoteOption {
	first := all[0]
	o := QuoteOption{EstimateID: way.EstimateID, Says: []string{fmt.Sprintf(w.Now, w.lights(way.Lights))},
		Tax: way.Tax, Total: way.Total, Deposit: way.Deposit}
	differ := func(other func(QuoteWay) bool) bool { return slices.ContainsFunc(all, other) }
	var parts []string
	if differ(func(a QuoteWay) bool { return a.Zones != first.Zones }) {
		name, does := w.OneShort, w.Joined
		if way.Zones > 1 {
			name, does = w.TwoShort, w.Apart
		}
		parts = append(parts, name)
		if way.Zones != first.Zones {
			o.Says = append(o.Says, does)
		}
	}
	if way.Light != "" && differ(func(a QuoteWay) bool { return a.Light != first.Light }) {
		parts = append(parts, way.Light)
	}
	if len(way.Later) > 0 {
		parts = append(parts, fmt.Sprintf(w.Later, strings.Join(way.Later, ", ")))
		if way.LaterTotal != nil {
			o.Says = append(o.Says, fmt.Sprintf(w.LaterCosts, *way.LaterTotal))
		}
	}
	if len(parts) == 0 {
		parts = []string{w.AllNow}
	}
	o.Name = strings.Join(parts, "; ")
	if diff := way.Total - first.Total; diff > 0 {
		o.Says = append(o.Says, fmt.Sprintf(w.More, diff))
	} else if diff < 0 {
		o.Says = append(o.Says, fmt.Sprintf(w.Less, -diff))
	}
	if way.Payback != nil {
		o.Says = append(o.Says, fmt.Sprintf(w.PaidBack, w.months(*way.Payback)))
	}
	o.Name = capital(o.Name)
	return o
}

// months says a time in years, in months below two years.
func (w *quoteWords) months(n int64) string {
	switch {
	case n == 1:
		return w.OneMonth
	case n < 24:
		return fmt.Sprintf(w.Months, n)
	}
	return fmt.Sprintf(w.Years, (n+6)/12)
}

// saves says what the new lights save, or what that takes to be known.
func (w *quoteWords) saves(s QuoteSaving) string {
	switch {
	case !s.Known:
		return w.SavesUnknown
	case s.WattHours <= 0:
		return w.SavesNothing
	}
	text := fmt.Sprintf(w.Saves, thousands(s.LitHours), thousands((s.WattHours+500)/1000), s.Power)
	if s.PowerLow != s.PowerHigh {
		text += fmt.Sprintf(w.Between, s.PowerLow, s.PowerHigh)
	}
	if s.Lamps > 0 {
		text += fmt.Sprintf(w.SavesLamps, s.Lamps)
	}
	// Tenths of a cent for a kilowatt-hour, as the sums have it.
	rate := (int64(s.Power)*10_000 + s.WattHours/2) / s.WattHours
	text += fmt.Sprintf(w.SavesRate, rate/10, rate%10)
	if s.PaybackMonths > 0 {
		return text + " " + capital(fmt.Sprintf(w.PaidBack, w.months(s.PaybackMonths))) + "."
	}
	return text + " " + w.PaybackUnknown
}

// cautions says what the customer must look out for: always what every lowering
// and every light asks for, and what this pool's dangers ask for besides.
func (w *quoteWords) cautions(keys []string, lowered bool) []string {
	var list []string
	say := func(text string) {
		if text != "" && !slices.Contains(list, text) {
			list = append(list, text)
		}
	}
	if lowered {
		for _, key := range []string{"low", "shell", "chlorine"} {
			say(w.Cautions[key])
		}
		for _, key := range keys {
			say(w.Cautions[key])
		}
	}
	say(w.Cautions["power"])
	return list
}

// capital begins a sentence.
func capital(text string) string {
	for i, r := range text {
		return strings.ToUpper(string(r)) + text[i+len(string(r)):]
	}
	return text
}

// thousands writes a number with a comma between each three digits.
func thousands(n int64) string {
	text := strconv.FormatInt(n, 10)
	for at := len(text) - 3; at > 0 && text[at-1] != '-'; at -= 3 {
		text = text[:at] + "," + text[at:]
	}
	return text
}
