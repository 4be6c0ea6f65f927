package estimate

import (
	"fmt"
	"sort"
	"strings"

	"ebbline/jobs"
)

// MissWorth is something to find out, or to measure better, with what that
// would save.
type MissWorth struct {
	Miss  Miss       `json:"miss"`
	Known jobs.Known `json:"known,omitempty"` // how it is known now; empty: not at all
	// Opens names the figures that are not known yet and lack this.
	Opens []string `json:"opens,omitempty"`
	// Checks names the checks that wait for it.
	Checks []string `json:"checks,omitempty"`
	// What is saved if a weakly known value proves to be what it is said to be,
	// or on average over the possible answers where nothing is known. Never
	// negative.
	Cents   jobs.Cents `json:"cents"`         // of the price
	Seconds int64      `json:"seconds"`       // of the crew's planned time
	Water   int64      `json:"water_seconds"` // of the late value of lowering and covering
	// Stake and StakeSeconds are how much price and planned time can differ
	// between the possible answers.
	Stake        jobs.Cents `json:"stake"`
	StakeSeconds int64      `json:"stake_seconds"`
	Visit        bool       `json:"visit,omitempty"` // a crew must know it before it drives out
	Why          string     `json:"why"`             // for a person
}

// Worth lists what is not known or only weakly known, what would save most
// first: before everything what keeps the price from being known at all. It
// makes the estimate again with each value measured dry, or with each possible
// answer, so it takes some hundred times as long as Make; very large surveys
// are looked at in part, in their own order.
func Worth(survey jobs.Survey, set Settings, ask Ask) []MissWorth {
	w := worth{survey: survey, set: set, ask: ask, left: worthBudget(len(survey.Subjects))}
	w.base = Make(survey, set, ask)
	w.now = w.reckon(w.base)
	opens := map[Miss][]string{}
	w.holds = map[Miss]int64{}
	for _, f := range w.base.Figures() {
		for _, m := range f.Missing {
			w.holds[m] += weight(f.Key)
			if list := opens[m]; len(list) == 0 || list[len(list)-1] != f.Name {
				opens[m] = append(list, f.Name)
			}
		}
	}
	waits := map[Miss][]string{}
	for _, check := range w.base.Checks {
		for _, m := range check.Missing {
			waits[m] = append(waits[m], check.Name)
		}
	}
	list := []MissWorth{}
	for _, m := range w.base.Missing {
		item := MissWorth{Miss: m, Opens: distinct(opens[m]), Checks: distinct(waits[m])}
		w.answers(&item)
		item.Why = w.why(item)
		list = append(list, item)
	}
	for _, sub := range survey.Subjects {
		for _, spec := range jobs.FieldsOf(sub.Kind) {
			if item, ok := w.measured(sub, spec); ok {
				list = append(list, item)
			}
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return w.rank(list[i]) > w.rank(list[j]) })
	return list
}

// worthBudget is how many estimates may be made: fewer where each takes longer.
func worthBudget(subjects int) int { return max(20, min(600, 30_000/max(subjects, 1))) }

type worth struct {
	survey jobs.Survey
	set    Settings
	ask    Ask
	left   int
	base   Estimate
	now    reckoned
	holds  map[Miss]int64 // weight of the figures that lack it
}

// weight orders what is not known yet: without a price nothing can be quoted,
// without a clock or a time nothing can be planned.
func weight(key string) int64 {
	switch {
	case key == "price.total":
		return 10_000
	case strings.HasPrefix(key, "clock."), strings.HasPrefix(key, "visit.") && strings.HasSuffix(key, ".plan"):
		return 500
	}
	return 1
}

// reckoned is what of an estimate can be saved.
type reckoned struct {
	cents          jobs.Cents
	seconds, water int64
	priced, timed  bool
	clock          bool
}

func (w *worth) reckon(e Estimate) reckoned {
	r := reckoned{cents: jobs.Cents(e.Price.Total.Value), priced: e.Price.Total.Known}
	r.seconds, r.timed = e.PlanSeconds()
	if r.clock = e.Clock.Total.Known && e.Clock.Covers.Known; r.clock {
		r.water = e.Clock.Total.High + e.Clock.Covers.High
	}
	return r
}

