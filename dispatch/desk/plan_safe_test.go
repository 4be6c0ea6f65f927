package desk_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// TestMadeSafeWaitsForADecision follows a conversion that stops half way: it
// waits for the office, and is planned again while the pool is held low.
func TestMadeSafeWaitsForADecision(t *testing.T) {
	eachOffice(t, func(h *hands) {
		y := h.yard("crew_pump")
		d := h.planned("2026-03-03")
		h.made(h.HandOut(ctx, h.office(), d.ID, d.Version))
		stops, _, _, _ := h.live()
		slices.SortFunc(stops, func(a, b jobs.Stop) int { return a.StartAt.Compare(b.StartAt) })
		for _, s := range stops[:2] { // the drain, then half a conversion
			h.now = s.StartAt
			h.begin(s)
			h.now = s.EndAt
			h.done(s)
		}
		h.must(h.store.InTx(ctx, func(tx *store.Tx) error {
			v, err := tx.Visit(stops[1].VisitID)
			h.must(err)
			if v.Kind != jobs.VisitConvert {
				t.Fatalf("the second stop is a %s", v.Kind)
			}
			v.Outcome, v.UpdatedAt = string(jobs.OutcomeMadeSafe), h.now
			h.must(tx.UpdateVisit(v))
			j, err := tx.Job(y.jobs[0])
			h.must(err)
			j.State, j.ConvertedAt, j.UpdatedAt = jobs.StateMadeSafe, time.Time{}, h.now
			return tx.UpdateJob(j)
		}))
		in := jobs.NewDraft{FirstDay: jobs.DayOf(h.now, h.zone()), Days: 5}
		kept, err := h.KeptOut(ctx, h.branch, in)
		h.must(err)
		if len(kept[1]) != 1 || !strings.Contains(kept[1][0], "made safe") {
			t.Errorf("kept out: %v", kept)
		}
		j, err := h.Job(ctx, h.office().Actor, y.jobs[0])
		h.must(err)
		until := h.now.Add(60 * time.Hour)
		_, err = h.ActOnJob(ctx, h.office(), j.ID, j.Version, desk.JobAct{Act: jobs.ActHoldLow, Until: until})
		h.must(err)
		d2 := h.planned(in.FirstDay)
		w, p := h.files(d2)
		if len(w.Jobs) != 1 || w.Jobs[0].Water == nil || w.Jobs[0].Water.DrainedAt == nil || len(p.LeftOut) != 0 {
			t.Fatalf("held low, and the week is %+v, left out %+v", w.Jobs, p.LeftOut)
		}
		if len(p.Water) != 1 || p.Water[0].CoveredBy == nil {
			t.Fatalf("%+v", p.Water)
		}
		base := in.FirstDay.Start(h.zone()).Unix()
		if covered := base + *p.Water[0].CoveredBy; covered > until.Unix() {
			t.Errorf("covered %v, decided until %v", time.Unix(covered, 0).UTC(), until)
		}
	})
}
