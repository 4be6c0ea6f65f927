package jobs

import (
	"errors"
	"testing"
	"time"
)

func TestPlanSideChecksNameTheField(t *testing.T) {
	id := "00000000-0000-7000-8000-000000000001"
	crew := CrewData{HomeID: id, Name: "Crew 1", PumpBerths: 2, People: []string{id},
		Shifts: []Shift{{Weekday: 1, FromMinute: 420, ToMinute: 930, OvertimeMinutes: 60}}}
	change := func(f func(*CrewData)) CrewData {
		c := crew
		c.Shifts = append([]Shift(nil), crew.Shifts...)
		f(&c)
		return c
	}
	noon := time.Date(2026, 3, 9, 12, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		name  string
		err   error
		field string // empty: right
	}{
		{"crew", crew.Check(), ""},
		{"crew without a shift", change(func(c *CrewData) { c.Shifts = nil }).Check(), "shifts"},
		{"shift that ends before it starts", change(func(c *CrewData) { c.Shifts[0].ToMinute = 400 }).Check(), "shifts.0.to_minute"},
		{"weekday twice", change(func(c *CrewData) { c.Shifts = append(c.Shifts, c.Shifts[0]) }).Check(), "shifts.1.weekday"},
		{"person twice", change(func(c *CrewData) { c.People = []string{id, id} }).Check(), "people.1"},
		{"berths", change(func(c *CrewData) { c.PumpBerths = -1 }).Check(), "pump_berths"},
		{"home", HomeData{Name: "Yard", LatE7: 336_000_000, LonE7: -1_120_000_000}.Check(), ""},
		{"home off the globe", HomeData{Name: "Yard", LatE7: 1_000_000_000}.Check(), "lat_e7"},
		{"pump", PumpData{HomeID: id, Name: "P1", State: PumpWorking, FlowMLPS: 3000}.Check(), ""},
		{"pump state", PumpData{HomeID: id, Name: "P1", State: "sunk"}.Check(), "state"},
		{"person", PersonData{Name: "Sam", Skills: []Skill{SkillPull, SkillPull}}.Check(), "skills.1"},
		{"absence of nobody", AbsenceData{Day: "2026-03-09", ToMinute: 60}.Check(), "person_id"},
		{"absence of both", AbsenceData{CrewID: id, PersonID: id, Day: "2026-03-09", ToMinute: 60}.Check(), "person_id"},
		{"absence on no day", AbsenceData{CrewID: id, Day: "2026-02-30", ToMinute: 60}.Check(), "day"},
		{"closure", ClosureData{Kind: ClosureEverything, FromAt: noon, ToAt: noon.Add(time.Hour)}.Check(), ""},
		{"closure backwards", ClosureData{Kind: ClosureEverything, FromAt: noon, ToAt: noon}.Check(), "to_at"},
		{"closure of an area without one", ClosureData{Kind: ClosureArea, FromAt: noon, ToAt: noon.Add(time.Hour)}.Check(), "area"},
		{"closure of a site without one", ClosureData{Kind: ClosureSite, FromAt: noon, ToAt: noon.Add(time.Hour)}.Check(), "site_id"},
		{"draft", NewDraft{FirstDay: "2026-03-09", Days: 5}.Check("2026-03-09"), ""},
		{"draft that is over", NewDraft{FirstDay: "2026-03-02", Days: 5}.Check("2026-03-09"), "first_day"},
		{"draft of 15 days", NewDraft{FirstDay: "2026-03-09", Days: 15}.Check("2026-03-09"), "days"},
		{"run", RunData{}.Clean().Check(), ""},
		{"run for two hours", RunData{Seconds: 7200}.Clean().Check(), "seconds"},
	} {
		var e *Error
		switch {
		case c.field == "" && c.err != nil:
			t.Errorf("%s: %v", c.name, c.err)
		case c.field != "" && (!errors.As(c.err, &e) || e.Fields[0].Field != c.field):
			t.Errorf("%s: %v, want field %s", c.name, c.err, c.field)
		}
	}
}
