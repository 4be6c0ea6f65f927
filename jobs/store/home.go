package store

import "ebbline/jobs"

type homeRow struct {
	ID        string
	BranchID  string
	Name      string
	Street    string
	LatE7     int64
	LonE7     int64
	Version   int64
	CreatedAt int64 `gorm:"autoCreateTime:false"`
	UpdatedAt int64 `gorm:"autoUpdateTime:false"`
}

func (homeRow) TableName() string { return "homes" }

func (r homeRow) home() jobs.Home {
	return jobs.Home{ID: r.ID, BranchID: r.BranchID,
		HomeData: jobs.HomeData{Name: r.Name, Street: r.Street, LatE7: r.LatE7, LonE7: r.LonE7},
		Version:  r.Version, CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt)}
}

// InsertHome adds a home. CodeConflict when the branch has one of that name.
func (tx *Tx) InsertHome(h jobs.Home) error {
	return tx.insert(&homeRow{ID: h.ID, BranchID: h.BranchID, Name: h.Name, Street: h.Street, LatE7: h.LatE7, LonE7: h.LonE7,
		Version: h.Version, CreatedAt: secs(h.CreatedAt), UpdatedAt: secs(h.UpdatedAt)})
}

// UpdateHome writes h over the version it was read at. CodeStale, CodeNotFound.
func (tx *Tx) UpdateHome(h jobs.Home) error {
	return tx.update("home", &homeRow{}, h.ID, h.Version, h.UpdatedAt,
		change{"name": h.Name, "street": h.Street, "lat_e7": h.LatE7, "lon_e7": h.LonE7})
}

// Home reads one home. CodeNotFound.
func (tx *Tx) Home(id string) (jobs.Home, error) {
	row, err := first[homeRow](tx, "home", "id = ?", id)
	return row.home(), err
}

// Homes reads a branch's homes by name.
func (tx *Tx) Homes(branchID string) ([]jobs.Home, error) {
	rows, err := all[homeRow](tx, "name, id", "branch_id = ?", branchID)
	return each(rows, homeRow.home), err
}

// each turns rows into nouns.
func each[R, T any](rows []R, turn func(R) T) []T {
	out := make([]T, len(rows))
	for i, r := range rows {
		out[i] = turn(r)
	}
	return out
}
