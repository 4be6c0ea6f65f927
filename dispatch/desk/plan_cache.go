package desk

import (
	"sync"

	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// handedPlan is a handed-out plan, read. It never changes, and nobody may
// change it: looks share it.
type handedPlan struct {
	jobs.Plan // without its texts
	week      *week.Week
	plan      *week.Plan
	kept      []jobs.KeptOut
}

// planCache keeps the newest handed-out plan of each branch as it was read
// last: reading the texts of a week costs more than all else that the Week
// page asks for.
type planCache struct {
	mu sync.Mutex
	of map[string]*handedPlan // by branch
}

// handed reads a branch's plan by its number, from the cache where it is there.
// CodeNotFound.
func (d *Desk) handed(tx *store.Tx, branchID string, number int64) (*handedPlan, error) {
	d.plans.mu.Lock()
	had := d.plans.of[branchID]
	d.plans.mu.Unlock()
	if had != nil && had.Number == number {
		return had, nil
	}
	p, err := tx.PlanByNumber(branchID, number)
	if err != nil {
		return nil, err
	}
	got := &handedPlan{Plan: p}
	if got.week, got.plan, err = readDraft(p.Week, p.Body); err != nil {
		return nil, err
	}
	if got.kept, err = tx.KeptOut(p.DraftID); err != nil {
		return nil, err
	}
	got.Plan.Week, got.Plan.Body = "", ""
	d.plans.mu.Lock()
	defer d.plans.mu.Unlock()
	if d.plans.of == nil {
		d.plans.of = map[string]*handedPlan{}
	}
	if now := d.plans.of[branchID]; now == nil || now.Number < number {
		d.plans.of[branchID] = got
	}
	return got, nil
}
