package desk_test

import (
	"testing"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
)

// A run keeps its cost over time, by heads, and never more points than are drawn.
func TestRunKeepsItsSeries(t *testing.T) {
	var r jobs.PlanRun
	for i := range 10 * jobs.MaxSeries {
		r.Note(jobs.RunPoint{Round: int64(i)})
		if len(r.Series) > jobs.MaxSeries || r.Series[0].Round != 0 || r.Series[len(r.Series)-1].Round != int64(i) {
			t.Fatalf("after %d: %d points, first %d, last %d", i, len(r.Series), r.Series[0].Round, r.Series[len(r.Series)-1].Round)
		}
	}
	for i := 1; i < len(r.Series); i++ {
		if r.Series[i].Round <= r.Series[i-1].Round {
			t.Fatalf("%d after %d", r.Series[i].Round, r.Series[i-1].Round)
		}
	}
	eachOffice(t, func(h *hands) {
		h.yard("crew_pump")
		d := h.plannedIn("2026-03-03", 3)
		run, err := h.PlanRun(ctx, d.RunID)
		h.must(err)
		last := run.Series[len(run.Series)-1]
		sum := jobs.Cents(0)
		for _, c := range last.Heads {
			sum += c.Cents
		}
		if last.Total != *d.Cost || sum != last.Total || run.Mode != jobs.RunPlan || run.Kept != nil {
			t.Errorf("the last point %+v, the draft costs %s", last, *d.Cost)
		}
	})
}

func TestRunWithAWantedKeepRate(t *testing.T) {
	eachOffice(t, func(h *hands) {
		h.yard("customer", "crew_pump")
		d := h.plannedIn("2026-03-03", 3)
		h.made(h.HandOut(ctx, h.office(), d.ID, d.Version)) // so that something is promised
		h.now = h.now.Add(time.Hour)
		id := h.made(h.CreateDraft(ctx, h.office(), h.branch, jobs.NewDraft{FirstDay: "2026-03-03", Days: 5}))
		_, err := h.StartPlanRun(ctx, h.office(), id, jobs.RunData{KeepPermille: 1200})
		h.wants(err, jobs.CodeInvalid, "keep_permille")
		run := h.made(h.StartPlanRun(ctx, h.office(), id, jobs.RunData{Rounds: 3, Strands: 1, KeepPermille: 900}))
		h.must(h.RunPlan(ctx, run, nil))
		r, err := h.PlanRun(ctx, run)
		h.must(err)
		if r.State != jobs.RunDone || r.KeepPermille != 900 || r.Kept == nil || *r.Kept < 0 || *r.Kept > 1000 {
			t.Errorf("run %s %s: kept %v", r.State, r.Error, r.Kept)
		}
	})
}

// A draft whose base was overtaken says so, can't be handed out, and goes on from
// what holds once it is planned again.
func TestOutdatedDraftIsPlannedAgain(t *testing.T) {
	eachOffice(t, func(h *hands) {
		h.yard("crew_pump", "customer")
		old, d := h.plannedIn("2026-03-03", 3), h.planned("2026-03-03")
		h.made(h.HandOut(ctx, h.office(), d.ID, d.Version))
		got, err := h.Draft(ctx, old.ID)
		h.must(err)
		list, err := h.Drafts(ctx, desk.DraftFilter{BranchID: h.branch}, jobs.Page{})
		h.must(err)
		outdated := 0
		for _, x := range list.Items {
			if x.Outdated {
				outdated++
			}
		}
		if !got.Outdated || outdated != 1 {
			t.Errorf("outdated: %v, %d in the list", got.Outdated, outdated)
		}
		_, err = h.HandOut(ctx, h.office(), old.ID, got.Version)
		h.wants(err, jobs.CodeConflict, "plan 1 since this draft was planned; plan it again")
		h.made(h.StartPlanRun(ctx, h.office(), old.ID, jobs.RunData{Rounds: 3, Strands: 1}))
		got, err = h.Draft(ctx, old.ID)
		h.must(err)
		h.must(h.RunPlan(ctx, got.RunID, nil))
		got, err = h.Draft(ctx, old.ID)
		h.must(err)
		if got.Outdated || got.BasePlanNumber != 1 {
			t.Errorf("planned again: outdated %v, from plan %d", got.Outdated, got.BasePlanNumber)
		}
		h.made(h.HandOut(ctx, h.office(), old.ID, got.Version))
	})
}
