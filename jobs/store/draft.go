package store

import (
	"encoding/json"
	"strconv"

	"ebbline/jobs"
)

type draftRow struct {
	ID             string
	BranchID       string
	FirstDay       string
	Days           int64
	BasePlanNumber int64
	Week           string
	Plan           string
	KeptOut        string // JSON of []jobs.KeptOut
	State          string
	CostCents      *int64
	LeftOut        *int64
	Upset          string // JSON of jobs.Upset; empty: nothing
	MadeBy         string
	Version        int64
	CreatedAt      int64 `gorm:"autoCreateTime:false"`
	UpdatedAt      int64 `gorm:"autoUpdateTime:false"`
}

func (draftRow) TableName() string { return "drafts" }

func (r draftRow) draft() jobs.Draft {
	d := jobs.Draft{ID: r.ID, BranchID: r.BranchID, NewDraft: jobs.NewDraft{FirstDay: jobs.Day(r.FirstDay), Days: r.Days},
		BasePlanNumber: r.BasePlanNumber, Week: r.Week, Plan: r.Plan, State: jobs.DraftState(r.State),
		Cost: (*jobs.Cents)(r.CostCents), LeftOut: r.LeftOut, MadeBy: r.MadeBy,
		Version: r.Version, CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt)}
	if r.KeptOut != "" { // a list reads drafts without it
		_ = json.Unmarshal([]byte(r.KeptOut), &d.KeptOut) // ours: written by InsertDraft
	}
	if r.Upset != "" {
		_ = json.Unmarshal([]byte(r.Upset), &d.Upset) // ours: written by upsetText
	}
	return d
}

func upsetText(u *jobs.Upset) (string, error) {
	if u == nil {
		return "", nil
	}
	text, err := json.Marshal(u)
	return string(text), err
}

// InsertDraft adds a draft.
func (tx *Tx) InsertDraft(d jobs.Draft) error {
	kept, err := json.Marshal(d.KeptOut)
	if err != nil {
		return err
	}
	upset, err := upsetText(d.Upset)
	if err != nil {
		return err
	}
	return tx.insert(&draftRow{Upset: upset, ID: d.ID, BranchID: d.BranchID, FirstDay: string(d.FirstDay), Days: d.Days,
		BasePlanNumber: d.BasePlanNumber, Week: d.Week, Plan: d.Plan, KeptOut: string(kept), State: string(d.State), CostCents: (*int64)(d.Cost),
		LeftOut: d.LeftOut, MadeBy: d.MadeBy, Version: d.Version, CreatedAt: secs(d.CreatedAt), UpdatedAt: secs(d.UpdatedAt)})
}

// UpdateDraft writes what planning changes over the version that d was read
// at. CodeStale, CodeNotFound.
func (tx *Tx) UpdateDraft(d jobs.Draft) error {
	kept, err := json.Marshal(d.KeptOut)
	if err != nil {
		return err
	}
	upset, err := upsetText(d.Upset)
	if err != nil {
		return err
	}
	return tx.update("draft", &draftRow{}, d.ID, d.Version, d.UpdatedAt, change{"upset": upset, "base_plan_number": d.BasePlanNumber,
		"week": d.Week, "plan": d.Plan, "kept_out": string(kept), "state": string(d.State), "cost_cents": (*int64)(d.Cost), "left_out": d.LeftOut})
}

// Draft reads one draft, whole. CodeNotFound.
func (tx *Tx) Draft(id string) (jobs.Draft, error) {
	row, err := first[draftRow](tx, "draft", "id = ?", id)
	if err != nil {
		return jobs.Draft{}, err
	}
	d := row.draft()
	runs, err := tx.newestRuns(id)
	if err != nil {
		return d, err
	}
	d.RunID = runs[id]
	last, err := tx.LastPlanNumber(d.BranchID)
	d.Outdated = outdated(d, last)
	return d, err
}

// outdated says whether somebody handed out since an open draft was planned.
func outdated(d jobs.Draft, last int64) bool {
	return d.State == jobs.DraftPlanned && d.BasePlanNumber != last
}

// DraftFilter narrows a list of drafts; empty fields narrow nothing.
type DraftFilter struct {
	BranchID string
	FirstDay jobs.Day
}

// Drafts reads a part of the list, the newest first, without weeks and plans.
func (tx *Tx) Drafts(filter DraftFilter, page jobs.Page) (jobs.List[jobs.Draft], error) {
	after, err := readCursor(page)
	if err != nil {
		return jobs.List[jobs.Draft]{}, err
	}
	q := tx.db.Omit("week", "plan", "kept_out", "upset").Order("created_at DESC, id DESC").Limit(page.Size()+1).Where("branch_id = ?", filter.BranchID)
	if after.ID != "" {
		at, err := strconv.ParseInt(after.Key, 10, 64)
		if err != nil {
			return jobs.List[jobs.Draft]{}, wrongCursor(page)
		}
		q = q.Where("(created_at, id) < (?, ?)", at, after.ID)
	}
	if filter.FirstDay != "" {
		q = q.Where("first_day = ?", string(filter.FirstDay))
	}
	var rows []draftRow
	if err := q.Find(&rows).Error; err != nil {
		return jobs.List[jobs.Draft]{}, err
	}
	part := cut(rows, page.Size(), func(r draftRow) cursor { return cursor{strconv.FormatInt(r.CreatedAt, 10), r.ID} })
	out := jobs.List[jobs.Draft]{Items: each(part.Items, draftRow.draft), Next: part.Next}
	ids := make([]string, len(out.Items))
	for i, d := range out.Items {
		ids[i] = d.ID
	}
	runs, err := tx.newestRuns(ids...)
	if err != nil {
		return out, err
	}
	last, err := tx.LastPlanNumber(filter.BranchID)
	for i := range out.Items {
		out.Items[i].RunID, out.Items[i].Outdated = runs[out.Items[i].ID], outdated(out.Items[i], last)
	}
	return out, err
}

// newestRuns is each draft's newest planning run.
func (tx *Tx) newestRuns(draftIDs ...string) (map[string]string, error) {
	last := map[string]string{}
	if len(draftIDs) == 0 {
		return last, nil
	}
	var rows []struct{ DraftID, ID string }
	err := tx.db.Table("plan_runs").Select("draft_id, id").Where("draft_id IN ?", draftIDs).Order("created_at, id").Find(&rows).Error
	for _, r := range rows {
		last[r.DraftID] = r.ID
	}
	return last, err
}

// KeptOut reads which jobs could not be put to the planner when the draft was
// opened.
func (tx *Tx) KeptOut(draftID string) ([]jobs.KeptOut, error) {
	rows, err := all[draftRow](tx, "id", "id = ?", draftID)
	if err != nil || len(rows) == 0 {
		return nil, err
	}
	return rows[0].draft().KeptOut, nil
}

// DraftHead reads one draft without its week, its plan and what was kept out.
// CodeNotFound.
func (tx *Tx) DraftHead(id string) (jobs.Draft, error) {
	var row draftRow
	err := tx.db.Omit("week", "plan", "kept_out", "upset").Where("id = ?", id).Take(&row).Error
	return row.draft(), notFound(err, "draft")
}
