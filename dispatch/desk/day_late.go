package desk

import (
	"context"
	"strconv"
	"strings"
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
		if err := tx.HoldBranch(branchID); err != nil { // two who tell at once tell once
			return Outcome{}, err
		}
		told := 0
		for i, s := range late {
			if x, err := tx.Visit(s.VisitID); err != nil || x.State != jobs.VisitRouted {
				if err != nil {
					return Outcome{}, err
				}
				continue // somebody came meanwhile
			}
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

// toldSame says whether what each reader was told last was about the same
// instant. known is ordered by thing and revision.
func toldSame(known []jobs.Notice, at time.Time) bool {
	last := map[string]jobs.Notice{}
	for _, n := range known {
		if n.State != jobs.NoticeSuperseded {
			last[n.Thing] = n
		}
	}
	for _, n := range last {
		if time.Unix(n.Facts.From, 0).Sub(at).Abs() < lateAgain {
			return true
		}
	}
	return false
}

// lateNoMore says why a notice that waited to be sent tells of nobody late any
// more: the crew came, or another window holds. Empty: it still does.
func lateNoMore(tx *store.Tx, n jobs.Notice) (string, error) {
	_, rest, _ := strings.Cut(n.Thing, "/")
	visitID, _, _ := strings.Cut(rest, "/")
	v, err := tx.Visit(visitID)
	if err != nil {
		return "", err
	}
	switch v.State {
	case jobs.VisitRouted:
	case jobs.VisitUnderWay, jobs.VisitDone, jobs.VisitWasted:
		return "The crew came meanwhile", nil
	default:
		return "The visit was taken out of the plan meanwhile", nil
	}
	promises, err := tx.PromisesOf(visitID)
	if p, ok := promises[visitID]; ok && p.ToAt.Unix() != n.Facts.To {
		return "Another window was told meanwhile", err
	}
	return "", err
}
