package store

import (
	"errors"

	"gorm.io/gorm"

	"ebbline/jobs"
)

type settingsRow struct {
	BranchID string
	Number   int64
	Body     string
	MadeAt   int64
	MadeBy   string
}

func (settingsRow) TableName() string { return "settings" }

func (r settingsRow) settings() (jobs.SettingsInForce, error) {
	s, err := jobs.StoredSettings([]byte(r.Body))
	return jobs.SettingsInForce{BranchID: r.BranchID, Number: r.Number, Settings: s, MadeAt: instant(r.MadeAt), MadeBy: r.MadeBy}, err
}

// Settings reads the rates and rules in force. Number 1 are the defaults, which
// are not stored; the first set by a person is number 2.
func (tx *Tx) Settings(branchID string) (jobs.SettingsInForce, error) {
	var row settingsRow
	err := tx.db.Where("branch_id = ?", branchID).Order("number DESC").Limit(1).Take(&row).Error
	if errors.Is(err, gorm.ErrRecordNotFound) {
		return defaults(branchID), nil
	}
	if err != nil {
		return jobs.SettingsInForce{}, err
	}
	return row.settings()
}

func defaults(branchID string) jobs.SettingsInForce {
	return jobs.SettingsInForce{BranchID: branchID, Number: 1, Settings: jobs.DefaultSettings(), MadeBy: "defaults"}
}

// SettingsNumbered reads a version that was once in force. CodeNotFound.
func (tx *Tx) SettingsNumbered(branchID string, number int64) (jobs.SettingsInForce, error) {
	if number == 1 {
		return defaults(branchID), nil
	}
	row, err := first[settingsRow](tx, "version of the settings", "branch_id = ? AND number = ?", branchID, number)
	if err != nil {
		return jobs.SettingsInForce{}, err
	}
	return row.settings()
}

// InsertSettings puts a version into force; its number is the one after that
// which the caller read. CodeConflict where somebody was faster.
func (tx *Tx) InsertSettings(s jobs.SettingsInForce) error {
	body, err := jobs.EncodeSettings(s.Settings)
	if err != nil {
		return err
	}
	return tx.insert(&settingsRow{BranchID: s.BranchID, Number: s.Number, Body: string(body), MadeAt: secs(s.MadeAt), MadeBy: s.MadeBy})
}
