package desk

import (
	"context"
	"strconv"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// Customers are told that a crew is late once it is expected lateLeast after the
// window that was promised, and again only when that has moved by lateAgain.
const (
	lateLeast = 15 * 60
	lateAgain = 30 * time.Minute
)

// TellLate tells the customers of today whose crew will come after the promised
// window, at the next decent hour; whoever was told the same already hears
// nothing. The note says how many visits it was told of. CodeNotFound,
// CodeConflict (nothing handed out, the plan's days are over).
func (d *Desk) TellLate(ctx context.Context, call Call, branchID string) (Outcome, error) {
	if out, done, err := d.before(ctx, call, "tellLate"); done || err != nil {
		return out, err
	}
	day, err := d.DayNow(ctx, branchID)
	if err != nil {
		return Outcome{}, err
	}
	var list []telling
	var late []DayStop
	for _, s := range day.Late {
		if *s.Late >= lateLeast {
			t := d.newTelling(jobs.NoticeLate, s.VisitID, s.ExpectedEnd)
			t.facts = jobs.NoticeFacts{VisitKind: s.Kind, From: s.ExpectedAt.Unix(), To: s.PromiseTo.Unix()}
			list, late = append(list, t), append(late, s)
		}
	}
	id := d.ids.New()
	out, err := d.act(ctx, call, "tellLate", func(tx *store.Tx) (Outcome, error) {
		told := 0
		for i, s := range late {
			known, err := tx.NoticesOfVisit(s.VisitID, jobs.NoticeLate)
			if err != nil {
				return Outcome{}, err
			}
			if toldSame(known, s.ExpectedAt) {
				continue
			}
			j, err := tx.Job(s.JobID)
			if err != nil {
				return Outcome{}, err
			}
			if err := d.tell(tx, j, call.Now, list[i]); err != nil {
				return Outcome{}, err
			}
			told++
		}
		return Outcome{Noun: "day", NounID: id, Version: 1, BranchID: branchID, Note: strconv.Itoa(told)}, nil
	})
	if err == nil {
		d.bell.Ring(ctx, BellNotice)
	}
	return out, err
}

// toldSame says whether the newest of the notices said about the same instant.
func toldSame(known []jobs.Notice, at time.Time) bool {
	for _, n := range known {
		if n.State != jobs.NoticeSuperseded && time.Unix(n.Facts.From, 0).Sub(at).Abs() < lateAgain {
			return true
		}
	}
	return false
}
