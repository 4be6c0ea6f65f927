package store

import (
	"time"

	"ebbline/jobs"
)

type branchRow struct {
	ID        string
	Name      string
	Zone      string
	Version   int64
	CreatedAt int64 `gorm:"autoCreateTime:false"`
	UpdatedAt int64 `gorm:"autoUpdateTime:false"`
}

func (branchRow) TableName() string { return "branches" }

func (r branchRow) branch() jobs.Branch {
	return jobs.Branch{ID: r.ID, Name: r.Name, Zone: r.Zone, Version: r.Version}
}

// InsertBranch adds a branch at version 1.
func (tx *Tx) InsertBranch(b jobs.Branch, at time.Time) error {
	return tx.insert(&branchRow{ID: b.ID, Name: b.Name, Zone: b.Zone, Version: 1, CreatedAt: secs(at), UpdatedAt: secs(at)})
}

// Branch reads one branch.
func (tx *Tx) Branch(id string) (jobs.Branch, error) {
	row, err := first[branchRow](tx, "branch", "id = ?", id)
	return row.branch(), err
}

// Branches reads all branches by name.
func (tx *Tx) Branches() ([]jobs.Branch, error) {
	rows, err := all[branchRow](tx, "name, id", "1 = 1")
	out := make([]jobs.Branch, len(rows))
	for i, r := range rows {
		out[i] = r.branch()
	}
	return out, err
}
