package store

import (
	"strconv"
	"time"

	"gorm.io/gorm"

	"ebbline/jobs"
)

// notOver are the states in which a notice may still have to be sent.
var notOver = []string{string(jobs.NoticeDue), string(jobs.NoticeClaimed), string(jobs.NoticeHandedOver)}

// claimable narrows to notices that somebody should send now: due by the
// business clock and not waiting for a later try, or held by a sender whose
// lease has run out.
func claimable(db *gorm.DB, now time.Time, leaseNow int64) *gorm.DB {
	return db.Where("(state = ? AND due_at <= ? AND next_try_at <= ?) OR (state IN ? AND lease_until < ?)",
		string(jobs.NoticeDue), secs(now), leaseNow, []string{string(jobs.NoticeClaimed), string(jobs.NoticeHandedOver)}, leaseNow)
}

// NoticesToRing reads the ids of notices to send now for which the bell was
// not rung within the last quiet seconds, and notes that it rings now.
func (tx *Tx) NoticesToRing(now time.Time, quiet time.Duration, limit int) ([]string, error) {
	leaseNow, err := LeaseNow(tx)
	if err != nil {
		return nil, err
	}
	var ids []string
	err = claimable(tx.db.Model(&noticeRow{}), now, leaseNow).Where("rung_at <= ?", leaseNow-int64(quiet/time.Second)).
		Order("due_at, id").Limit(limit).Pluck("id", &ids).Error
	if err != nil || len(ids) == 0 {
		return nil, err
	}
	return ids, tx.db.Model(&noticeRow{}).Where("id IN ?", ids).Updates(map[string]any{"rung_at": leaseNow}).Error
}

// ClaimNotice makes the caller the notice's sender until the lease ends: the
// state becomes claimed, fence and attempts rise. false: it is over, not due,
// or another holds it. before is the state it was claimed from.
func (tx *Tx) ClaimNotice(id string, now time.Time, lease time.Duration) (n jobs.Notice, before jobs.NoticeState, ok bool, err error) {
	if n, err = tx.Notice(id); err != nil {
		return n, "", false, err
	}
	before = n.State
	leaseNow, err := LeaseNow(tx)
	if err != nil {
		return n, before, false, err
	}
	done := claimable(tx.db.Model(&noticeRow{}), now, leaseNow).Where("id = ? AND fence = ?", id, n.Fence).
		Updates(map[string]any{"state": string(jobs.NoticeClaimed), "fence": n.Fence + 1, "attempts": n.Attempts + 1,
			"lease_until": leaseNow + int64(lease/time.Second)})
	if done.Error != nil || done.RowsAffected == 0 {
		return n, before, false, done.Error
	}
	n, err = tx.Notice(id)
	return n, before, err == nil, err
}

// HandOverNotice is the last look before the point of no return: CodeConflict
// when the notice was replaced, or claimed by another, or the lease has ended.
func (tx *Tx) HandOverNotice(n jobs.Notice) error {
	leaseNow, err := LeaseNow(tx)
	if err != nil {
		return err
	}
	done := tx.db.Model(&noticeRow{}).
		Where("id = ? AND state = ? AND fence = ? AND lease_until >= ?", n.ID, string(jobs.NoticeClaimed), n.Fence, leaseNow).
		Updates(map[string]any{"state": string(jobs.NoticeHandedOver)})
	return oneNotice(done)
}

// EndNotice writes how the holder's attempt ended: sent, failed, unknown,
// suppressed, or due again after wait. CodeConflict when another holds it.
func (tx *Tx) EndNotice(n jobs.Notice, wait time.Duration) error {
	leaseNow, err := LeaseNow(tx)
	if err != nil {
		return err
	}
	done := tx.db.Model(&noticeRow{}).Where("id = ? AND state IN ? AND fence = ?", n.ID, notOver, n.Fence).
		Updates(map[string]any{"attempts": n.Attempts, "state": string(n.State), "sent_at": maybeSecs(n.SentAt), "file": n.File, "error": n.Error,
			"lease_until": 0, "next_try_at": leaseNow + int64(wait/time.Second), "rung_at": 0})
	return oneNotice(done)
}

// PutOffNotice gives a notice back that its holder may not send before the
// instant; the attempt does not count. CodeConflict when another holds it.
func (tx *Tx) PutOffNotice(n jobs.Notice, until time.Time) error {
	done := tx.db.Model(&noticeRow{}).Where("id = ? AND state = ? AND fence = ?", n.ID, string(jobs.NoticeClaimed), n.Fence).
		Updates(map[string]any{"state": string(jobs.NoticeDue), "due_at": secs(until), "attempts": n.Attempts - 1,
			"lease_until": 0, "next_try_at": 0, "rung_at": 0})
	return oneNotice(done)
}

