package estimate

import (
	"math"

	"ebbline/jobs"
)

// AllowanceRule is a usual surprise and what it takes: the price list for extra
// work follows from it and the rates.
type AllowanceRule struct {
	Key      string     `json:"key"`
	Name     string     `json:"name"` // as the customer reads it, with what one of it is
	People   int        `json:"people"`
	Seconds  int64      `json:"seconds"`            // of work, for one of it
	Licensed bool       `json:"licensed,omitempty"` // by a licensed person
	Parts    jobs.Cents `json:"parts"`              // at cost
	Trip     bool       `json:"trip,omitempty"`     // takes a trip of its own
	When     string     `json:"when,omitempty"`     // open, tee, long_cord, pump_day, protection, base, fitting; empty: cannot be told beforehand
	Why      string     `json:"why"`                // when it happens, for a person
}

// Allowance is priced extra work that may come on top, agreed before it is done.
type Allowance struct {
	Key   string     `json:"key"`
	Name  string     `json:"name"`
	Cents jobs.Cents `json:"cents"` // with tax, for one of it
	How   string     `json:"how"`   // its working in one line
	Why   string     `json:"why"`
	// Chance is how likely it comes at least once, in thousandths; nil: not
	// known.
	Chance *int64 `json:"chance,omitempty"`
}

// Allowances is the price list for extra work that follows from the settings
// alone, for a crew at the pool.
func Allowances(set Settings) []Allowance {
	list := []Allowance{}
	for _, rule := range set.Price.Allowances {
		list = append(list, set.Price.allowance(rule))
	}
	return list
}

// allowances leaves out what this survey rules out, and says the chance of the
// rest where it is known.
func (c *calc) allowances(e Estimate) []Allowance {
	list := []Allowance{}
	for _, rule := range c.set.Price.Allowances {
		a := c.set.Price.allowance(rule)
		chance, known := c.surprise(e, rule.When)
		if known {
			if chance == 0 {
				continue
			}
			a.Chance = &chance
		}
		list = append(list, a)
	}
	return list
}

func (r PriceSettings) allowance(rule AllowanceRule) Allowance {
	rate, who := r.CrewHour, "crew"
	if rule.Licensed {
		rate, who = r.LicensedHour, "licensed"
	}
	work := jobs.Cents(divide(rule.Seconds*int64(rule.People)*int64(rate), 3600))
	how := people(rule.People) + " × " + duration(rule.Seconds) + " × $" + rate.String() + " " + who + " hour"
	if rule.Trip {
		work += r.Trip
		how += " + trip $" + r.Trip.String()
	}
	if rule.Parts > 0 {
		how += " + parts $" + rule.Parts.String() + " at cost"
	}
	p := r.sums(work, rule.Parts)
	return Allowance{Key: rule.Key, Name: rule.Name, Cents: p.net + p.tax, How: how + ", with overhead, margin and tax", Why: rule.Why}
}

// surprise is the chance, in thousandths, that a surprise comes at least once;
// 0 and known where the survey rules it out.
func (c *calc) surprise(e Estimate, when string) (int64, bool) {
	switch when {
	case "open":
		return c.atLeastOne(len(e.Conduits), func(i int) (float64, bool) {
			if !served(e, e.Conduits[i].Conduit) {
				return 0, true
			}
			_, _, open, ok := e.Conduits[i].chances()
			return float64(open) / 1000, ok
		})
	case "tee":
		for _, run := range c.survey.OfKind(jobs.SubjectConduit) {
			if served(e, run.ID) && !run.No("tee") {
				return 0, false
			}
		}
		return 0, len(e.Conduits) > 0
	case "long_cord":
		return c.atLeastOne(len(e.Cords), func(i int) (float64, bool) { return e.Cords[i].tooShort() })
	case "pump_day":
		if !e.Clock.Total.Known {
			return 0, false
		}
		return 100, true // the clock is planned with its 90 % value
	case "protection":
		place, ok := c.first(jobs.SubjectSupply)
		_, known := place.Value("protection")
		return 0, ok && known // none is in the price, the others need nothing
	case "base":
		place, ok := c.first(jobs.SubjectSupply)
		return 0, ok && place.Choice("base") == "dry"
	case "fitting":
		return c.atLeastOne(len(e.Cords), func(i int) (float64, bool) {
			for _, check := range e.Checks {
				if check.Key == "light.fit" && check.About == e.Cords[i].Position {
					return 0, check.Result == Holds
				}
			}
			return 0, false
		})
	}
	return 0, false
}

