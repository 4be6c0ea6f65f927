package estimate

import (
	"ebbline/jobs"
)

// PriceLine is one line of the price.
type PriceLine struct {
	Name  string     `json:"name"`
	Cents jobs.Cents `json:"cents"`
	How   string     `json:"how"` // its working in one line
}

// Price is what the customer pays. All sums in whole cents; each line is
// rounded once, half up.
type Price struct {
	Lines   []PriceLine `json:"lines"`
	Cost    Figure      `json:"cost"` // what it costs us, the band from the visits' times
	Net     Figure      `json:"net"`  // before tax
	Tax     Figure      `json:"tax"`
	Total   Figure      `json:"total"`
	Deposit Figure      `json:"deposit"`
	// Allowances are priced surprises that may come on top.
	Allowances []Allowance `json:"allowances,omitempty"`
}

// sums are the whole cents that a price is put together from.
type sums struct{ overhead, sold, margin, net, tax jobs.Cents }

// sums puts a price together: overhead on the work, the mark-up on parts at
// cost, margin on all of it, tax on parts as sold with their margin.
func (r PriceSettings) sums(work, bought jobs.Cents) sums {
	var s sums
	s.overhead = mille(work, r.Overhead)
	s.sold = bought + mille(bought, r.Materials)
	s.margin = mille(work+s.overhead+s.sold, r.Margin)
	s.net = work + s.overhead + s.sold + s.margin
	s.tax = jobs.Cents(divide(int64(s.sold+mille(s.sold, r.Margin))*r.Tax, 100_000))
	return s
}

// price adds up labour at its mean time, what lowering on arrival takes, trips, permit, materials, overhead and
// margin. It is not known while materials or a visit's time are not.
func (c *calc) price(e Estimate) Price {
	p, r := Price{Lines: []PriceLine{}}, c.set.Price
	lack := num{ok: e.Materials.Cost.Known, miss: e.Materials.Cost.Missing}
	var labour, low, high, trips jobs.Cents
	for _, v := range e.Visits {
		if !v.Needed || v.Kind == "survey" {
			continue
		}
		lack = gather(lack, num{ok: v.Mean.Known, miss: v.Mean.Missing})
		rate, who := r.CrewHour, "crew"
		for _, skill := range v.Skills {
			if skill == "licensed" {
				rate, who = r.LicensedHour, "licensed"
			}
		}
		at := func(seconds int64) jobs.Cents {
			return jobs.Cents(divide(seconds*int64(v.People)*int64(rate), 3600))
		}
		cents := at(v.Mean.Value)
		labour, low, high, trips = labour+cents, low+at(v.Median.Low), high+at(v.Median.High), trips+r.Trip
		p.Lines = append(p.Lines, PriceLine{v.Name, cents, people(v.People) + " × " + v.Mean.Text + " × $" + rate.String() + " " + who + " hour"})
		if v.Kind == "convert" && e.Clock.InsideConversion() { // its people stand beside the drain; the mean time leaves that out
			wait := e.Clock.Total
			lack = gather(lack, num{ok: wait.Known, miss: wait.Missing})
			labour, low, high = labour+at(wait.Value), low+at(wait.Low), high+at(wait.High)
			p.Lines = append(p.Lines, PriceLine{"Lowering on arrival", at(wait.Value), people(v.People) + " × " + wait.Text + " × $" + rate.String() + " " + who + " hour"})
		}
	}
	p.Lines = append(p.Lines, PriceLine{"Trips", trips, "$" + r.Trip.String() + " for each visit"})
	var permit jobs.Cents
	if !c.ask.NoPermit {
		permit = r.Permit
		p.Lines = append(p.Lines, PriceLine{"Permit", permit, "taken to be needed until the authority says otherwise"})
	}
	work := labour + trips + permit
	bought := jobs.Cents(e.Materials.Cost.Value)
	sums := r.sums(work, bought)
	p.Lines = append(p.Lines, PriceLine{"Overhead", sums.overhead, show(r.Overhead, UnitMille) + " on labour, trips and permit"},
		PriceLine{"Materials", sums.sold, e.Materials.Cost.Text + " at cost + " + show(r.Materials, UnitMille)},
		PriceLine{"Margin", sums.margin, show(r.Margin, UnitMille) + " on all of it"})
	net, tax := sums.net, sums.tax
	cost := work + sums.overhead + bought
	p.Cost = money("price.cost", "What it costs us", lack, cost, "labour at its mean time + trips + permit + overhead + materials at cost")
	if p.Cost.Known {
		fewer := bought - jobs.Cents(e.Materials.Cost.Low)
		p.Cost.Low, p.Cost.High = int64(min(cost, cost-labour+low-fewer)), int64(max(cost, cost-labour+high))
		p.Cost.Margin = "band: all visits short and the shortest sets that may do, or all visits long"
	}
	p.Net = money("price.net", "Price before tax", lack, net, "labour + trips + permit + overhead + materials + margin")
	p.Tax = money("price.tax", "Tax", lack, tax, "tax rate × materials as sold with their margin")
	p.Tax.Source = "branch rates; what is taxed differs by state"
	p.Total = money("price.total", "Price", lack, net+tax, "price before tax + tax")
	p.Deposit = money("price.deposit", "Deposit", lack, mille(net+tax, r.Deposit), show(r.Deposit, UnitMille)+" of the price")
	if !lack.ok {
		p.Lines = []PriceLine{}
	}
	return p
}

func money(key, name string, lack num, cents jobs.Cents, formula string) Figure {
	f := Figure{Key: key, Name: name, Unit: UnitMoney, Formula: formula, Source: "branch rates"}
	if !lack.ok {
		f.Text, f.Missing = NotKnown, lack.miss
		return f
	}
	f.Known, f.Value, f.Low, f.High = true, int64(cents), int64(cents), int64(cents)
	f.Text = show(f.Value, UnitMoney)
	return f
}

// mille is a part in thousandths, rounded half up.
func mille(c jobs.Cents, part int64) jobs.Cents { return jobs.Cents(divide(int64(c)*part, 1000)) }

// divide rounds half up; a is not negative.
func divide(a, b int64) int64 { return (a + b/2) / b }
