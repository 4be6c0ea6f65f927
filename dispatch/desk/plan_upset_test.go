package desk_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// TestWeekWithUpsets lives weeks through in which things go wrong: crews start
// and end late, come for nothing, stay at home; storms close a day; nobody does
// anything for a day. Whatever stands, planning finds a plan that keeps what
// begun, and handing out succeeds.
func TestWeekWithUpsets(t *testing.T) {
	seeds := 3
	if testing.Short() {
		seeds = 1
	}
	for seed := range seeds {
		t.Run(fmt.Sprint("seed", seed), func(t *testing.T) {
			eachOffice(t, func(h *hands) { h.upsets(t, rand.New(rand.NewPCG(uint64(seed), 1))) })
		})
	}
}

func (h *hands) upsets(t *testing.T, random *rand.Rand) {
	y := h.yard("crew_pump", "customer", "pool_outlet", "crew_pump")
	d := h.planned("2026-03-03")
	h.made(h.HandOut(ctx, h.office(), d.ID, d.Version))
	for range 15 {
		stops, _, _, _ := h.live()
		stops = slices.DeleteFunc(stops, func(s jobs.Stop) bool { return !h.visit(s.VisitID).BegunAt.IsZero() })
		if len(stops) == 0 {
			break
		}
		next := slices.MinFunc(stops, func(a, b jobs.Stop) int { return a.StartAt.Compare(b.StartAt) })
		late := time.Duration(random.IntN(180)) * time.Minute
		if start := next.StartAt.Add(late / 6 * time.Duration(random.IntN(6))).Truncate(time.Second); start.After(h.now) {
			h.now = start
		}
		switch random.IntN(8) {
		case 0: // nobody comes; a day is lost
			h.now = h.now.Add(20 * time.Hour)
			h.again(t, "lost a day", jobs.Stop{})
			continue
		case 1:
			day := jobs.DayOf(h.now, h.zone()).Add(1)
			h.made(h.CreateAbsence(ctx, h.office(), h.branch, jobs.AbsenceData{CrewID: y.crews[random.IntN(2)], Day: day, ToMinute: 1440, Reason: "ill"}))
		case 2:
			day := jobs.DayOf(h.now, h.zone()).Add(1).Start(h.zone())
			h.made(h.CreateClosure(ctx, h.office(), h.branch, jobs.ClosureData{Kind: jobs.ClosureEverything, FromAt: day, ToAt: day.Add(24 * time.Hour), StopsPumping: true, Reason: "storm"}))
		}
		h.begin(next)
		h.again(t, "begun", next)
		h.now = h.now.Add(next.EndAt.Sub(next.StartAt)*time.Duration(2+random.IntN(4))/4 + late/3).Truncate(time.Second)
		if random.IntN(7) == 0 {
			h.wasted(next)
		} else {
			h.done(next)
		}
		h.again(t, "done", next)
	}
}

// wasted ends a visit that came for nothing and puts another in its place.
func (h *hands) wasted(s jobs.Stop) {
	h.must(h.store.InTx(ctx, func(tx *store.Tx) error {
		v, err := tx.Visit(s.VisitID)
		h.must(err)
		v.State, v.DoneAt, v.UpdatedAt, v.Outcome = jobs.VisitWasted, h.now, h.now, "wasted"
		h.must(tx.UpdateVisit(v))
		return tx.InsertVisit(jobs.Visit{ID: ids{h}.New(), JobID: v.JobID, Place: v.Place, Kind: v.Kind, State: jobs.VisitOpen, Seconds: v.Seconds,
			Version: 1, CreatedAt: h.now, UpdatedAt: h.now})
	}))
}
