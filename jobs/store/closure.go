package store

import (
	"time"

	"ebbline/jobs"
)

type closureRow struct {
	ID           string
	BranchID     string
	Kind         string
	SiteID       *string
	Area         string
	FromAt       int64
	ToAt         int64
	StopsPumping bool
	Reason       string
	Version      int64
	CreatedAt    int64 `gorm:"autoCreateTime:false"`
	UpdatedAt    int64 `gorm:"autoUpdateTime:false"`
}

func (closureRow) TableName() string { return "closures" }

func (r closureRow) closure() jobs.Closure {
	return jobs.Closure{ID: r.ID, BranchID: r.BranchID,
		ClosureData: jobs.ClosureData{Kind: jobs.ClosureKind(r.Kind), SiteID: text(r.SiteID), Area: r.Area,
			FromAt: instant(r.FromAt), ToAt: instant(r.ToAt), StopsPumping: r.StopsPumping, Reason: r.Reason},
		Version: r.Version, CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt)}
}

// InsertClosure notes a closure.
func (tx *Tx) InsertClosure(c jobs.Closure) error {
	return tx.insert(&closureRow{ID: c.ID, BranchID: c.BranchID, Kind: string(c.Kind), SiteID: maybeText(c.SiteID), Area: c.Area,
		FromAt: secs(c.FromAt), ToAt: secs(c.ToAt), StopsPumping: c.StopsPumping, Reason: c.Reason,
		Version: c.Version, CreatedAt: secs(c.CreatedAt), UpdatedAt: secs(c.UpdatedAt)})
}

// DeleteClosure takes a closure back. CodeStale, CodeNotFound.
func (tx *Tx) DeleteClosure(id string, version int64) error {
	return tx.remove("closure", &closureRow{}, id, version)
}

// Closure reads one closure. CodeNotFound.
func (tx *Tx) Closure(id string) (jobs.Closure, error) {
	row, err := first[closureRow](tx, "closure", "id = ?", id)
	return row.closure(), err
}

// Closures reads a branch's closures that touch the stretch of time.
func (tx *Tx) Closures(branchID string, from, to time.Time) ([]jobs.Closure, error) {
	rows, err := all[closureRow](tx, "from_at, id", "branch_id = ? AND to_at > ? AND from_at < ?", branchID, secs(from), secs(to))
	return each(rows, closureRow.closure), err
}
