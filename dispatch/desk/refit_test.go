package desk_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/dispatch/week"
	"ebbline/estimate"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// tableAt reads a table of the week where a pool's draining began.
func tableAt(t week.Table, x int64) int64 {
	for i := 1; i < len(t); i++ {
		if a, b := t[i-1], t[i]; x <= b.X {
			return a.Y + (x-a.X)*(b.Y-a.Y)/(b.X-a.X)
		}
	}
	return t[len(t)-1].Y
}

// A customer's pool falls half as fast as estimated: Prep watch says so with a
// band, and the week's tables follow; a slip of the pen moves neither.
func TestReadingsMoveTheWeek(t *testing.T) {
	eachOffice(t, func(h *hands) {
		y := h.yard("customer")
		d := h.planned("2026-03-03")
		h.made(h.HandOut(ctx, h.office(), d.ID, d.Version))
		id := y.jobs[0]
		row := func() desk.PrepRow {
			h.Helper()
			list, err := h.ListPrep(ctx, h.branch)
			h.must(err)
			if len(list) != 1 {
				h.Fatalf("%d pools on Prep watch", len(list))
			}
			return list[0]
		}
		lowBy := func() (late, early time.Duration) { // after the start, as the week has it
			h.Helper()
			w, _ := h.files(h.planned("2026-03-03"))
			for _, j := range w.Jobs {
				if j.ID == id && j.Water != nil && j.Water.DrainedAt != nil {
					x := *j.Water.DrainedAt
					return time.Duration(tableAt(j.Water.LowLate, x)-x) * time.Second, time.Duration(tableAt(j.Water.LowEarly, x)-x) * time.Second
				}
			}
			h.Fatalf("no running drain in the week: %+v", w.Jobs)
			return 0, 0
		}
		e := h.keptEstimate(id)
		run, ok := e.Draining("")
		if !ok {
			t.Fatal("the estimate has no drain")
		}
		start := row().Drain.ToldTo
		h.now = start
		_, err := h.AddAnswer(ctx, h.office(), id, jobs.AnswerStarted, "")
		h.must(err)
		asEstimated, _ := lowBy()
		read := func(after time.Duration, below int64) {
			h.Helper()
			h.now = start.Add(after)
			_, err := h.AddReading(ctx, h.office(), id, desk.NewReading{Text: fmt.Sprintf("%.2f", float64(below)/25_400), Unit: "in"})
			h.must(err)
		}
		half := func(after time.Duration) int64 { // where the level stands at half the rate
			return run.Level + int64(float64(run.Target-run.Level)*after.Seconds()/float64(run.Drain.Median)/2)
		}
		read(time.Hour, half(time.Hour))
		read(2*time.Hour, half(2*time.Hour))
		f := row().Facts
		if f.LowAt == nil || f.LowEarly == nil || f.LowLate == nil || f.LowEarly.After(*f.LowAt) || f.LowAt.After(*f.LowLate) || f.Doubt != "" {
			t.Fatalf("low at %v, from %v to %v, %q", f.LowAt, f.LowEarly, f.LowLate, f.Doubt)
		}
		late, early := lowBy()
		if late <= asEstimated || early >= late || start.Add(late).Sub(*f.LowLate).Abs() > time.Minute || start.Add(early).Sub(*f.LowEarly).Abs() > time.Minute {
			t.Errorf("low after %v to %v, as estimated %v; Prep watch has %v to %v", early, late, asEstimated, f.LowEarly, f.LowLate)
		}
		h.now = start.Add(2*time.Hour + 30*time.Minute)
		read(150*time.Minute, run.Target*3) // somebody wrote feet for inches
		f = row().Facts
		if s := row(); s.State == jobs.PrepReached || !strings.Contains(f.Doubt, "put aside") || !strings.Contains(s.Says, "put aside") {
			t.Errorf("a slip counts as low: %s, %s", s.State, s.Says)
		}
		if again, _ := lowBy(); (again - late).Abs() > 10*time.Hour { // at most across one night
			t.Errorf("a slip moves the week from %v to %v", late, again)
		}
		_, err = h.AddAnswer(ctx, h.office(), id, jobs.AnswerReached, "")
		h.must(err)
		if now, _ := lowBy(); now > 150*time.Minute {
			t.Errorf("said to be low after 2 h 30 min, planned as low after %v", now)
		}
	})
}

func (h *hands) keptEstimate(jobID string) estimate.Estimate {
	h.Helper()
	var e estimate.Estimate
	h.must(h.store.View(ctx, func(tx *store.Tx) error {
		j, err := tx.Job(jobID)
		if err != nil {
			return err
		}
		kept, err := tx.Estimate(j.EstimateID)
		if err != nil {
			return err
		}
		e, err = estimate.Decode(kept.Body)
		return err
	}))
	return e
}
