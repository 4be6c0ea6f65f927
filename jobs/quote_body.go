package jobs

import "encoding/json"

// MaxQuoteOptions is how many ways of doing a job one quote may offer.
const MaxQuoteOptions = 6

// QuoteBody is what the customer reads: the page and the paper show it and
// nothing else, so that what was sent can always be shown again.
type QuoteBody struct {
	Lines    []QuoteLine `json:"lines"`
	Includes []string    `json:"includes"`
	Note     string      `json:"note,omitempty"`
	Company  string      `json:"company"`
	License  string      `json:"license,omitempty"`
	Terms    []string    `json:"terms"`
	// The figures behind lines and terms, for whoever says them in another
	// language; zero in quotes from before they were kept.
	LightCount int64 `json:"light_count,omitempty"`
	CancelDays int64 `json:"cancel_days,omitempty"`

	Customer   string           `json:"customer,omitempty"`
	Site       string           `json:"site,omitempty"` // its address in one line
	Day        Day              `json:"day,omitempty"`  // on which it was made, in the place's zone
	Tax        Cents            `json:"tax,omitempty"`
	Total      Cents            `json:"total,omitempty"`
	Deposit    Cents            `json:"deposit,omitempty"`
	Scope      []string         `json:"scope,omitempty"` // each body of water with its lights
	Excludes   []string         `json:"excludes,omitempty"`
	Options    []QuoteOption    `json:"options,omitempty"` // two or more, the first is the one of the lines
	Allowances []QuoteAllowance `json:"allowances,omitempty"`
	Extra      string           `json:"extra,omitempty"` // who agrees to extra work, and up to which sum
	Saves      string           `json:"saves,omitempty"` // power and lamps saved, in a sentence or two
	Cautions   []string         `json:"cautions,omitempty"`
	Water      *QuoteWater      `json:"water,omitempty"`

	// What stands around it on page and paper, kept because our own words change
	// too; nil in quotes from before they were kept.
	Words *QuoteLabels `json:"words,omitempty"`
	// The same in Spanish; nil in quotes from before it was kept, and in itself.
	Spanish *QuoteBody `json:"es,omitempty"`
}

// In is the body in a language: in English where it was not kept in another.
func (b QuoteBody) In(language string) QuoteBody {
	out := b
	if language == "es" && b.Spanish != nil {
		out = *b.Spanish
	}
	out.Spanish = nil
	if out.Words == nil {
		out.Words = &quoteEnglish.QuoteLabels
	}
	return out
}

// QuoteLine is one line of a quote.
type QuoteLine struct {
	Name  string `json:"name"`
	Cents Cents  `json:"cents"`
}

// QuoteOption is one way of doing the job that the customer may choose.
type QuoteOption struct {
	EstimateID string   `json:"estimate_id"`
	Name       string   `json:"name"`
	Says       []string `json:"says"`
	Tax        Cents    `json:"tax"`
	Total      Cents    `json:"total"` // with tax
	Deposit    Cents    `json:"deposit"`
}

// QuoteAllowance is extra work that may turn out to be needed, at a price that
// is agreed before it is done.
type QuoteAllowance struct {
	Name  string `json:"name"`
	Cents Cents  `json:"cents"` // with tax
	Why   string `json:"why"`
}

// QuoteWater is the course of the water in seconds, for the small drawing.
type QuoteWater struct {
	Drain int64  `json:"drain"`
	Work  int64  `json:"work"`
	Fill  int64  `json:"fill"`
	Says  string `json:"says"`
}

// Read gives what the customer reads.
func (q Quote) Read() (QuoteBody, error) {
	var b QuoteBody
	err := json.Unmarshal(q.Body, &b)
	return b, err
}

// choose is the quote with the option of an estimate taken. CodeInvalid when it
// offers none such.
func (q Quote) choose(estimateID string) (Quote, error) {
	b, err := q.Read()
	if err != nil {
		return q, err
	}
	for _, o := range b.Options {
		if o.EstimateID == estimateID {
			q.EstimateID, q.Total, q.Tax, q.Deposit = o.EstimateID, o.Total, o.Tax, o.Deposit
			return q, nil
		}
	}
	if estimateID == q.EstimateID {
		return q, nil
	}
	return q, Faults{{Field: "estimate_id", Value: estimateID, Want: "one of the options that the quote offers"}}.Err()
}
