package desk

import (
	"testing"
	"time"

	"ebbline/dispatch/week"
	"ebbline/jobs"
)

// A customer who was told when to start the drain keeps that interval in the next week,
// also when a crew has been there to prepare meanwhile; not when the pool was refilled
// since, and not when the job is no longer on its way.
func TestToldIntervalStaysTold(t *testing.T) {
	base := time.Date(2026, 3, 9, 0, 0, 0, 0, time.UTC)
	from, to := base.Add(18*time.Hour), base.Add(20*time.Hour)
	m := weekMaker{base: base.Unix(), facts: weekFacts{Now: base, FirstDay: "2026-03-09", Days: 5}}
	told := &week.Interval{Earliest: 18 * 3600, Latest: 20 * 3600}
	refilled := jobs.Job{State: jobs.StateUnderWay, LowDecision: jobs.RefillAndReturn,
		Visits: []jobs.Visit{{Kind: jobs.VisitConvert, DoneAt: base.Add(30 * time.Hour)}}}
	for _, c := range []struct {
		name string
		job  jobs.Job
		want *week.Interval
	}{
		{"routed", jobs.Job{State: jobs.StateRouted}, told},
		{"under way", jobs.Job{State: jobs.StateUnderWay}, told},
		{"approved again", jobs.Job{State: jobs.StateApproved}, nil},
		{"refilled since", refilled, nil},
	} {
		got := m.customer(&jobFacts{Job: c.job, Zone: time.UTC, Drain: &jobs.Drain{ToldFrom: from, ToldTo: to}}).Sent
		if (got == nil) != (c.want == nil) || got != nil && *got != *c.want {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
		}
	}
	if got := m.customer(&jobFacts{Job: jobs.Job{State: jobs.StateRouted}, Zone: time.UTC, Drain: &jobs.Drain{}}).Sent; got != nil {
		t.Errorf("nobody was told anything: %+v", got)
	}
}