// TryNoticeAgain makes a failed or unknown notice due once more.
func (tx *Tx) TryNoticeAgain(id string) error {
	done := tx.db.Model(&noticeRow{}).Where("id = ? AND state IN ?", id, []string{string(jobs.NoticeFailed), string(jobs.NoticeUnknown)}).
		Updates(map[string]any{"state": string(jobs.NoticeDue), "attempts": 0, "next_try_at": 0, "rung_at": 0, "error": ""})
	if done.Error == nil && done.RowsAffected == 0 {
		return jobs.Errorf(jobs.CodeConflict, "Only a notice that failed, or of which it is not known whether it was sent, can be tried again")
	}
	return done.Error
}

func oneNotice(done *gorm.DB) error {
	if done.Error == nil && done.RowsAffected == 0 {
		return jobs.Errorf(jobs.CodeConflict, "This notice is no longer this sender's to send")
	}
	return done.Error
}

// NoticeFilter narrows a list of notices; empty fields narrow nothing.
type NoticeFilter struct {
	BranchID string
	State    string
	JobID    string
}

// Notices reads a part of the list, the latest due first.
func (tx *Tx) Notices(filter NoticeFilter, page jobs.Page) (jobs.List[jobs.Notice], error) {
	var none jobs.List[jobs.Notice]
	after, err := readCursor(page)
	if err != nil {
		return none, err
	}
	q := tx.db.Order("due_at DESC, id DESC").Limit(page.Size() + 1)
	if after.ID != "" {
		due, err := strconv.ParseInt(after.Key, 10, 64)
		if err != nil {
			return none, wrongCursor(page)
		}
		q = q.Where("(due_at, id) < (?, ?)", due, after.ID)
	}
	for column, value := range map[string]string{"branch_id": filter.BranchID, "state": filter.State, "job_id": filter.JobID} {
		if value != "" {
			q = q.Where(column+" = ?", value)
		}
	}
	var rows []noticeRow
	if err := q.Find(&rows).Error; err != nil {
		return none, err
	}
	part := cut(rows, page.Size(), func(r noticeRow) cursor { return cursor{strconv.FormatInt(r.DueAt, 10), r.ID} })
	list := each(part.Items, noticeRow.notice)
	return jobs.List[jobs.Notice]{Items: list, Next: part.Next}, tx.nameNotices(list)
}

// NoticesOf reads all revisions of one thing.
func (tx *Tx) NoticesOf(thing string) ([]jobs.Notice, error) {
	rows, err := all[noticeRow](tx, "revision", "thing = ?", thing)
	return each(rows, noticeRow.notice), err
}

// NoticeNamed reads one notice with its job's number and its reader's name.
// CodeNotFound.
func (tx *Tx) NoticeNamed(id string) (jobs.Notice, error) {
	n, err := tx.Notice(id)
	if err != nil {
		return n, err
	}
	list := []jobs.Notice{n}
	err = tx.nameNotices(list)
	return list[0], err
}

// nameNotices fills in job numbers and readers' names.
func (tx *Tx) nameNotices(list []jobs.Notice) error {
	var jobIDs, contactIDs, personIDs []string
	for _, n := range list {
		jobIDs, contactIDs, personIDs = append(jobIDs, n.JobID), append(contactIDs, n.ContactID), append(personIDs, n.PersonID)
	}
	type named struct {
		ID, Name string
		Number   int64
	}
	names, numbers := map[string]string{}, map[string]int64{}
	for table, ids := range map[string][]string{"contacts": contactIDs, "persons": personIDs} {
		var rows []named
		if err := tx.db.Table(table).Select("id, name").Where("id IN ?", ids).Scan(&rows).Error; err != nil {
			return err
		}
		for _, r := range rows {
			names[r.ID] = r.Name
		}
	}
	var rows []named
	if err := tx.db.Table("jobs").Select("id, number").Where("id IN ?", jobIDs).Scan(&rows).Error; err != nil {
		return err
	}
	for _, r := range rows {
		numbers[r.ID] = r.Number
	}
	for i := range list {
		list[i].JobNumber = numbers[list[i].JobID]
		if list[i].ToName = names[list[i].ContactID]; list[i].ToName == "" {
			list[i].ToName = names[list[i].PersonID]
		}
	}
	return nil
}

// NoticeCounts is how many notices stand in each state, for the metrics.
func (tx *Tx) NoticeCounts() (map[string]int64, error) {
	var rows []struct {
		State string
		N     int64
	}
	err := tx.db.Model(&noticeRow{}).Select("state, count(*) AS n").Group("state").Scan(&rows).Error
	out := map[string]int64{}
	for _, r := range rows {
		out[r.State] = r.N
	}
	return out, err
}
