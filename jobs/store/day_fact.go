package store

import (
	"errors"

	"gorm.io/gorm"

	"ebbline/jobs"
)

type dayFactRow struct {
	ID          string
	BranchID    string
	Day         string
	HighTempMC  *int64 `gorm:"column:high_temp_mc"`
	RainUM      *int64 `gorm:"column:rain_um"`
	GroundWater string
	Note        string
	Version     int64
	CreatedAt   int64 `gorm:"autoCreateTime:false"`
	UpdatedAt   int64 `gorm:"autoUpdateTime:false"`
}

func (dayFactRow) TableName() string { return "day_facts" }

func (r dayFactRow) dayFact() jobs.DayFact {
	return jobs.DayFact{ID: r.ID, BranchID: r.BranchID,
		DayFactData: jobs.DayFactData{Day: jobs.Day(r.Day), HighTempMC: r.HighTempMC, RainUM: r.RainUM,
			GroundWater: jobs.GroundWater(r.GroundWater), Note: r.Note},
		Version: r.Version, CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt)}
}

// PutDayFact notes what is known of a day in place of what was; f.ID names the
// row if the day has none yet.
func (tx *Tx) PutDayFact(f jobs.DayFact) error {
	var old dayFactRow
	err := tx.db.Where("branch_id = ? AND day = ?", f.BranchID, string(f.Day)).Take(&old).Error
	switch {
	case errors.Is(err, gorm.ErrRecordNotFound):
		return tx.insert(&dayFactRow{ID: f.ID, BranchID: f.BranchID, Day: string(f.Day), HighTempMC: f.HighTempMC, RainUM: f.RainUM,
			GroundWater: string(f.GroundWater), Note: f.Note, Version: 1, CreatedAt: secs(f.UpdatedAt), UpdatedAt: secs(f.UpdatedAt)})
	case err != nil:
		return err
	}
	return tx.update("day fact", &dayFactRow{}, old.ID, old.Version, f.UpdatedAt, change{"high_temp_mc": f.HighTempMC,
		"rain_um": f.RainUM, "ground_water": string(f.GroundWater), "note": f.Note})
}

// DayFacts reads what is known of a branch's days from the first to the last.
func (tx *Tx) DayFacts(branchID string, from, to jobs.Day) ([]jobs.DayFact, error) {
	rows, err := all[dayFactRow](tx, "day, id", "branch_id = ? AND day >= ? AND day <= ?", branchID, string(from), string(to))
	return each(rows, dayFactRow.dayFact), err
}
