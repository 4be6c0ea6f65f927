package store_test

import (
	"fmt"
	"testing"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
	"ebbline/jobs/store/storetest"
)

// A crew's day that was shortened: the newest sheet is of no use any more, the
// older one would be. What the reader heard last is what counts, so the newest is
// read too; else the next revision would take its number.
func TestNewestRevisionCountsAlsoWhenItsUseIsOver(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		routed(t, st)
		note := func(n int, revision int64, until time.Time) jobs.Notice {
			return jobs.Notice{ID: id(n), BranchID: id(1), JobID: id(50), PlanID: id(70), Kind: jobs.NoticePrep, Thing: "prep/a", Revision: revision, Channel: jobs.ChannelEmail,
				Facts: jobs.NoticeFacts{JobNumber: 1}, MessageID: fmt.Sprint(n), State: jobs.NoticeSent, DueAt: now, UsefulUntil: until, CreatedAt: now}
		}
		must(t, st.InTx(ctx, func(tx *store.Tx) error {
			return tx.InsertNotices([]jobs.Notice{note(90, 1, now.Add(time.Hour)), note(91, 2, now.Add(-time.Minute))})
		}))
		must(t, st.View(ctx, func(tx *store.Tx) error {
			got, err := tx.NoticesAbout(id(1), nil, now)
			must(t, err)
			if len(got) != 2 {
				t.Errorf("%d revisions, want both", len(got))
			}
			if steps := jobs.DiffNotices(got, nil, now); len(steps) != 0 {
				t.Errorf("what is over is taken back: %+v", steps)
			}
			return nil
		}))
	})
}
