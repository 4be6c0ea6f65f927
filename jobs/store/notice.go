package store

import (
	"encoding/json"
	"slices"
	"time"

	"ebbline/jobs"
)

type noticeRow struct {
	ID           string
	BranchID     string
	JobID        *string
	VisitID      *string
	PlanID       *string
	ContactID    *string
	PersonID     *string
	Kind         string
	Thing        string
	Revision     int64
	Channel      string
	Address      string
	Language     string
	Zone         string
	Subject      string
	Body         string
	Facts        string
	ICalUID      string `gorm:"column:ical_uid"`
	ICalSequence int64  `gorm:"column:ical_sequence"`
	MessageID    string
	DueAt        int64
	UsefulUntil  int64
	State        string
	Fence        int64
	Attempts     int64
	LeaseUntil   int64
	NextTryAt    int64
	RungAt       int64
	SentAt       *int64
	File         string
	Error        string
	SupersededBy string
	CreatedAt    int64 `gorm:"autoCreateTime:false"`
}

func (noticeRow) TableName() string { return "notices" }

func (r noticeRow) notice() jobs.Notice {
	n := jobs.Notice{ID: r.ID, BranchID: r.BranchID, JobID: text(r.JobID), VisitID: text(r.VisitID), PlanID: text(r.PlanID),
		ContactID: text(r.ContactID), PersonID: text(r.PersonID), Kind: jobs.NoticeKind(r.Kind), Thing: r.Thing, Revision: r.Revision,
		Channel: jobs.Channel(r.Channel), Address: r.Address, Language: r.Language, Zone: r.Zone, Subject: r.Subject, Body: r.Body,
		ICalUID: r.ICalUID, ICalSequence: r.ICalSequence, MessageID: r.MessageID, DueAt: instant(r.DueAt), UsefulUntil: instant(r.UsefulUntil),
		State: jobs.NoticeState(r.State), Fence: r.Fence, Attempts: r.Attempts, LeaseUntil: r.LeaseUntil, NextTryAt: r.NextTryAt,
		RungAt: r.RungAt, SentAt: maybeInstant(r.SentAt), File: r.File, Error: r.Error, SupersededBy: r.SupersededBy, CreatedAt: instant(r.CreatedAt)}
	_ = json.Unmarshal([]byte(r.Facts), &n.Facts) // ours: written by InsertNotices
	return n
}

// InsertNotices writes rows of the outbox.
func (tx *Tx) InsertNotices(list []jobs.Notice) error {
	rows := make([]noticeRow, len(list))
	for i, n := range list {
		facts, err := json.Marshal(n.Facts)
		if err != nil {
			return err
		}
		rows[i] = noticeRow{ID: n.ID, BranchID: n.BranchID, JobID: maybeText(n.JobID), VisitID: maybeText(n.VisitID), PlanID: maybeText(n.PlanID),
			ContactID: maybeText(n.ContactID), PersonID: maybeText(n.PersonID), Kind: string(n.Kind), Thing: n.Thing, Revision: n.Revision,
			Channel: string(n.Channel), Address: n.Address, Language: n.Language, Zone: n.Zone, Subject: n.Subject, Body: n.Body, Facts: string(facts),
			ICalUID: n.ICalUID, ICalSequence: n.ICalSequence, MessageID: n.MessageID, DueAt: secs(n.DueAt), UsefulUntil: secs(n.UsefulUntil),
			State: string(n.State), Error: n.Error, CreatedAt: secs(n.CreatedAt)}
	}
	for len(rows) > 0 {
		part := rows[:min(len(rows), 100)]
		rows = rows[len(part):]
		if err := tx.insert(&part); err != nil {
			return err
		}
	}
	return nil
}

// SupersedeNotice says that a later revision (by; empty: nothing) holds in place
// of this one. What has not left is stopped: its state changes and its fence
// rises, so that a sender who holds it finds out before it lets go. What has
// left keeps its state.
func (tx *Tx) SupersedeNotice(id, by string) error {
	err := tx.db.Model(&noticeRow{}).Where("id = ?", id).Updates(map[string]any{"superseded_by": by}).Error
	if err != nil {
		return err
	}
	return tx.db.Exec(`UPDATE notices SET state = ?, fence = fence + 1 WHERE id = ? AND state IN ?`,
		string(jobs.NoticeSuperseded), id, []string{string(jobs.NoticeDue), string(jobs.NoticeClaimed), string(jobs.NoticeFailed)}).Error
}

// NoticesAbout reads all revisions of the things, and of those whose use is not
// over at the instant, of a branch and of the kinds that follow from plans.
func (tx *Tx) NoticesAbout(branchID string, things []string, at time.Time) ([]jobs.Notice, error) {
	kinds := append([]jobs.NoticeKind{jobs.NoticeWithdrawn}, jobs.PlanKinds...)
	rows, err := all[noticeRow](tx, "thing, revision", "branch_id = ? AND kind IN ? AND useful_until > ?", branchID, kinds, secs(at))
	if err != nil {
		return nil, err
	}
	// Of each of them the newest revision counts, also where its use is over and
	// an older one's is not.
	asked := map[string]bool{}
	for _, thing := range things {
		asked[thing] = true
	}
	things = slices.Clone(things)
	for _, r := range rows {
		if !asked[r.Thing] {
			asked[r.Thing] = true
			things = append(things, r.Thing)
		}
	}
	for len(things) > 0 {
		part := things[:min(len(things), 500)]
		things = things[len(part):]
		more, err := all[noticeRow](tx, "thing, revision", "branch_id = ? AND thing IN ? AND useful_until <= ?", branchID, part, secs(at))
		if err != nil {
			return nil, err
		}
		rows = append(rows, more...)
	}
	return each(rows, noticeRow.notice), nil
}

// NoticesOfJob reads the notices about a job whose use is not over at the
// instant, by thing.
func (tx *Tx) NoticesOfJob(jobID string, at time.Time) ([]jobs.Notice, error) {
	rows, err := all[noticeRow](tx, "thing, revision", "job_id = ? AND useful_until > ?", jobID, secs(at))
	return each(rows, noticeRow.notice), err
}

// NoticesOfPlan reads what a plan's handing out wrote, by thing.
func (tx *Tx) NoticesOfPlan(planID string) ([]jobs.Notice, error) {
	rows, err := all[noticeRow](tx, "thing, revision", "plan_id = ?", planID)
	return each(rows, noticeRow.notice), err
}

// Notice reads one notice. CodeNotFound.
func (tx *Tx) Notice(id string) (jobs.Notice, error) {
	row, err := first[noticeRow](tx, "notice", "id = ?", id)
	return row.notice(), err
}

// NoticeOfVisit says whether a notice of the kind about the visit was written.
func (tx *Tx) NoticeOfVisit(visitID string, kind jobs.NoticeKind) (bool, error) {
	var n int64
	err := tx.db.Model(&noticeRow{}).Where("kind = ? AND thing LIKE ?", string(kind), string(kind)+"/"+visitID+"/%").Count(&n).Error
	return n > 0, err
}

// NoticesOfVisit reads what was told of a visit in notices of one kind, by thing
// and revision.
func (tx *Tx) NoticesOfVisit(visitID string, kind jobs.NoticeKind) ([]jobs.Notice, error) {
	rows, err := all[noticeRow](tx, "thing, revision", "kind = ? AND thing LIKE ?", string(kind), string(kind)+"/"+visitID+"/%")
	return each(rows, noticeRow.notice), err
}