// atLeastOne is the chance that at least one of n independent things happens;
// not known when any of them is not.
func (c *calc) atLeastOne(n int, chance func(i int) (float64, bool)) (int64, bool) {
	none := 1.0
	for i := range n {
		p, ok := chance(i)
		if !ok {
			return 0, false
		}
		none *= 1 - p
	}
	return round(1000 * (1 - none)), n > 0
}

// served says whether a cord is to be pulled through a conduit.
func served(e Estimate, conduit string) bool {
	for _, cord := range e.Cords {
		if cord.Through(conduit) {
			return true
		}
	}
	return false
}

// tooShort is the chance that the set ordered turns out too short: the need is
// taken as log-normal with its own median and 90 % quantile.
func (c Cord) tooShort() (float64, bool) {
	if !c.Order.Known || !c.Needed.Known || c.Needed.Value <= 0 {
		return 0, false
	}
	if c.Needed.High <= c.Needed.Value {
		return 0, true
	}
	need := fromMedianQuantile(float64(c.Needed.Value), .9, float64(c.Needed.High))
	if p := 1 - need.below(float64(c.Order.Value)); p > .0005 && !math.IsNaN(p) {
		return p, true
	}
	return 0, true
}

func defaultAllowances() []AllowanceRule {
	const min, h = 60, 3600
	return []AllowanceRule{
		{Key: "stuck", Name: "Work a stuck bundle free, each hour", People: 2, Seconds: h, Parts: 14_00, Why: "a bundle holds although it moved when tugged"},
		{Key: "open", Name: "Open up, put in a new piece of conduit and close again, each place", People: 2, Seconds: 4 * h, Parts: 85_00, Trip: true, When: "open", Why: "a conduit is crushed, broken or blocked"},
		{Key: "tee", Name: "Find and open a hidden tee, each", People: 2, Seconds: 2*h + 30*min, Parts: 38_00, When: "tee", Why: "lights turn out to share a conduit under the deck"},
		{Key: "trench", Name: "Trench with new conduit, each 10 ft, soil only", People: 2, Seconds: 80 * min, Parts: 32_00, Why: "an old conduit can't be used; buried lines are marked first"},
		{Key: "long-cord", Name: "Longer light-and-cord set than ordered, each", People: 1, Seconds: 15 * min, Parts: 70_00, Trip: true, When: "long_cord", Why: "a run measures longer than it was said to be"},
		{Key: "pump-day", Name: "Another day of lowering", People: 1, Seconds: 45 * min, Trip: true, When: "pump_day", Why: "rain, a filler left open, or a slower discharge than allowed"},
		{Key: "breaker", Name: "New breaker with ground-fault protection", People: 1, Seconds: 50 * min, Licensed: true, Parts: 72_00, When: "protection", Why: "the circuit turns out to have none"},
		{Key: "base", Name: "New base for the supply", People: 2, Seconds: 75 * min, Parts: 55_00, When: "base", Why: "the old base is wet, loose or too low"},
		{Key: "fitting", Name: "Rework or adapt a wall fitting, each", People: 2, Seconds: 40 * min, Parts: 42_00, When: "fitting", Why: "the light's body does not fit the old wall fitting"},
		{Key: "leak", Name: "Seal a conduit that leaks, each", People: 2, Seconds: 20 * min, Parts: 16_00, Why: "water stands in a conduit once the bundle is out"},
	}
}
