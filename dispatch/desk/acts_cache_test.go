package desk_test

import (
	"fmt"
	"sync"
	"testing"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
)

// Many ask at once, of more plans than are kept laid out: each gets the answer
// that it would get alone.
func TestManyAskAtOnce(t *testing.T) {
	eachOffice(t, func(h *hands) {
		y := h.yard("customer", "crew_pump")
		var drafts []jobs.Draft
		var alone []desk.Tried
		change := jobs.WeekChange{Kind: jobs.WeekJobOut, JobID: y.jobs[0]}
		for i := range 8 { // two more than are kept
			d := h.plannedIn("2026-03-03", int64(1+i%2))
			got, err := h.Try(ctx, desk.ViewRef{DraftID: d.ID}, change)
			h.must(err)
			drafts, alone = append(drafts, d), append(alone, got)
		}
		var wg sync.WaitGroup
		errs := make(chan error, 64)
		for n := range 64 {
			wg.Add(1)
			go func() {
				defer wg.Done()
				i := n % len(drafts)
				got, err := h.Try(ctx, desk.ViewRef{DraftID: drafts[i].ID}, change)
				if err == nil && (got.TotalAfter != alone[i].TotalAfter || got.Says != alone[i].Says) {
					err = fmt.Errorf("draft %d: %s, alone %s", i, got.Says, alone[i].Says)
				}
				if err != nil {
					errs <- err
				}
			}()
		}
		wg.Wait()
		close(errs)
		for err := range errs {
			t.Error(err)
		}
	})
}
