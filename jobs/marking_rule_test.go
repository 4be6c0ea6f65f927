package jobs

import (
	"strings"
	"testing"
)

// Two full working days, the day of the request, weekends and holidays not
// counted: as the one-call services of Florida and Alabama write it. The days of
// the calendar were counted by hand.
func TestLawfulFrom(t *testing.T) {
	for _, c := range []struct {
		state, requested, lawful, last Day
	}{
		{"FL", "2026-03-02", "2026-03-05", "2026-04-01"}, // a Monday: Tuesday, Wednesday, lawful on Thursday
		{"FL", "2026-03-05", "2026-03-10", "2026-04-04"}, // Thursday: Friday, Monday
		{"FL", "2026-03-06", "2026-03-11", "2026-04-05"}, // Friday: Monday, Tuesday
		{"FL", "2026-03-07", "2026-03-11", "2026-04-06"}, // Saturday: Monday, Tuesday
		{"FL", "2026-07-01", "2026-07-07", "2026-07-31"}, // July 4 is a Saturday, kept on Friday: Thursday, Monday
		{"AZ", "2026-11-24", "2026-11-28", "2026-12-16"}, // Thanksgiving on the 26th: Wednesday, Friday; 15 working days
		{"AL", "2026-03-02", "2026-03-05", "2026-03-30"}, // ticket 20 working days
		{"UT", "2026-03-02", "2026-03-05", "2026-03-16"}, // 14 days of the calendar
		{"TX", "2026-03-02", "2026-03-05", ""},
		{"CA", "2026-05-22", "2026-05-28", ""}, // Memorial Day on the 25th
	} {
		rule, ok := MarkingRuleOf(string(c.state))
		if !ok {
			t.Fatalf("no rule for %s", c.state)
		}
		if got := rule.LawfulFrom(c.requested); got != c.lawful {
			t.Errorf("%s, requested %s: lawful from %s, want %s", c.state, c.requested, got, c.lawful)
		}
		if got := rule.LastDay(c.requested); got != c.last {
			t.Errorf("%s, requested %s: last day %s, want %s", c.state, c.requested, got, c.last)
		}
		if rule.Source == "" || rule.Name == "" {
			t.Errorf("%s has no source", c.state)
		}
	}
}

// The federal holidays of 2026 as the Office of Personnel Management lists them:
// all of them, and no other weekday.
func TestFederalHolidays(t *testing.T) {
	want := map[Day]bool{
		"2026-01-01": true, "2026-01-19": true, "2026-02-16": true, "2026-05-25": true, "2026-06-19": true, "2026-07-03": true,
		"2026-09-07": true, "2026-10-12": true, "2026-11-11": true, "2026-11-26": true, "2026-12-25": true,
	}
	for d := Day("2026-01-01"); d < "2027-01-01"; d = d.Add(1) {
		weekend := d.Weekday() == 0 || d.Weekday() == 6
		if got := d.Working(); got != (!weekend && !want[d]) {
			t.Errorf("%s: working is %v", d.Words(), got)
		}
	}
}

func TestMarkingFollowsItsState(t *testing.T) {
	m := MarkingData{SoilOpened: Yes, Ticket: "T", State: "AZ", RequestedDay: "2026-03-02"}.Filled()
	if m.LawfulFromDay != "2026-03-05" || m.ExpiresDay != "2026-03-23" || m.Check() != nil {
		t.Errorf("%+v %v", m, m.Check())
	}
	m.LawfulFromDay = "2026-03-04"
	if err := m.Check(); err == nil || !strings.Contains(err.Error(), "2026-03-05") {
		t.Errorf("a day too early: %v", err)
	}
	m.State = "ZZ"
	if err := m.Check(); err == nil || !strings.Contains(err.Error(), "state") {
		t.Errorf("a state nobody knows: %v", err)
	}
	entered := MarkingData{SoilOpened: Yes, State: "AZ", RequestedDay: "2026-03-02", LawfulFromDay: "2026-03-09", ExpiresDay: "2026-03-10"}
	if entered.Filled() != entered {
		t.Error("what was entered is overwritten")
	}
}
