package desk

import (
	"testing"
	"time"

	"ebbline/jobs"
)

// Nobody is told that a day is withdrawn whose crew has come, nor that a pool
// need not be lowered that was worked on.
func TestWhatHappenedIsNotTakenBack(t *testing.T) {
	begunAt := time.Date(2026, 3, 3, 15, 0, 0, 0, time.UTC)
	h := prepared{jobs: map[string]jobs.Job{
		"begun": {Visits: []jobs.Visit{{ID: "v1", Kind: jobs.VisitConvert, BegunAt: begunAt}, {ID: "v2", Kind: jobs.VisitCommission}}},
		"ahead": {Visits: []jobs.Visit{{ID: "v3", Kind: jobs.VisitConvert}}},
	}}
	for name, c := range map[string]struct {
		change  jobs.ChangeKind
		job, of string
		want    bool
	}{
		"booking of a crew that came":   {jobs.ChangeWithdrawn, "begun", "v1", true},
		"booking still ahead":           {jobs.ChangeWithdrawn, "begun", "v2", false},
		"lowering of a pool worked on":  {jobs.ChangeWithdrawn, "begun", "", true},
		"lowering of a pool left alone": {jobs.ChangeWithdrawn, "ahead", "", false},
		"a change is always told":       {jobs.ChangeChanged, "begun", "v1", false},
	} {
		got := h.happened(jobs.NoticeStep{Change: c.change, Old: &jobs.Notice{JobID: c.job, VisitID: c.of}})
		if got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}
