package store

import (
	"strconv"
	"time"

	"ebbline/jobs"
)

type auditRow struct {
	ID        string
	At        int64
	UserID    *string
	Role      string
	ActorName string
	LinkID    *string
	Act       string
	Noun      string
	NounID    string
	Version   int64
	BranchID  *string
	Note      string
}

func (auditRow) TableName() string { return "audit" }

// InsertAudit writes what an act did.
func (tx *Tx) InsertAudit(e jobs.AuditEntry) error {
	return tx.insert(&auditRow{
		ID: e.ID, At: secs(e.At), UserID: maybeText(e.Actor.UserID), Role: string(e.Actor.Role),
		ActorName: e.Actor.Name, LinkID: maybeText(e.Actor.LinkID), Act: e.Act, Noun: e.Noun,
		NounID: e.NounID, Version: e.Version, BranchID: maybeText(e.BranchID), Note: e.Note,
	})
}

// Audit reads what was done to a thing, oldest first.
func (tx *Tx) Audit(noun, id string) ([]jobs.AuditEntry, error) {
	rows, err := all[auditRow](tx, "at, id", "noun = ? AND noun_id = ?", noun, id)
	out := make([]jobs.AuditEntry, len(rows))
	for i, r := range rows {
		out[i] = r.entry()
	}
	return out, err
}

func (r auditRow) entry() jobs.AuditEntry {
	return jobs.AuditEntry{
		ID: r.ID, At: instant(r.At),
		Actor: jobs.Actor{UserID: text(r.UserID), Role: jobs.Role(r.Role), Name: r.ActorName, LinkID: text(r.LinkID)},
		Act:   r.Act, Noun: r.Noun, NounID: r.NounID, Version: r.Version, BranchID: text(r.BranchID), Note: r.Note,
	}
}

// AuditOf reads a part of what was done to any of several things, the newest
// first.
func (tx *Tx) AuditOf(ids []string, page jobs.Page) (jobs.List[jobs.AuditEntry], error) {
	after, err := readCursor(page)
	if err != nil {
		return jobs.List[jobs.AuditEntry]{}, err
	}
	q := tx.db.Where("noun_id IN ?", ids).Order("at DESC, id DESC").Limit(page.Size() + 1)
	if after.ID != "" {
		at, err := strconv.ParseInt(after.Key, 10, 64)
		if err != nil {
			return jobs.List[jobs.AuditEntry]{}, wrongCursor(page)
		}
		q = q.Where("(at, id) < (?, ?)", at, after.ID)
	}
	var rows []auditRow
	if err := q.Find(&rows).Error; err != nil {
		return jobs.List[jobs.AuditEntry]{}, err
	}
	part := cut(rows, page.Size(), func(r auditRow) cursor { return cursor{strconv.FormatInt(r.At, 10), r.ID} })
	out := jobs.List[jobs.AuditEntry]{Next: part.Next}
	for _, r := range part.Items {
		out.Items = append(out.Items, r.entry())
	}
	return out, nil
}

// FactsMark counts what was done since an instant that plans are made from, in
// the branch and for all branches. Entries are only added: two equal counts
// from the same instant mean that nothing changed between them. Drafts, runs
// and sign-ins are no facts of a week; a draft that mends is, for what happened
// was recorded with it.
func (tx *Tx) FactsMark(branchID string, since time.Time) (int64, error) {
	var n int64
	err := tx.db.Model(&auditRow{}).Where("at >= ? AND (branch_id = ? OR branch_id IS NULL) AND (noun NOT IN ? OR act = ?)", secs(since), branchID,
		[]string{"draft", "plan_run", "session", "user"}, "mendWeek").Count(&n).Error
	return n, err
}
