package store

import (
	"time"

	"gorm.io/gorm"

	"ebbline/jobs"
)

type partRow struct {
	ID         string
	BranchID   string
	Code       string
	Name       string
	StockUnit  string
	LengthUM   *int64 `gorm:"column:length_um"`
	LightKey   string
	OnHand     int64
	CostCents  int64
	PriceCents int64
	Version    int64
	CreatedAt  int64 `gorm:"autoCreateTime:false"`
	UpdatedAt  int64 `gorm:"autoUpdateTime:false"`
}

func (partRow) TableName() string { return "parts" }

func (r partRow) part() jobs.Part {
	return jobs.Part{
		ID: r.ID, BranchID: r.BranchID,
		PartData: jobs.PartData{Code: r.Code, Name: r.Name, StockUnit: r.StockUnit, LengthUM: r.LengthUM, Light: r.LightKey, OnHand: r.OnHand,
			Cost: jobs.Cents(r.CostCents), Price: jobs.Cents(r.PriceCents)},
		Version: r.Version, CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt),
	}
}

// InsertPart adds to the catalogue. CodeConflict where the code is taken.
func (tx *Tx) InsertPart(p jobs.Part) error {
	return tx.insert(&partRow{
		ID: p.ID, BranchID: p.BranchID, Code: p.Code, Name: p.Name, StockUnit: p.StockUnit, LengthUM: p.LengthUM, LightKey: p.Light, OnHand: p.OnHand,
		CostCents: int64(p.Cost), PriceCents: int64(p.Price), Version: p.Version, CreatedAt: secs(p.CreatedAt), UpdatedAt: secs(p.UpdatedAt),
	})
}

// UpdatePart writes p over the version it was read at. CodeStale, CodeNotFound,
// CodeConflict.
func (tx *Tx) UpdatePart(p jobs.Part) error {
	return tx.update("part", &partRow{}, p.ID, p.Version, p.UpdatedAt, change{
		"code": p.Code, "name": p.Name, "stock_unit": p.StockUnit, "length_um": p.LengthUM, "light_key": p.Light, "on_hand": p.OnHand,
		"cost_cents": int64(p.Cost), "price_cents": int64(p.Price),
	})
}

// ChangeShelf adds to what lies on the shelf of a part, or takes from it, as its
// next version: a form that was read before is stale. CodeConflict where the
// shelf does not hold as much, CodeNotFound.
func (tx *Tx) ChangeShelf(partID string, by int64, at time.Time) error {
	done := tx.db.Model(&partRow{}).Where("id = ? AND on_hand + ? >= 0", partID, by).
		Updates(map[string]any{"on_hand": gorm.Expr("on_hand + ?", by), "version": gorm.Expr("version + 1"), "updated_at": secs(at)})
	if done.Error != nil || done.RowsAffected == 1 {
		return done.Error
	}
	p, err := tx.Part(partID)
	if err != nil {
		return err
	}
	return jobs.Errorf(jobs.CodeConflict, "The shelf has %d × %s, and %d are to be taken: order it, or note first what came", p.OnHand, p.Name, -by)
}

// CatalogueParts reads the whole catalogue of a branch, by code.
func (tx *Tx) CatalogueParts(branchID string) ([]jobs.Part, error) {
	var rows []partRow
	err := tx.db.Where("branch_id = ?", branchID).Order("code, id").Find(&rows).Error
	out := make([]jobs.Part, len(rows))
	for i, r := range rows {
		out[i] = r.part()
	}
	return out, err
}

// Part reads one part. CodeNotFound.
func (tx *Tx) Part(id string) (jobs.Part, error) {
	row, err := first[partRow](tx, "part", "id = ?", id)
	return row.part(), err
}

// PartByCode finds a part of a branch. CodeNotFound.
func (tx *Tx) PartByCode(branchID, code string) (jobs.Part, error) {
	row, err := first[partRow](tx, "part", "branch_id = ? AND code = ?", branchID, code)
	return row.part(), err
}

// PartFilter narrows the catalogue; empty fields narrow nothing.
type PartFilter struct {
	BranchID string
	Query    string // a part of the code, as it is written
}

