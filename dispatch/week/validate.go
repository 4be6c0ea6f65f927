package week

import (
	"encoding/json"
	"fmt"
)

// Bounds that keep sums far inside int64 and catch wrong units (milliseconds,
// dollars, miles).
const (
	maxInstant = 400 * 86_400  // seconds from the first midnight, either side
	maxCents   = 1_000_000_000 // cents in one value or rate
	maxPermil  = 10_000
	maxDrive   = 1_000_000  // seconds in one drive
	maxRoad    = 20_000_000 // metres in one drive
	maxRoom    = 1_000_000  // litres on a truck
)

// Validate tests everything about the week that needs no search and returns nil or
// FieldErrors in the order of the fields.
func (w *Week) Validate() error {
	c := &checker{w: w, places: map[string]bool{}, areas: map[string]bool{}, skills: map[string]bool{},
		kinds: map[string]bool{}, homes: map[string]bool{}, crews: map[string]bool{}, tours: map[string]*Tour{},
		visits: map[string]*Visit{}, jobOf: map[string]*Job{}, begun: map[string]string{}}
	c.horizon()
	c.places_()
	c.travel()
	c.names("skills", w.Skills, c.skills)
	c.names("kinds", w.Kinds, c.kinds)
	c.homes_()
	c.names("crews", w.Crews, c.crews)
	c.register()
	c.tours_()
	c.jobs()
	c.spans("water_hours", w.WaterHours)
	c.closures()
	c.promises()
	c.handedOut()
	c.rates()
	c.uncertainty()
	if len(c.faults) == 0 {
		c.pins()
	}
	if len(c.faults) > 0 {
		return c.faults
	}
	return nil
}

// Validate tests what can be said of a plan without its week.
func (p *Plan) Validate() error {
	c := &checker{}
	c.is("version", p.Version == Version, p.Version, fmt.Sprint(Version))
	seen := map[string]string{}
	for i := range p.Tours {
		path := fmt.Sprintf("tours[%d]", i)
		c.once(path+".tour", p.Tours[i].Tour, seen)
		c.is(path+".load", p.Tours[i].Load >= 0, p.Tours[i].Load, "0 or more pumps")
		c.is(path+".stops", len(p.Tours[i].Stops) > 0, "a list of 0", "one stop or more (a tour without a stop is not listed)")
	}
	for i := range p.RuleBreaks {
		switch r := p.RuleBreaks[i].Rule; r {
		case BreakLowLimit, BreakCommission, BreakAvailability, BreakPin:
		default:
			c.is(fmt.Sprintf("rule_breaks[%d].rule", i), false, r, "low_limit, commission_limit, availability or pin")
		}
	}
	if len(c.faults) > 0 {
		return c.faults
	}
	return nil
}

// checker walks a week and collects faults.
type checker struct {
	w      *Week
	faults FieldErrors

	places, areas, skills, kinds, homes, crews map[string]bool

	tours  map[string]*Tour
	visits map[string]*Visit
	jobOf  map[string]*Job
	begun  map[string]string // visit -> path of the begun stop
}

// is notes a fault unless ok.
func (c *checker) is(path string, ok bool, value any, want string) bool {
	if !ok && len(c.faults) < maxFaults {
		c.faults = append(c.faults, FieldError{path, shown(value), want})
	}
	return ok
}

// shown gives a value in JSON form.
func shown(value any) string {
	if s, ok := value.(said); ok {
		return string(s)
	}
	if s, ok := value.(string); ok {
		return quote(s)
	}
	data, err := json.Marshal(value)
	if err != nil {
		return fmt.Sprint(value)
	}
	return string(data)
}

// said is a value already in words.
type said string

// once notes an empty or repeated id; seen maps ids to the path of the first.
func (c *checker) once(path, id string, seen map[string]string) bool {
	if !c.is(path, id != "", id, "an id that is not empty") {
		return false
	}
	if first, twice := seen[id]; twice {
		return c.is(path, false, id, "an id of its own; "+first+" has it already")
	}
	seen[id] = path
	return true
}

func (c *checker) instant(path string, t int64) bool {
	return c.is(path, -maxInstant <= t && t <= maxInstant, t,
		"whole seconds from the horizon's first midnight, at most 400 days away")
}

func (c *checker) span(path string, s Span) bool {
	ok := c.instant(path+".from", s.From)
	ok = c.instant(path+".to", s.To) && ok
	return ok && c.is(path+".to", s.From <= s.To, s.To, fmt.Sprintf("%d (from) or later", s.From))
}

// spans wants rising spans that do not touch.
func (c *checker) spans(path string, list []Span) {
	for i := range list {
		at := fmt.Sprintf("%s[%d]", path, i)
		if c.span(at, list[i]) && i > 0 {
			c.is(at+".from", list[i].From > list[i-1].To, list[i].From,
				fmt.Sprintf("later than %d, where the span before it ends", list[i-1].To))
		}
	}
}

func (c *checker) cents(path string, v int64) {
	c.is(path, 0 <= v && v <= maxCents, v, "0 to 1,000,000,000 cents")
}

func (c *checker) atLeast(path string, v, least int64, unit string) {
	c.is(path, v >= least && v <= maxInstant, v, fmt.Sprintf("%d or more %s", least, unit))
}

// known wants id to be in set; kind says what it names.
func (c *checker) known(path, id string, set map[string]bool, kind string) bool {
	return c.is(path, set[id], id, "the id of one of "+kind)
}
