package jobs

import (
	"fmt"
	"time"
)

// MaxCrewPeople bounds a crew, MaxPumpBerths a truck.
const (
	MaxCrewPeople = 12
	MaxPumpBerths = 20
)

// Crew is the people who share a truck, with the hours in which they go out.
type Crew struct {
	ID       string
	BranchID string
	CrewData
	Version   int64
	CreatedAt time.Time
	UpdatedAt time.Time
}

// CrewData is what people enter and change.
type CrewData struct {
	HomeID     string
	Name       string
	Place      int64 // order in lists
	PumpBerths int64 // how many pumps fit on the truck
	People     []string
	Shifts     []Shift // at most one a weekday, by weekday
	Active     bool
}

// Shift is a weekday's hours, in minutes of local clock time.
type Shift struct {
	Weekday         int64 // 0 is Sunday
	FromMinute      int64
	ToMinute        int64
	OvertimeMinutes int64 // how much longer the crew may be out, at overtime pay
}

// Check refuses what is wrong, all of it at once.
func (d CrewData) Check() error {
	var f Faults
	f.ID("home_id", d.HomeID)
	f.Line("name", d.Name, 1, MaxName)
	f.Check(d.Place >= 0 && d.Place < 10_000, "place", itoa64(d.Place), "between 0 and 9999")
	f.Check(d.PumpBerths >= 0 && d.PumpBerths <= MaxPumpBerths, "pump_berths", itoa64(d.PumpBerths), "between 0 and "+itoa(MaxPumpBerths))
	f.Check(len(d.People) <= MaxCrewPeople, "people", itoa(len(d.People)), "at most "+itoa(MaxCrewPeople)+" people")
	seen := map[string]bool{}
	for i, id := range d.People {
		at := fmt.Sprintf("people.%d", i)
		f.ID(at, id)
		f.Check(!seen[id], at, id, "each person once")
		seen[id] = true
	}
	f.Check(len(d.Shifts) > 0, "shifts", "none", "at least one weekday with hours; a crew without a shift can't be planned")
	days := map[int64]bool{}
	for i, s := range d.Shifts {
		at := fmt.Sprintf("shifts.%d", i)
		f.Check(s.Weekday >= 0 && s.Weekday <= 6, at+".weekday", itoa64(s.Weekday), "0 (Sunday) to 6 (Saturday)")
		f.Check(!days[s.Weekday], at+".weekday", itoa64(s.Weekday), "each weekday once")
		days[s.Weekday] = true
		f.Check(s.FromMinute >= 0 && s.FromMinute < 24*60, at+".from_minute", itoa64(s.FromMinute), "minutes from midnight, 0 to 1439")
		f.Check(s.ToMinute > s.FromMinute && s.ToMinute <= 24*60, at+".to_minute", itoa64(s.ToMinute), "after from_minute and at most 1440")
		f.Check(s.OvertimeMinutes >= 0 && s.OvertimeMinutes <= 8*60, at+".overtime_minutes", itoa64(s.OvertimeMinutes), "between 0 and 480")
	}
	return f.Err()
}

// ShiftOn is the crew's hours on a weekday; false: it stays at home.
func (d CrewData) ShiftOn(w time.Weekday) (Shift, bool) {
	for _, s := range d.Shifts {
		if s.Weekday == int64(w) {
			return s, true
		}
	}
	return Shift{}, false
}
