package desk

import (
	"testing"
	"time"

	"ebbline/jobs"
)

// Readers know what they were told last, not all that they were ever told.
func TestToldSame(t *testing.T) {
	at := time.Unix(1_772_562_600, 0)
	told := func(revision int64, from time.Time, state jobs.NoticeState) jobs.Notice {
		return jobs.Notice{Thing: "late/v/c", Revision: revision, State: state, Facts: jobs.NoticeFacts{From: from.Unix()}}
	}
	for _, c := range []struct {
		what  string
		known []jobs.Notice
		same  bool
	}{
		{"nothing yet", nil, false},
		{"the same", []jobs.Notice{told(1, at, jobs.NoticeSent)}, true},
		{"29 minutes from it", []jobs.Notice{told(1, at.Add(-29*time.Minute), jobs.NoticeSent)}, true},
		{"30 minutes from it", []jobs.Notice{told(1, at.Add(-30*time.Minute), jobs.NoticeSent)}, false},
		{"later than this by now", []jobs.Notice{told(1, at, jobs.NoticeSent), told(2, at.Add(time.Hour), jobs.NoticeSent)}, false},
		{"replaced before it left", []jobs.Notice{told(1, at, jobs.NoticeSent), told(2, at.Add(time.Hour), jobs.NoticeSuperseded)}, true},
	} {
		if got := toldSame(c.known, at); got != c.same {
			t.Errorf("%s: %v", c.what, got)
		}
	}
}
