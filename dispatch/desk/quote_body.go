package desk

import (
	"encoding/json"
	"fmt"
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
	lit := e.Supply.Lights
	body := jobs.QuoteBody{
		Lines: []jobs.QuoteLine{
			{Name: "Conversion of " + lights(lit) + " to low-voltage LED, work and materials", Cents: jobs.Cents(e.Price.Net.Value)},
		},
		Includes: []string{}, Note: o.in.Note, Company: o.company.Name, License: o.company.License,
		LightCount: int64(lit), CancelDays: o.company.CancelDays, Customer: o.job.CustomerName, Site: addressOf(o.site), Day: o.day,
		Tax: q.Tax, Total: q.Total, Deposit: q.Deposit, Scope: o.scope(e), Excludes: quoteExcludes, Saves: e.Energy.Says, Water: waterOf(e),
		Terms: []string{
			"This quote can be approved until " + q.ValidUntil.Words() + ".",
			"A deposit of $" + q.Deposit.String() + " is due before the work is planned.",
			"It can be cancelled without cost until " + strconv.FormatInt(o.company.CancelDays, 10) + " days after approval.",
			estimate.Safety,
		},
	}
	for _, v := range e.Visits {
		if v.Needed && v.Kind != string(jobs.VisitSurvey) {
			body.Includes = append(body.Includes, v.Name)
		}
	}
	for _, l := range e.Materials.Lines {
		if !l.Tool {
			body.Includes = append(body.Includes, strconv.FormatInt(l.Quantity, 10)+" × "+l.Name)
		}
	}
	for _, a := range e.Price.Allowances {
		body.Allowances = append(body.Allowances, jobs.QuoteAllowance{Name: a.Name, Cents: a.Cents, Why: a.Why})
	}
	for _, c := range e.Cautions {
		if !slices.Contains(body.Cautions, c.Text) {
			body.Cautions = append(body.Cautions, c.Text)
		}
	}
	body.Options = o.options()
	var err error
	q.Body, err = json.Marshal(body)
	return err
}

// quoteExcludes is what a conversion's price leaves out. Common practice, no
// source.
var quoteExcludes = []string{
	"Opening up a conduit, the deck or the soil, unless it is listed above; see the prices of extra work.",
	"Repair of plaster, tile, liner or deck beyond the light fittings.",
	"Water and sewer charges for lowering and refilling, and the balancing of the water afterwards.",
	"Work that an inspector asks for beyond what the code asks of this conversion.",
}

// scope says what is done at each body of water.
func (o *quoting) scope(e estimate.Estimate) []string {
	names, of := map[string][]string{}, []string{}
	for _, c := range e.Cords {
		if names[c.Body] == nil {
			of = append(of, c.Body)
		}
		names[c.Body] = append(names[c.Body], c.Name)
	}
	var list []string
	for _, id := range of {
		body, _ := o.survey.Subject(id)
		list = append(list, body.Label()+": "+lights(len(names[id]))+" ("+strings.Join(names[id], "; ")+")")
	}
	if zones := len(e.Supply.Zones); zones > 0 && e.Supply.Name != "" {
		list = append(list, fmt.Sprintf("%s, %d %s switched and coloured together", e.Supply.Name, zones, map[bool]string{true: "zone", false: "zones"}[zones == 1]))
	}
	return list
}

// options sets what is offered side by side; none where there is no choice.
func (o *quoting) options() []jobs.QuoteOption {
	if len(o.full) < 2 {
		return nil
	}
	var list []jobs.QuoteOption
	for i, e := range o.full {
		p := e.Price
		option := jobs.QuoteOption{EstimateID: o.kept[i].ID, Name: o.optionName(e), Says: []string{lights(e.Supply.Lights) + " now"},
			Tax: jobs.Cents(p.Tax.Value), Total: jobs.Cents(p.Total.Value), Deposit: jobs.Cents(p.Deposit.Value)}
		if pay := e.Energy.Payback; pay.Known && pay.Value <= 240 { // months; longer is no reason to buy
			option.Says = append(option.Says, "pays for itself in "+e.Energy.Payback.Text)
		}
		if i > 0 {
			diff := option.Total - list[0].Total
			switch {
			case diff > 0:
				option.Says = append(option.Says, "$"+diff.String()+" more than the first")
			case diff < 0:
				option.Says = append(option.Says, "$"+(-diff).String()+" less than the first")
			}
		}
		list = append(list, option)
	}
	return list
}

// optionName says what sets one way of doing the job apart.
func (o *quoting) optionName(e estimate.Estimate) string {
	name := "All lights in one zone"
	if e.Ask.Zones == 2 {
		name = "Two zones, each switched and coloured by itself"
	}
	for i := range o.full {
		if o.full[i].Supply.Light != e.Supply.Light {
			name += ", " + lightName(e)
			break
		}
	}
	var later []string
	for _, id := range e.Ask.Later {
		sub, _ := o.survey.Subject(id)
		later = append(later, sub.Label())
	}
	if len(later) > 0 {
		name += "; later: " + strings.Join(later, ", ")
	}
	return strings.TrimSuffix(name, ", ")
}

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
	return &jobs.QuoteWater{Drain: c.Drain.Median, Work: work.Plan.Value, Fill: c.Fill.Median,
		Says: "The water is lowered below the lights in about " + c.Total.Text + " of pumping, stays low while we work, and is back after about " + c.Fills.Text + " of filling."}
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
