package store

import "ebbline/jobs"

type pumpRow struct {
	ID        string
	BranchID  string
	HomeID    string
	Name      string
	State     string
	FlowMLPS  int64 `gorm:"column:flow_ml_per_s"`
	Note      string
	Version   int64
	CreatedAt int64 `gorm:"autoCreateTime:false"`
	UpdatedAt int64 `gorm:"autoUpdateTime:false"`
}

func (pumpRow) TableName() string { return "pumps" }

func (r pumpRow) pump() jobs.Pump {
	return jobs.Pump{ID: r.ID, BranchID: r.BranchID,
		PumpData: jobs.PumpData{HomeID: r.HomeID, Name: r.Name, State: jobs.PumpState(r.State), FlowMLPS: r.FlowMLPS, Note: r.Note},
		Version:  r.Version, CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt)}
}

// InsertPump adds a pump. CodeConflict when the branch has one of that name.
func (tx *Tx) InsertPump(p jobs.Pump) error {
	return tx.insert(&pumpRow{ID: p.ID, BranchID: p.BranchID, HomeID: p.HomeID, Name: p.Name, State: string(p.State),
		FlowMLPS: p.FlowMLPS, Note: p.Note, Version: p.Version, CreatedAt: secs(p.CreatedAt), UpdatedAt: secs(p.UpdatedAt)})
}

// UpdatePump writes p over the version it was read at. CodeStale, CodeNotFound.
func (tx *Tx) UpdatePump(p jobs.Pump) error {
	return tx.update("pump", &pumpRow{}, p.ID, p.Version, p.UpdatedAt, change{"home_id": p.HomeID, "name": p.Name,
		"state": string(p.State), "flow_ml_per_s": p.FlowMLPS, "note": p.Note})
}

// Pump reads one pump. CodeNotFound.
func (tx *Tx) Pump(id string) (jobs.Pump, error) {
	row, err := first[pumpRow](tx, "pump", "id = ?", id)
	return row.pump(), err
}

// Pumps reads a branch's pumps by name.
func (tx *Tx) Pumps(branchID string) ([]jobs.Pump, error) {
	rows, err := all[pumpRow](tx, "name, id", "branch_id = ?", branchID)
	return each(rows, pumpRow.pump), err
}
