package store

import (
	"strconv"

	"ebbline/jobs"
)

type planRow struct {
	ID          string
	BranchID    string
	Number      int64
	FirstDay    string
	Days        int64
	Week        string
	Plan        string
	CostCents   int64
	DraftID     string
	HandedOutAt int64
	HandedOutBy string
}

func (planRow) TableName() string { return "plans" }

func (r planRow) plan() jobs.Plan {
	return jobs.Plan{ID: r.ID, BranchID: r.BranchID, Number: r.Number, FirstDay: jobs.Day(r.FirstDay), Days: r.Days,
		Week: r.Week, Body: r.Plan, Cost: jobs.Cents(r.CostCents), DraftID: r.DraftID,
		HandedOutAt: instant(r.HandedOutAt), HandedOutBy: r.HandedOutBy}
}

// InsertPlan writes a handed-out plan. CodeConflict when its number is taken:
// somebody handed out since.
func (tx *Tx) InsertPlan(p jobs.Plan) error {
	return tx.insert(&planRow{ID: p.ID, BranchID: p.BranchID, Number: p.Number, FirstDay: string(p.FirstDay), Days: p.Days,
		Week: p.Week, Plan: p.Body, CostCents: int64(p.Cost), DraftID: p.DraftID, HandedOutAt: secs(p.HandedOutAt), HandedOutBy: p.HandedOutBy})
}

// HoldBranch makes others wait who hand out for the branch, until this
// transaction ends. On SQLite writers stand in line anyway.
func (tx *Tx) HoldBranch(id string) error { return tx.holdBranch(id) }

// LastPlanNumber is the number of the plan that was handed out last; 0: none
// was.
func (tx *Tx) LastPlanNumber(branchID string) (int64, error) {
	var n int64
	err := tx.db.Model(&planRow{}).Where("branch_id = ?", branchID).Select("COALESCE(MAX(number), 0)").Scan(&n).Error
	return n, err
}

// Plan reads one handed-out plan, whole. CodeNotFound.
func (tx *Tx) Plan(id string) (jobs.Plan, error) { return tx.planWhere("id = ?", id) }

// PlanByNumber reads a branch's plan by its number, whole. CodeNotFound.
func (tx *Tx) PlanByNumber(branchID string, number int64) (jobs.Plan, error) {
	return tx.planWhere("branch_id = ? AND number = ?", branchID, number)
}

func (tx *Tx) planWhere(where string, args ...any) (jobs.Plan, error) {
	row, err := first[planRow](tx, "plan", where, args...)
	if err != nil {
		return jobs.Plan{}, err
	}
	p := row.plan()
	counts, err := tx.noticesOfPlans(p.ID)
	p.NoticesCount = counts[p.ID]
	return p, err
}

// Plans reads a part of a branch's plans, the newest first, without weeks and
// bodies.
func (tx *Tx) Plans(branchID string, page jobs.Page) (jobs.List[jobs.Plan], error) {
	after, err := readCursor(page)
	if err != nil {
		return jobs.List[jobs.Plan]{}, err
	}
	q := tx.db.Omit("week", "plan").Order("number DESC").Limit(page.Size()+1).Where("branch_id = ?", branchID)
	if after.ID != "" {
		n, err := strconv.ParseInt(after.Key, 10, 64)
		if err != nil {
			return jobs.List[jobs.Plan]{}, wrongCursor(page)
		}
		q = q.Where("number < ?", n)
	}
	var rows []planRow
	if err := q.Find(&rows).Error; err != nil {
		return jobs.List[jobs.Plan]{}, err
	}
	part := cut(rows, page.Size(), func(r planRow) cursor { return cursor{strconv.FormatInt(r.Number, 10), r.ID} })
	out := jobs.List[jobs.Plan]{Items: each(part.Items, planRow.plan), Next: part.Next}
	ids := make([]string, len(out.Items))
	for i, p := range out.Items {
		ids[i] = p.ID
	}
	counts, err := tx.noticesOfPlans(ids...)
	for i := range out.Items {
		out.Items[i].NoticesCount = counts[out.Items[i].ID]
	}
	return out, err
}

func (tx *Tx) noticesOfPlans(ids ...string) (map[string]int64, error) {
	counts := map[string]int64{}
	if len(ids) == 0 {
		return counts, nil
	}
	var rows []struct {
		PlanID string
		N      int64
	}
	err := tx.db.Table("notices").Select("plan_id, COUNT(*) AS n").Where("plan_id IN ?", ids).Group("plan_id").Find(&rows).Error
	for _, r := range rows {
		counts[r.PlanID] = r.N
	}
	return counts, err
}
