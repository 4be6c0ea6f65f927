package store

import "ebbline/jobs"

type crewRow struct {
	ID         string
	BranchID   string
	HomeID     string
	Name       string
	Place      int64
	PumpBerths int64
	Active     bool
	Version    int64
	CreatedAt  int64 `gorm:"autoCreateTime:false"`
	UpdatedAt  int64 `gorm:"autoUpdateTime:false"`
}

func (crewRow) TableName() string { return "crews" }

type crewPersonRow struct{ CrewID, PersonID string }

func (crewPersonRow) TableName() string { return "crew_people" }

type crewShiftRow struct {
	CrewID          string
	Weekday         int64
	FromMinute      int64
	ToMinute        int64
	OvertimeMinutes int64
}

func (crewShiftRow) TableName() string { return "crew_shifts" }

func (r crewRow) crew() jobs.Crew {
	return jobs.Crew{ID: r.ID, BranchID: r.BranchID,
		CrewData: jobs.CrewData{HomeID: r.HomeID, Name: r.Name, Place: r.Place, PumpBerths: r.PumpBerths, Active: r.Active},
		Version:  r.Version, CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt)}
}

// InsertCrew adds a crew with its people and shifts. CodeConflict when the
// branch has one of that name, or a person or the home is not there.
func (tx *Tx) InsertCrew(c jobs.Crew) error {
	err := tx.insert(&crewRow{ID: c.ID, BranchID: c.BranchID, HomeID: c.HomeID, Name: c.Name, Place: c.Place, PumpBerths: c.PumpBerths,
		Active: c.Active, Version: c.Version, CreatedAt: secs(c.CreatedAt), UpdatedAt: secs(c.UpdatedAt)})
	if err != nil {
		return err
	}
	return tx.putCrewParts(c)
}

// UpdateCrew writes c over the version it was read at. CodeStale, CodeNotFound.
func (tx *Tx) UpdateCrew(c jobs.Crew) error {
	err := tx.update("crew", &crewRow{}, c.ID, c.Version, c.UpdatedAt, change{"home_id": c.HomeID, "name": c.Name,
		"place": c.Place, "pump_berths": c.PumpBerths, "active": c.Active})
	if err != nil {
		return err
	}
	return tx.putCrewParts(c)
}

func (tx *Tx) putCrewParts(c jobs.Crew) error {
	if err := tx.db.Where("crew_id = ?", c.ID).Delete(&crewPersonRow{}).Error; err != nil {
		return err
	}
	if err := tx.db.Where("crew_id = ?", c.ID).Delete(&crewShiftRow{}).Error; err != nil {
		return err
	}
	people := make([]crewPersonRow, len(c.People))
	for i, p := range c.People {
		people[i] = crewPersonRow{c.ID, p}
	}
	if len(people) > 0 {
		if err := tx.insert(&people); err != nil {
			return err
		}
	}
	shifts := make([]crewShiftRow, len(c.Shifts))
	for i, s := range c.Shifts {
		shifts[i] = crewShiftRow{c.ID, s.Weekday, s.FromMinute, s.ToMinute, s.OvertimeMinutes}
	}
	if len(shifts) == 0 {
		return nil
	}
	return tx.insert(&shifts)
}

// Crew reads one crew. CodeNotFound.
func (tx *Tx) Crew(id string) (jobs.Crew, error) {
	row, err := first[crewRow](tx, "crew", "id = ?", id)
	if err != nil {
		return jobs.Crew{}, err
	}
	list, err := tx.withCrewParts([]crewRow{row})
	if err != nil {
		return jobs.Crew{}, err
	}
	return list[0], nil
}

// Crews reads a branch's crews in their order.
func (tx *Tx) Crews(branchID string) ([]jobs.Crew, error) {
	rows, err := all[crewRow](tx, "place, name, id", "branch_id = ?", branchID)
	if err != nil {
		return nil, err
	}
	return tx.withCrewParts(rows)
}

// withCrewParts reads people and shifts of all rows by one statement each.
func (tx *Tx) withCrewParts(rows []crewRow) ([]jobs.Crew, error) {
	out, at := make([]jobs.Crew, len(rows)), map[string]int{}
	ids := make([]string, len(rows))
	for i, r := range rows {
		out[i], at[r.ID], ids[i] = r.crew(), i, r.ID
	}
	if len(ids) == 0 {
		return out, nil
	}
	people, err := all[crewPersonRow](tx, "crew_id, person_id", "crew_id IN ?", ids)
	if err != nil {
		return nil, err
	}
	for _, p := range people {
		c := &out[at[p.CrewID]]
		c.People = append(c.People, p.PersonID)
	}
	shifts, err := all[crewShiftRow](tx, "crew_id, weekday", "crew_id IN ?", ids)
	for _, s := range shifts {
		c := &out[at[s.CrewID]]
		c.Shifts = append(c.Shifts, jobs.Shift{Weekday: s.Weekday, FromMinute: s.FromMinute, ToMinute: s.ToMinute, OvertimeMinutes: s.OvertimeMinutes})
	}
	return out, err
}