// again makes the estimate with one value replaced; false when nothing of the
// budget is left or the value is not possible.
func (w *worth) again(subject, field string, v jobs.Value) (Estimate, bool) {
	if w.left <= 0 {
		return Estimate{}, false
	}
	w.left--
	s, ok := pinned(w.survey, subject, field, v)
	if !ok {
		return Estimate{}, false
	}
	return Make(s, w.set, w.ask), true
}

// pinned is the survey with one value replaced; the survey itself stays as it
// is.
func pinned(s jobs.Survey, subject, field string, v jobs.Value) (jobs.Survey, bool) {
	out := s
	out.Subjects = append([]jobs.Subject(nil), s.Subjects...)
	for i, sub := range out.Subjects {
		if sub.ID != subject {
			continue
		}
		values := make(map[string]jobs.Value, len(sub.Values)+1)
		for k, old := range sub.Values {
			values[k] = old
		}
		values[field] = v
		out.Subjects[i].Values = values
		return out, true
	}
	return s, false
}

// measured is the worth of measuring dry what is known more weakly; false when
// that would change nothing.
func (w *worth) measured(sub jobs.Subject, spec jobs.FieldSpec) (MissWorth, bool) {
	v, ok := sub.Value(spec.Name)
	if !ok || v.Known == jobs.KnownMeasuredDry || !spec.Quantity.Measured() || spec.Quantity == jobs.QuantityCount {
		return MissWorth{}, false
	}
	item := MissWorth{Miss: miss(sub, spec), Known: v.Known}
	v.Known = jobs.KnownMeasuredDry
	e, ok := w.again(sub.ID, spec.Name, v)
	if !ok {
		return MissWorth{}, false
	}
	then := w.reckon(e)
	if w.now.priced && then.priced {
		item.Cents = max(w.now.cents-then.cents, 0)
	}
	if w.now.timed && then.timed {
		item.Seconds = max(w.now.seconds-then.seconds, 0)
	}
	if w.now.clock && then.clock {
		item.Water = max(w.now.water-then.water, 0)
	}
	if item.Cents == 0 && item.Seconds < 60 && item.Water < 300 {
		return MissWorth{}, false
	}
	item.Why = w.why(item)
	if sets := shorter(w.base, e); sets != "" {
		item.Why = sets + "; " + item.Why
	}
	return item, true
}

// shorter says which sets become shorter.
func shorter(now, then Estimate) string {
	var says []string
	for i, cord := range now.Cords {
		if i < len(then.Cords) && cord.Order.Known && then.Cords[i].Order.Known && then.Cords[i].Order.Value < cord.Order.Value {
			says = append(says, cord.Name+" may take a set of "+then.Cords[i].Order.Text+" instead of "+cord.Order.Text)
		}
	}
	return strings.Join(says, ", ")
}

// tugShares is how often a tug test comes out each way, so that on average the
// pull is as likely as before any test; common practice, no source.
var tugShares = map[string]int64{jobs.TugMoves: 40, jobs.TugMovesHard: 42, jobs.TugStuck: 13, jobs.TugBroken: 5}

