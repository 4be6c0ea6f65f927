package desk

import (
	"testing"
	"time"

	"ebbline/jobs"
)

// What was said of a drain does not speak for the next one, after the pool was
// refilled to come back later.
func TestRefilledAfter(t *testing.T) {
	done := time.Date(2026, 3, 3, 20, 0, 0, 0, time.UTC)
	j := jobs.Job{Visits: []jobs.Visit{{Kind: jobs.VisitConvert, DoneAt: done}, {Kind: jobs.VisitCommission, DoneAt: done.Add(time.Hour)}}}
	if got := refilledAfter(j); !got.IsZero() {
		t.Errorf("held low: %v", got)
	}
	j.LowDecision = jobs.RefillAndReturn
	if got := refilledAfter(j); !got.Equal(done) {
		t.Errorf("refilled: %v, want the end of the work in the low pool %v", got, done)
	}
}
