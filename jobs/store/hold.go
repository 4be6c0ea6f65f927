package store

import (
	"time"

	"ebbline/jobs"
)

type holdRow struct {
	ID        string
	BranchID  string
	JobID     string
	VisitID   string
	CrewID    string
	FromAt    int64
	ToAt      int64
	StartAt   int64
	UntilAt   int64
	State     string
	Note      string
	MadeBy    string
	Version   int64
	CreatedAt int64 `gorm:"autoCreateTime:false"`
	UpdatedAt int64 `gorm:"autoUpdateTime:false"`
}

func (holdRow) TableName() string { return "holds" }

func (r holdRow) hold() jobs.Hold {
	return jobs.Hold{ID: r.ID, BranchID: r.BranchID,
		NewHold: jobs.NewHold{JobID: r.JobID, VisitID: r.VisitID, CrewID: r.CrewID, FromAt: instant(r.FromAt), ToAt: instant(r.ToAt),
			StartAt: instant(r.StartAt), Minutes: (r.UntilAt - r.CreatedAt) / 60, Note: r.Note},
		UntilAt: instant(r.UntilAt), State: jobs.HoldState(r.State), MadeBy: r.MadeBy,
		Version: r.Version, CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt)}
}

// InsertHold holds a window.
func (tx *Tx) InsertHold(h jobs.Hold) error {
	return tx.insert(&holdRow{ID: h.ID, BranchID: h.BranchID, JobID: h.JobID, VisitID: h.VisitID, CrewID: h.CrewID,
		FromAt: secs(h.FromAt), ToAt: secs(h.ToAt), StartAt: secs(h.StartAt), UntilAt: secs(h.UntilAt), State: string(h.State),
		Note: h.Note, MadeBy: h.MadeBy, Version: h.Version, CreatedAt: secs(h.CreatedAt), UpdatedAt: secs(h.UpdatedAt)})
}

// UpdateHold writes a hold's state over the version that h was read at.
// CodeStale, CodeNotFound.
func (tx *Tx) UpdateHold(h jobs.Hold) error {
	return tx.update("held window", &holdRow{}, h.ID, h.Version, h.UpdatedAt, change{"state": string(h.State)})
}

// Hold reads one hold with the names around it. CodeNotFound.
func (tx *Tx) Hold(id string) (jobs.Hold, error) {
	row, err := first[holdRow](tx, "held window", "id = ?", id)
	if err != nil {
		return jobs.Hold{}, err
	}
	list, err := tx.holdNames([]jobs.Hold{row.hold()})
	if err != nil {
		return jobs.Hold{}, err
	}
	return list[0], nil
}

// LiveHolds reads what others have to plan around: held windows whose time has
// not run out, and booked ones, of visits still to come. The earliest first.
func (tx *Tx) LiveHolds(branchID string, now time.Time) ([]jobs.Hold, error) {
	rows, err := all[holdRow](tx, "from_at, id", "branch_id = ? AND to_at > ? AND (state = ? OR (state = ? AND until_at > ?)) AND visit_id IN (SELECT id FROM visits WHERE state IN ?)",
		branchID, secs(now), string(jobs.HoldBooked), string(jobs.HoldHeld), secs(now), []string{"open", "routed"})
	if err != nil || len(rows) == 0 {
		return nil, err
	}
	return tx.holdNames(each(rows, holdRow.hold))
}

// MissedHolds reads windows that were booked and went by without anybody being
// sent, up to a fortnight ago, while their visit is still to come. The earliest
// first.
func (tx *Tx) MissedHolds(branchID string, now time.Time) ([]jobs.Hold, error) {
	rows, err := all[holdRow](tx, "from_at, id", "branch_id = ? AND to_at <= ? AND to_at > ? AND state = ? AND visit_id IN (SELECT id FROM visits WHERE state IN ?)",
		branchID, secs(now), secs(now.AddDate(0, 0, -14)), string(jobs.HoldBooked), []string{"open", "routed"})
	if err != nil || len(rows) == 0 {
		return nil, err
	}
	return tx.holdNames(each(rows, holdRow.hold))
}

func (tx *Tx) holdNames(list []jobs.Hold) ([]jobs.Hold, error) {
	ids := make([]string, len(list))
	for i, h := range list {
		ids[i] = h.JobID
	}
	named, err := tx.JobsByID(ids...)
	if err != nil {
		return nil, err
	}
	crews, err := tx.Crews(list[0].BranchID)
	if err != nil {
		return nil, err
	}
	for i := range list {
		for _, j := range named {
			if j.ID == list[i].JobID {
				list[i].JobNumber, list[i].CustomerName, list[i].SiteName = j.Number, j.CustomerName, j.SiteName
			}
		}
		for _, c := range crews {
			if c.ID == list[i].CrewID {
				list[i].CrewName = c.Name
			}
		}
	}
	return list, nil
}