// answers tries every possible answer to what is not known. Each counts as
// equally likely, but for the tug test: nobody knows better before looking.
func (w *worth) answers(item *MissWorth) {
	sub, ok := w.survey.Subject(item.Miss.Subject)
	if !ok {
		return
	}
	spec, ok := jobs.FieldOf(sub.Kind, item.Miss.Field)
	if !ok {
		return
	}
	item.Visit = spec.Need == jobs.NeedVisit
	if !w.now.timed && !w.now.priced && !w.now.clock {
		return // nothing to compare with yet
	}
	var values []jobs.Value
	switch spec.Quantity {
	case jobs.QuantityBool:
		values = []jobs.Value{{Text: "yes", Base: 1}, {Text: "no"}}
	case jobs.QuantityChoice:
		for _, c := range spec.Choices {
			values = append(values, jobs.Value{Text: c})
		}
	default:
		return
	}
	share := func(text string) int64 {
		if n, ok := tugShares[text]; ok && spec.Name == "tug" {
			return n
		}
		return 1
	}
	var tried, priced, timed, clocked int64
	var cents, low, high, seconds, soon, late, water int64
	for _, v := range values {
		v.Known = jobs.KnownMeasuredDry
		e, ok := w.again(sub.ID, spec.Name, v)
		if !ok {
			return
		}
		r := w.reckon(e)
		n := share(v.Text)
		if tried += n; r.priced {
			c := int64(r.cents)
			if cents += n * c; priced == 0 {
				low, high = c, c
			}
			low, high = min(low, c), max(high, c)
			priced += n
		}
		if r.timed {
			if seconds += n * r.seconds; timed == 0 {
				soon, late = r.seconds, r.seconds
			}
			soon, late = min(soon, r.seconds), max(late, r.seconds)
			timed += n
		}
		if r.clock {
			water, clocked = water+n*r.water, clocked+n
		}
	}
	if w.now.priced && priced == tried {
		item.Stake = jobs.Cents(high - low)
		item.Cents = jobs.Cents(max(int64(w.now.cents)-divide(cents, tried), 0))
	}
	if w.now.timed && timed == tried {
		item.StakeSeconds = late - soon
		item.Seconds = max(w.now.seconds-seconds/tried, 0)
	}
	if w.now.clock && clocked == tried {
		item.Water = max(w.now.water-water/tried, 0)
	}
}

// why says in words what is gained.
func (w *worth) why(item MissWorth) string {
	var says []string
	if n := len(item.Opens); n > 0 {
		shown := item.Opens[:min(n, 3)]
		text := "needed for: " + strings.ToLower(strings.Join(shown, ", "))
		if n > 3 {
			text += fmt.Sprintf(" and %d more", n-3)
		}
		says = append(says, text)
	}
	first := "on average over the possible answers it saves "
	if item.Known != "" {
		first = "if it proves right, measuring it dry saves "
	}
	var saves []string
	if item.Cents > 0 {
		saves = append(saves, show(int64(item.Cents), UnitMoney))
	}
	if item.Seconds >= 60 {
		saves = append(saves, duration(item.Seconds)+" of planned work")
	}
	if item.Water >= 60 {
		saves = append(saves, duration(item.Water)+" of planned water time")
	}
	if len(saves) > 0 {
		says = append(says, first+strings.Join(saves, " and "))
	}
	var stakes []string
	if item.Stake > 0 {
		stakes = append(stakes, show(int64(item.Stake), UnitMoney)+" of price")
	}
	if item.StakeSeconds >= 60 {
		stakes = append(stakes, duration(item.StakeSeconds)+" of planned work")
	}
	if len(stakes) > 0 {
		says = append(says, "between the best and the worst answer lie "+strings.Join(stakes, " and "))
	}
	if len(item.Checks) > 0 {
		says = append(says, "decides the check: "+strings.ToLower(strings.Join(item.Checks, ", ")))
	}
	if item.Visit {
		says = append(says, "a crew must know it before it drives out")
	}
	if len(says) == 0 {
		return "good to know; no figure changes with it"
	}
	return strings.Join(says, "; ")
}

// rank orders: what keeps price, then clock and time, then other figures from
// being known; then what saves, in cents, a planned hour counting as one of
// a person's; then what a crew must know; then the rest.
func (w *worth) rank(item MissWorth) int64 {
	const opens, visit = int64(1e12), int64(1)
	gain := int64(item.Cents) + item.Seconds*int64(w.set.Price.CrewHour)/3600
	gain += item.Water * int64(w.set.Price.CrewHour) / 36_000 // water runs while nobody is paid
	gain += (int64(item.Stake) + item.StakeSeconds*int64(w.set.Price.CrewHour)/3600) / 10
	gain = gain*100 + 10*int64(len(item.Checks))
	if item.Visit {
		gain += visit
	}
	return opens*w.holds[item.Miss] + gain
}

func distinct(list []string) []string {
	var out []string
next:
	for _, s := range list {
		for _, have := range out {
			if have == s {
				continue next
			}
		}
		out = append(out, s)
	}
	return out
}
