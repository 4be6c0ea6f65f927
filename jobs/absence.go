package jobs

import "time"

// Absence is a person or a whole crew away for part of a day.
type Absence struct {
	ID       string
	BranchID string
	AbsenceData
	Version   int64
	CreatedAt time.Time
	UpdatedAt time.Time
}

// AbsenceData is what people enter. Exactly one of CrewID and PersonID is set.
type AbsenceData struct {
	CrewID     string
	PersonID   string
	Day        Day
	FromMinute int64 // minutes from local midnight
	ToMinute   int64
	Reason     string
}

// Check refuses what is wrong, all of it at once.
func (d AbsenceData) Check() error {
	var f Faults
	f.Check((d.CrewID == "") != (d.PersonID == ""), "person_id", d.PersonID, "a person or a crew, one of the two")
	if d.CrewID != "" {
		f.ID("crew_id", d.CrewID)
	}
	if d.PersonID != "" {
		f.ID("person_id", d.PersonID)
	}
	f.Check(d.Day.Valid(), "day", string(d.Day), "a day like 2026-03-08")
	f.Check(d.FromMinute >= 0 && d.FromMinute < 24*60, "from_minute", itoa64(d.FromMinute), "minutes from midnight, 0 to 1439")
	f.Check(d.ToMinute > d.FromMinute && d.ToMinute <= 24*60, "to_minute", itoa64(d.ToMinute), "after from_minute and at most 1440")
	f.Line("reason", d.Reason, 0, 300)
	return f.Err()
}