// Parts reads a part of the catalogue by code.
func (tx *Tx) Parts(filter PartFilter, page jobs.Page) (jobs.List[jobs.Part], error) {
	after, err := readCursor(page)
	if err != nil {
		return jobs.List[jobs.Part]{}, err
	}
	q := tx.db.Order("code, id").Limit(page.Size() + 1)
	if after.ID != "" {
		q = q.Where("(code, id) > (?, ?)", after.Key, after.ID)
	}
	if filter.BranchID != "" {
		q = q.Where("branch_id = ?", filter.BranchID)
	}
	if filter.Query != "" {
		like := "%" + likeText(filter.Query) + "%"
		q = q.Where(`(code LIKE ? ESCAPE '\' OR name LIKE ? ESCAPE '\')`, like, like)
	}
	var rows []partRow
	if err := q.Find(&rows).Error; err != nil {
		return jobs.List[jobs.Part]{}, err
	}
	part := cut(rows, page.Size(), func(r partRow) cursor { return cursor{r.Code, r.ID} })
	out := jobs.List[jobs.Part]{Next: part.Next}
	for _, r := range part.Items {
		out.Items = append(out.Items, r.part())
	}
	return out, nil
}

type jobPartRow struct {
	ID          string
	JobID       string
	PartID      *string
	Name        string
	Quantity    int64
	StockUnit   string
	State       string
	PromisedDay string
	SubjectID   string
	LineKey     string
	Surplus     bool
	Note        string
	Version     int64
	CreatedAt   int64 `gorm:"autoCreateTime:false"`
	UpdatedAt   int64 `gorm:"autoUpdateTime:false"`
}

func (jobPartRow) TableName() string { return "job_parts" }

func (r jobPartRow) jobPart() jobs.JobPart {
	return jobs.JobPart{
		ID: r.ID, JobID: r.JobID,
		JobPartData: jobs.JobPartData{PartID: text(r.PartID), Name: r.Name, Quantity: r.Quantity, StockUnit: r.StockUnit,
			State: jobs.PartState(r.State), PromisedDay: jobs.Day(r.PromisedDay), SubjectID: r.SubjectID,
			LineKey: r.LineKey, Surplus: r.Surplus, Note: r.Note},
		Version: r.Version, CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt),
	}
}

// InsertJobPart adds a part to a job.
func (tx *Tx) InsertJobPart(p jobs.JobPart) error {
	return tx.insert(&jobPartRow{
		ID: p.ID, JobID: p.JobID, PartID: maybeText(p.PartID), Name: p.Name, Quantity: p.Quantity, StockUnit: p.StockUnit,
		State: string(p.State), PromisedDay: string(p.PromisedDay), SubjectID: p.SubjectID, LineKey: p.LineKey, Surplus: p.Surplus, Note: p.Note,
		Version: p.Version, CreatedAt: secs(p.CreatedAt), UpdatedAt: secs(p.UpdatedAt),
	})
}

// UpdateJobPart writes p over the version it was read at. CodeStale,
// CodeNotFound.
func (tx *Tx) UpdateJobPart(p jobs.JobPart) error {
	return tx.update("part of the job", &jobPartRow{}, p.ID, p.Version, p.UpdatedAt, change{
		"part_id": maybeText(p.PartID), "name": p.Name, "quantity": p.Quantity, "stock_unit": p.StockUnit, "state": string(p.State), "promised_day": string(p.PromisedDay),
		"subject_id": p.SubjectID, "line_key": p.LineKey, "surplus": p.Surplus, "note": p.Note,
	})
}

// JobPart reads one part of a job. CodeNotFound.
func (tx *Tx) JobPart(id string) (jobs.JobPart, error) {
	row, err := first[jobPartRow](tx, "part of a job", "id = ?", id)
	return row.jobPart(), err
}

// JobParts reads the parts of jobs in the order they were listed.
func (tx *Tx) JobParts(jobIDs ...string) ([]jobs.JobPart, error) {
	rows, err := allOf[jobPartRow](tx, "created_at, id", jobIDs)
	out := make([]jobs.JobPart, len(rows))
	for i, r := range rows {
		out[i] = r.jobPart()
	}
	return out, err
}
