package desk

import (
	"context"
	"encoding/json"
	"slices"
	"strconv"
	"strings"

	"ebbline/estimate"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// quoting is a quote on its way: what it is made from.
type quoting struct {
	job     jobs.Job
	company jobs.CompanySettings
	day     jobs.Day
	in      jobs.NewQuote
	site    jobs.Site
	survey  jobs.Survey
	kept    []jobs.Estimate // the first and what is offered beside it
	full    []estimate.Estimate
	later   map[string]jobs.Cents // laterTotals
}

// read takes the estimates behind a quote. Each must be of this job, of the
// survey as it stands, and know its price.
func (o *quoting) read(tx *store.Tx, first jobs.Estimate) (err error) {
	if o.site, err = tx.Site(o.job.SiteID); err != nil {
		return err
	}
	if o.survey, err = tx.Survey(o.site); err != nil {
		return err
	}
	o.kept = []jobs.Estimate{first}
	for _, id := range o.in.Also {
		kept, err := tx.Estimate(id)
		if err != nil {
			return err
		}
		if kept.JobID != o.job.ID {
			return jobs.Faults{{Field: "also_estimate_ids", Value: id, Want: "estimates of this job"}}.Err()
		}
		if err := upToDate(tx, o.job, kept); err != nil {
			return err
		}
		o.kept = append(o.kept, kept)
	}
	for _, kept := range o.kept {
		e, err := estimate.Decode(kept.Body)
		if err != nil {
			return err
		}
		p := e.Price
		if !p.Total.Known || !p.Net.Known || !p.Tax.Known || !p.Deposit.Known {
			lack := ""
			if len(e.Missing) > 0 {
				lack = "; find out first: " + e.Missing[0].Text
			}
			return jobs.Errorf(jobs.CodeConflict, "Estimate %d does not know its price yet%s", kept.Number, lack)
		}
		o.full = append(o.full, e)
	}
	return nil
}

// write fills in what a quote says. The customer sees the whole price and what
// it includes, not our rates and margin.
func (o *quoting) write(q *jobs.Quote) error {
	e := o.full[0]
	q.Total, q.Tax, q.Deposit = jobs.Cents(e.Price.Total.Value), jobs.Cents(e.Price.Tax.Value), jobs.Cents(e.Price.Deposit.Value)
	days := o.company.QuoteValidDays
	if o.in.ValidDays != nil {
		days = *o.in.ValidDays
	}
	q.ValidUntil = o.day.Add(int(days))
	offer := jobs.QuoteOffer{
		Company: o.company.Name, License: o.company.License, Customer: o.job.CustomerName, Site: addressOf(o.site), Note: o.in.Note,
		Day: o.day, ValidUntil: q.ValidUntil, CancelDays: o.company.CancelDays, Limit: o.company.ExtraWorkLimitCents,
		Places: o.places(e), Supply: e.Supply.Name, Saving: savingOf(e.Energy), Water: waterOf(e), Ways: o.ways(),
		Lowering: e.Clock.Total.Text, Filling: e.Clock.Fills.Text,
	}
	for _, v := range e.Visits {
		if v.Needed && v.Kind != string(jobs.VisitSurvey) {
			offer.Visits = append(offer.Visits, jobs.VisitKind(v.Kind))
		}
	}
	for _, l := range e.Materials.Lines {
		if !l.Tool {
			offer.Materials = append(offer.Materials, jobs.QuoteMaterial{Quantity: l.Quantity, Name: l.Name})
		}
	}
	for _, a := range e.Price.Allowances {
		offer.Allowances = append(offer.Allowances, jobs.QuoteAllowance{Name: a.Name, Cents: a.Cents, Why: a.Why})
	}
	for _, c := range e.Cautions {
		offer.Dangers = append(offer.Dangers, c.Key)
	}
	for _, w := range e.Bodies {
		offer.Lowered = offer.Lowered || w.Lowered
	}
	var err error
	q.Body, err = json.Marshal(offer.Body())
	return err
}

// places are the bodies of water with the names of the lights that are done now.
func (o *quoting) places(e estimate.Estimate) []jobs.QuotePlace {
	var list []jobs.QuotePlace
	at := map[string]int{} // by body
	for _, c := range e.Cords {
		if _, ok := at[c.Body]; !ok {
			body, _ := o.survey.Subject(c.Body)
			at[c.Body] = len(list)
			list = append(list, jobs.QuotePlace{Name: body.Label()})
		}
		place := &list[at[c.Body]]
		place.Lights = append(place.Lights, c.Name)
	}
	return list
}

// ways are the estimates as the customer may choose among them.
func (o *quoting) ways() []jobs.QuoteWay {
	several := slices.ContainsFunc(o.full, func(e estimate.Estimate) bool { return e.Supply.Light != o.full[0].Supply.Light })
	list := make([]jobs.QuoteWay, len(o.full))
	for i, e := range o.full {
		p := e.Price
		way := jobs.QuoteWay{EstimateID: o.kept[i].ID, Zones: max(len(e.Supply.Zones), 1), Lights: e.Supply.Lights,
			Net: jobs.Cents(p.Net.Value), Tax: jobs.Cents(p.Tax.Value), Total: jobs.Cents(p.Total.Value), Deposit: jobs.Cents(p.Deposit.Value)}
		if several {
			way.Light = lightName(e)
		}
		for _, id := range e.Ask.Later {
			sub, _ := o.survey.Subject(id)
			way.Later = append(way.Later, sub.Label())
		}
		if later, ok := o.later[askKey(e.Ask)]; ok {
			way.LaterTotal = &later
		}
		if pay := e.Energy.Payback; pay.Known && pay.Value <= longestPayback {
			way.Payback = &e.Energy.Payback.Value
		}
		list[i] = way
	}
	return list
}

// askKey tells apart what estimates were asked for.
func askKey(a estimate.Ask) string {
	return strconv.Itoa(a.Zones) + " " + a.Light + " " + strings.Join(a.Later, ",")
}

// laterTotals are the prices, as jobs of their own, of what each option leaves
// for later, by askKey. It takes a moment: never inside a transaction that writes.
func (d *Desk) laterTotals(ctx context.Context, jobID string) (map[string]jobs.Cents, error) {
	in, err := read(ctx, d, func(tx *store.Tx) (estimateInput, error) { return readEstimateInput(tx, jobID) })
	if err != nil {
		return nil, err
	}
	set, ask, err := in.ask(jobs.EstimateWish{})
	if err != nil {
		return nil, err
	}
	totals := map[string]jobs.Cents{}
	for _, o := range estimate.Options(in.survey, set, ask) {
		if o.Later != nil && o.Later.Known {
			totals[askKey(o.Ask)] = jobs.Cents(o.Later.Value)
		}
	}
	return totals, nil
}

// savingOf is what is saved in a year.
func savingOf(e estimate.Energy) jobs.QuoteSaving {
	s := jobs.QuoteSaving{Known: e.Saved.Known && e.Money.Known && e.Lit.Known, LitHours: e.Lit.Value / 3600, WattHours: e.Saved.Value,
		Power: jobs.Cents(e.Money.Value), PowerLow: jobs.Cents(e.Money.Low), PowerHigh: jobs.Cents(e.Money.High)}
	if e.Lamps.Known {
		s.Lamps = jobs.Cents(e.Lamps.Value)
	}
	if e.Payback.Known && e.Payback.Value <= longestPayback {
		s.PaybackMonths = e.Payback.Value
	}
	return s
}

// longestPayback is the most months that a quote speaks of: what takes longer is
// no reason to buy.
const longestPayback = 240

// lightName is the light as the catalogue names it.
func lightName(e estimate.Estimate) string {
	for _, c := range e.Cords {
		if name, ok := strings.CutPrefix(c.Order.Source, "catalogue, "); ok {
			return name
		}
	}
	return strings.ReplaceAll(e.Supply.Light, "-", " ")
}

func lights(n int) string {
	if n == 1 {
		return "1 pool light"
	}
	return strconv.Itoa(n) + " pool lights"
}

// waterOf is the course of the water for the small drawing; nil while it is not
// known.
func waterOf(e estimate.Estimate) *jobs.QuoteWater {
	c := e.Clock
	work, ok := e.Visit(string(jobs.VisitConvert))
	if !c.Known || !c.Fills.Known || !ok || !work.Plan.Known {
		return nil
	}
	return &jobs.QuoteWater{Drain: c.Drain.Median, Work: work.Plan.Value, Fill: c.Fill.Median}
}

func addressOf(s jobs.Site) string {
	var parts []string
	for _, p := range []string{s.Name, s.Street, strings.TrimSpace(s.City + " " + s.Region + " " + s.Postcode)} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	return strings.Join(parts, ", ")
}
