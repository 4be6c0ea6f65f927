package store

import "ebbline/jobs"

type absenceRow struct {
	ID         string
	BranchID   string
	CrewID     *string
	PersonID   *string
	Day        string
	FromMinute int64
	ToMinute   int64
	Reason     string
	Version    int64
	CreatedAt  int64 `gorm:"autoCreateTime:false"`
	UpdatedAt  int64 `gorm:"autoUpdateTime:false"`
}

func (absenceRow) TableName() string { return "absences" }

func (r absenceRow) absence() jobs.Absence {
	return jobs.Absence{ID: r.ID, BranchID: r.BranchID,
		AbsenceData: jobs.AbsenceData{CrewID: text(r.CrewID), PersonID: text(r.PersonID), Day: jobs.Day(r.Day),
			FromMinute: r.FromMinute, ToMinute: r.ToMinute, Reason: r.Reason},
		Version: r.Version, CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt)}
}

// InsertAbsence notes time away.
func (tx *Tx) InsertAbsence(a jobs.Absence) error {
	return tx.insert(&absenceRow{ID: a.ID, BranchID: a.BranchID, CrewID: maybeText(a.CrewID), PersonID: maybeText(a.PersonID),
		Day: string(a.Day), FromMinute: a.FromMinute, ToMinute: a.ToMinute, Reason: a.Reason,
		Version: a.Version, CreatedAt: secs(a.CreatedAt), UpdatedAt: secs(a.UpdatedAt)})
}

// DeleteAbsence takes time away back. CodeStale, CodeNotFound.
func (tx *Tx) DeleteAbsence(id string, version int64) error {
	return tx.remove("absence", &absenceRow{}, id, version)
}

// Absence reads one absence. CodeNotFound.
func (tx *Tx) Absence(id string) (jobs.Absence, error) {
	row, err := first[absenceRow](tx, "absence", "id = ?", id)
	return row.absence(), err
}

// Absences reads a branch's time away from the first to the last day.
func (tx *Tx) Absences(branchID string, from, to jobs.Day) ([]jobs.Absence, error) {
	rows, err := all[absenceRow](tx, "day, from_minute, id", "branch_id = ? AND day >= ? AND day <= ?", branchID, string(from), string(to))
	return each(rows, absenceRow.absence), err
}
