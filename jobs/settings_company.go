package jobs

import (
	"fmt"
	"strconv"
)

// CompanySettings are what quotes and notices say of the company, and the
// terms of its quotes.
type CompanySettings struct {
	Name     string `json:"name"`
	Address  string `json:"address"`
	License  string `json:"license"` // as local law wants it shown
	Phone    string `json:"phone"`
	Email    string `json:"email"`
	Language string `json:"language"` // of papers for the office, such as en
	// QuoteValidDays is how long a quote can be approved. CancelDays is how many
	// days after approval the customer may still take it back; no crew goes
	// before. Local law may ask for more.
	QuoteValidDays int64 `json:"quote_valid_days"`
	CancelDays     int64 `json:"cancel_days"`
	// Extra work that a crew's lead may agree at the pool: the priced allowances
	// to offer, and the sum up to which nobody in the office has to approve.
	Allowances          []Allowance `json:"allowances"`
	ExtraWorkLimitCents Cents       `json:"extra_work_limit_cents"`
}

// Allowance is extra work with its price.
type Allowance struct {
	Name        string `json:"name"`
	AmountCents Cents  `json:"amount_cents"`
}

// DefaultCompany names nobody. Three days to cancel are common practice for
// sales at the home; the law of the place decides.
func DefaultCompany() CompanySettings {
	return CompanySettings{
		Name: "Our company", Language: "en", QuoteValidDays: 30, CancelDays: 3,
		Allowances: []Allowance{
			{Name: "New wall fitting, each", AmountCents: 95_00}, {Name: "Clear a blocked conduit, each hour", AmountCents: 145_00},
			{Name: "Seal a conduit that leaks, each", AmountCents: 60_00},
		},
		ExtraWorkLimitCents: 250_00,
	}
}

func (c CompanySettings) check(f *Faults) {
	f.Line("company.name", c.Name, 1, MaxName)
	f.Line("company.address", c.Address, 0, 300)
	f.Line("company.license", c.License, 0, 300)
	f.Line("company.phone", c.Phone, 0, 60)
	f.Check(c.Email == "" || ValidEmail(c.Email), "company.email", c.Email, "an e-mail address such as office@example.com")
	OneOf(f, "company.language", c.Language, Languages)
	f.Check(c.QuoteValidDays >= 1 && c.QuoteValidDays <= 365, "company.quote_valid_days", strconv.FormatInt(c.QuoteValidDays, 10), "between 1 and 365 days")
	f.Check(len(c.Allowances) <= 100, "company.allowances", itoa(len(c.Allowances)), "at most 100")
	for i, a := range c.Allowances {
		f.Line("company.allowances."+itoa(i)+".name", a.Name, 1, MaxName)
		checkMoney(f, "company.allowances."+itoa(i)+".amount_cents", a.AmountCents)
	}
	checkMoney(f, "company.extra_work_limit_cents", c.ExtraWorkLimitCents)
	f.Check(c.CancelDays >= 0 && c.CancelDays <= 90, "company.cancel_days", strconv.FormatInt(c.CancelDays, 10), fmt.Sprintf("between %d and %d days", 0, 90))
}
