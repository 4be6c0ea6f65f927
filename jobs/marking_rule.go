package jobs

import (
	"fmt"
	"time"
)

// MarkingRule is how long a state's one-call service has to mark buried lines,
// and how long its marks hold. The state's own current law and the ticket itself
// govern.
type MarkingRule struct {
	State        string // postal code
	Name         string
	WaitDays     int  // full working days, not counting the day of the request
	ValidDays    int  // 0: the ticket says
	ValidWorking bool // working days rather than days of the calendar
	Source       string
}

// MarkingRules lists the states whose rule was looked up; elsewhere the office
// enters the days that the ticket names.
var MarkingRules = []MarkingRule{
	{"AL", "Alabama", 2, 20, true, "Alabama one-call: 2 to 10 working days, not counting the day of notice; ticket 20 working days"},
	{"AZ", "Arizona", 2, 15, true, "Show Low, Arizona: 2 full working days; marks valid 15 working days"},
	{"CA", "California", 2, 0, false, "legal summary page: 2 working days"},
	{"FL", "Florida", 2, 30, false, "Florida one-call questions and answers: 2 full business days, not counting the day of the request, weekends and holidays; marks 30 calendar days"},
	{"TX", "Texas", 2, 0, false, "legal summary page: 48 hours; taken as 2 working days, the safe side"},
	{"UT", "Utah", 2, 14, false, "Utah one-call: 2 full business days; expires after 14 calendar days"},
}

// MarkingRuleOf finds a state's rule.
func MarkingRuleOf(state string) (MarkingRule, bool) {
	for _, r := range MarkingRules {
		if r.State == state {
			return r, true
		}
	}
	return MarkingRule{}, false
}

// LawfulFrom is the first day on which digging is lawful after a request:
// counting starts on the day after it and leaves out weekends and holidays; the
// day after the last one counted is the first.
func (r MarkingRule) LawfulFrom(requested Day) Day { return workingDays(requested, r.WaitDays).Add(1) }

// LastDay is the last day on which the marks hold; empty where the ticket must
// say. It counts from the request, the safe side.
func (r MarkingRule) LastDay(requested Day) Day {
	switch {
	case r.ValidDays == 0:
		return ""
	case r.ValidWorking:
		return workingDays(requested, r.ValidDays)
	}
	return requested.Add(r.ValidDays)
}

// workingDays is the n-th working day after a day.
func workingDays(from Day, n int) Day {
	d := from
	for n > 0 {
		if d = d.Add(1); d.Working() {
			n--
		}
	}
	return d
}

// Working says whether the day is neither on a weekend nor a federal holiday. A
// state's or an agency's own holidays are not known here.
func (d Day) Working() bool {
	switch d.Weekday() {
	case time.Saturday, time.Sunday:
		return false
	}
	return !d.federalHoliday()
}

// federalHoliday says whether a weekday is a holiday of 5 U.S.C. 6103, kept on
// the Friday before a Saturday and on the Monday after a Sunday.
func (d Day) federalHoliday() bool {
	fixed := func(day Day) bool { // month and day, as kept
		if !day.Valid() {
			return false
		}
		switch day.Format("01-02") {
		case "01-01", "06-19", "07-04", "11-11", "12-25":
			return true
		}
		return false
	}
	switch {
	case fixed(d),
		d.Weekday() == time.Friday && fixed(d.Add(1)),
		d.Weekday() == time.Monday && fixed(d.Add(-1)):
		return true
	}
	date := d.date()
	nth, last := (date.Day()-1)/7+1, d.Add(7).date().Month() != date.Month()
	switch date.Month() {
	case time.January, time.February: // Martin Luther King, Washington
		return d.Weekday() == time.Monday && nth == 3
	case time.May: // Memorial Day
		return d.Weekday() == time.Monday && last
	case time.September: // Labor Day
		return d.Weekday() == time.Monday && nth == 1
	case time.October: // Columbus Day
		return d.Weekday() == time.Monday && nth == 2
	case time.November: // Thanksgiving
		return d.Weekday() == time.Thursday && nth == 4
	}
	return false
}

// Format writes the day by a layout of package time.
func (d Day) Format(layout string) string { return d.date().Format(layout) }

// Filled takes what follows from the state's rule where nobody entered it.
func (m MarkingData) Filled() MarkingData {
	rule, ok := MarkingRuleOf(m.State)
	if !ok || !m.RequestedDay.Valid() {
		return m
	}
	if m.LawfulFromDay == "" {
		m.LawfulFromDay = rule.LawfulFrom(m.RequestedDay)
	}
	if m.ExpiresDay == "" {
		m.ExpiresDay = rule.LastDay(m.RequestedDay)
	}
	return m
}

// checkRule refuses a first day that the state's rule does not allow.
func (m MarkingData) checkRule(f *Faults) {
	rule, ok := MarkingRuleOf(m.State)
	f.Check(ok || m.State == "", "state", m.State, "a state whose rule is known here, or left out: then enter the days that the ticket names")
	if !ok || !m.RequestedDay.Valid() || !m.LawfulFromDay.Valid() {
		return
	}
	least := rule.LawfulFrom(m.RequestedDay)
	f.Check(m.LawfulFromDay >= least, "lawful_from_day", string(m.LawfulFromDay),
		fmt.Sprintf("not before %s: %s asks for %d full working days after %s", least, rule.Name, rule.WaitDays, m.RequestedDay))
}
