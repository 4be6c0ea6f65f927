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

// What a mend records holds for the next question at once: nobody is offered a
// crew that was just reported sick.
func TestMendedFactsHoldAtOnce(t *testing.T) {
	eachOffice(t, func(h *hands) {
		_, first, _ := h.twoCallers()
		o := h.offers(first)
		gone := o.Earliest.CrewID
		h.made(h.Mend(ctx, h.office(), desk.MendAsk{BranchID: h.branch, PlanNumber: 1, Run: jobs.RunData{Rounds: 1},
			Change: jobs.WeekChange{Kind: jobs.WeekCrewOut, CrewID: gone, FromDay: jobs.DayOf(h.now, h.zone()), ToDay: jobs.DayOf(h.now, h.zone()).Add(13), Note: "sick"}}))
		if _, err := h.HoldWindow(ctx, h.office(), newHold(o, *o.Earliest)); err == nil {
			t.Error("a window was held with a crew that is out")
		}
		again, err := h.Offer(ctx, desk.OfferAsk{JobID: first})
		h.must(err)
		for _, w := range again.Windows {
			if w.CrewID == gone {
				t.Errorf("a crew that is out is offered: %s", w.Says)
			}
		}
	})
}

// A draft from before a window was booked is not handed out over it.
func TestOlderDraftIsNotHandedOutOverABookedWindow(t *testing.T) {
	eachOffice(t, func(h *hands) {
		_, first, _ := h.twoCallers()
		d := h.plannedIn("2026-03-03", 5)
		o := h.offers(first)
		_, p := h.files(d)
		var start time.Time // as the draft has it
		for _, tour := range p.Tours {
			for _, s := range tour.Stops {
				if s.Visit == o.VisitID {
					start = d.FirstDay.Start(h.zone()).Add(time.Duration(s.Start) * time.Second)
				}
			}
		}
		at := slices.IndexFunc(o.Windows, func(x desk.OfferWindow) bool { return start.Before(x.FromAt) || start.After(x.ToAt) })
		if at < 0 {
			t.Fatalf("the draft's %s lies in all of %+v", start, o.Windows)
		}
		w := o.Windows[at]
		id := h.made(h.HoldWindow(ctx, h.office(), newHold(o, w)))
		h.made(h.BookHold(ctx, h.office(), id, 1))
		_, err := h.HandOut(ctx, h.office(), d.ID, d.Version)
		_, _, _, promises := h.live()
		for _, p := range promises {
			if p.VisitID == o.VisitID && (!p.FromAt.Equal(w.FromAt) || !p.ToAt.Equal(w.ToAt)) {
				t.Errorf("booked %s to %s, promised %s to %s", w.FromAt, w.ToAt, p.FromAt, p.ToAt)
			}
		}
		h.wants(err, jobs.CodeConflict, "is booked for job")
		h.made(h.ReleaseHold(ctx, h.office(), id, 2))
		h.made(h.HandOut(ctx, h.office(), d.ID, d.Version))
	})
}

// Offices read their own clock, and a window that is over is not booked.
func TestHeldUntilInTheOfficesClock(t *testing.T) {
	eachOffice(t, func(h *hands) {
		_, first, _ := h.twoCallers()
		o := h.offers(first)
		in := newHold(o, o.Windows[0])
		id := h.made(h.HoldWindow(ctx, h.office(), in))
		held, err := h.Hold(ctx, id)
		h.must(err)
		h.now = held.UntilAt
		_, err = h.BookHold(ctx, h.office(), id, 1)
		h.wants(err, jobs.CodeConflict, held.UntilAt.In(h.zone()).Format("3:04 pm"))

		o = h.offers(first)
		w := *o.Earliest
		h.now = w.ToAt.Add(-5 * time.Minute)
		late := jobs.Hold{ID: h.branch, BranchID: h.branch, NewHold: newHold(o, w), UntilAt: w.ToAt.Add(time.Hour), State: jobs.HoldHeld, MadeBy: "x", Version: 1, CreatedAt: h.now, UpdatedAt: h.now}
		h.must(h.store.InTx(ctx, func(tx *store.Tx) error { return tx.InsertHold(late) }))
		h.now = w.ToAt.Add(time.Minute)
		_, err = h.BookHold(ctx, h.office(), late.ID, 1)
		h.wants(err, jobs.CodeConflict, "was over at")
	})
}

// A notice that waited while the crew came is not sent any more, and a customer
// who was told two instants hears when the first one holds again.
func TestLateNoticesThatWaited(t *testing.T) {
	eachOffice(t, func(h *hands) {
		a := h.asked("customer", "crew_pump", "pool_outlet")
		h.made(h.HandOut(ctx, h.office(), a.draft.ID, a.draft.Version))
		stops, _, _, _ := h.live()
		first := stops[0]
		for _, s := range stops {
			if s.StartAt.Before(first.StartAt) {
				first = s
			}
		}
		h.now = first.StartAt.Add(4 * time.Hour)
		out, err := h.TellLate(ctx, h.office(), h.branch)
		h.must(err)
		if out.Note == "0" {
			t.Fatal("nobody was told")
		}
		h.begin(first)
		var list []jobs.Notice
		h.must(h.store.View(ctx, func(tx *store.Tx) (err error) {
			list, err = tx.NoticesOfVisit(first.VisitID, jobs.NoticeLate)
			return err
		}))
		if len(list) == 0 {
			t.Fatal("no notice")
		}
		for _, n := range list {
			o, err := h.ClaimNotice(ctx, n.ID, time.Minute)
			if err != nil || o != nil {
				t.Errorf("told that the crew is late, and it is there: %+v, %v", o, err)
			}
		}
	})
}

// People read words in what was recorded, no codes.
func TestRecordedInWords(t *testing.T) {
	eachOffice(t, func(h *hands) {
		a := h.asked("customer", "crew_pump")
		h.made(h.HandOut(ctx, h.office(), a.draft.ID, a.draft.Version))
		before := map[string]bool{}
		for _, n := range h.allNotices() {
			before[n.ID] = true
		}
		id := h.made(h.Mend(ctx, h.office(), desk.MendAsk{BranchID: h.branch, PlanNumber: 1, Run: jobs.RunData{Rounds: 1},
			Change: jobs.WeekChange{Kind: jobs.WeekJobOut, JobID: a.jobs[1], Note: "wants to think about it"}}))
		for _, n := range h.allNotices() { // its own people, who might lower the pool, and nobody else
			if !before[n.ID] && n.JobID != a.jobs[1] {
				t.Errorf("%s is told of job %s before anything is handed out", n.Kind, n.JobID)
			}
		}
		d, err := h.Draft(ctx, id)
		h.must(err)
		if r := d.Upset.Recorded; len(r) != 1 || !strings.HasSuffix(r[0].Says, " parked") {
			t.Errorf("recorded %+v", r)
		}
	})
}

// A booked window stands in nobody's way: what is mended beside it can be handed
// out, and a job that is not to be done gives it back.
func TestMendBesideABookedWindow(t *testing.T) {
	eachOffice(t, func(h *hands) {
		_, first, second := h.twoCallers()
		o := h.offers(first)
		id := h.made(h.HoldWindow(ctx, h.office(), newHold(o, *o.Earliest)))
		h.made(h.BookHold(ctx, h.office(), id, 1))
		booked := id

		o = h.offers(second)
		id = h.made(h.HoldWindow(ctx, h.office(), newHold(o, *o.Earliest)))
		h.made(h.BookHold(ctx, h.office(), id, 1))
		j := h.wantJob(second)
		h.made(h.ActOnJob(ctx, h.office(), second, j.Version, desk.JobAct{Act: jobs.ActPark, Note: "the customer does not want it now"}))
		held, err := h.Hold(ctx, id)
		if err != nil || held.State != jobs.HoldReleased {
			t.Errorf("the window of a parked job is %s, %v", held.State, err)
		}
		d := h.mended(1, jobs.WeekChange{Kind: jobs.WeekAsItIs})
		h.made(h.HandOut(ctx, h.office(), d.ID, d.Version))
		if held, err = h.Hold(ctx, booked); err != nil || held.State != jobs.HoldHandedOut {
			t.Errorf("the booked window is %s, %v", held.State, err)
		}
		_, err = h.Mend(ctx, h.office(), desk.MendAsk{BranchID: h.branch, PlanNumber: 2,
			Change: jobs.WeekChange{Kind: jobs.WeekPumpBroken, PumpID: h.pump(), FromDay: jobs.DayOf(h.now, h.zone()).Add(1)}})
		h.wants(err, jobs.CodeInvalid, "change.from_day")
	})
}

func (h *hands) pump() string {
	h.Helper()
	list, err := h.Pumps(ctx, h.branch)
	h.must(err)
	return list[0].ID
}

// What can't be asked is said in the terms in which it was asked.
func TestTryErrorsNameWhatWasAsked(t *testing.T) {
	eachOffice(t, func(h *hands) {
		a := h.asked("customer", "crew_pump")
		h.made(h.HandOut(ctx, h.office(), a.draft.ID, a.draft.Version))
		ref := desk.ViewRef{DraftID: a.draft.ID}
		_, s := a.stop(a.jobs[0], jobs.VisitConvert)
		for _, c := range []struct {
			change      jobs.WeekChange
			field, says string
		}{
			{jobs.WeekChange{Kind: jobs.WeekJobEarlier, JobID: a.jobs[0], ByDay: "2026-03-02"}, "change.by_day", "2026-03-02"},
			{jobs.WeekChange{Kind: jobs.WeekVisit, VisitID: s.Visit, AfterVisitID: s.Visit}, "change.after_visit_id", s.Visit},
		} {
			_, err := h.Try(ctx, ref, c.change)
			h.wants(err, jobs.CodeInvalid, c.field)
			h.wants(err, jobs.CodeInvalid, c.says)
		}
		_, err := h.Try(ctx, ref, jobs.WeekChange{Kind: jobs.WeekVisit, VisitID: s.Visit, StartAt: h.now.Add(-time.Hour), Day: jobs.DayOf(h.now.Add(-time.Hour), h.zone())})
		if jobs.CodeOf(err) != jobs.CodeInvalid {
			t.Errorf("a start in the past: %v", err)
		}

		stops, _, _, _ := h.live()
		first := slices.MinFunc(stops, func(a, b jobs.Stop) int { return a.StartAt.Compare(b.StartAt) })
		h.now = first.StartAt
		h.begin(first)
		h.now = h.now.Add(5 * time.Minute)
		_, err = h.Places(ctx, desk.ViewRef{BranchID: h.branch}, first.VisitID)
		h.wants(err, jobs.CodeInvalid, "visit_id")
		if strings.Contains(err.Error(), "change.") || strings.Contains(err.Error(), `\"`) {
			t.Errorf("places were asked for, and the error is %v", err)
		}
	})
}

// A day on which a crew stays at home is not called kept.
func TestDayNowWithoutACrew(t *testing.T) {
	eachOffice(t, func(h *hands) {
		a := h.asked("customer", "crew_pump", "pool_outlet")
		h.made(h.HandOut(ctx, h.office(), a.draft.ID, a.draft.Version))
		stops, tours, _, _ := h.live()
		first := slices.MinFunc(stops, func(a, b jobs.Stop) int { return a.StartAt.Compare(b.StartAt) })
		tour := tours[slices.IndexFunc(tours, func(x jobs.Tour) bool { return x.ID == first.TourID })]
		h.now = first.StartAt.Add(-2 * time.Hour)
		h.made(h.Mend(ctx, h.office(), desk.MendAsk{BranchID: h.branch, PlanNumber: 1, Run: jobs.RunData{Rounds: 1},
			Change: jobs.WeekChange{Kind: jobs.WeekCrewOut, CrewID: tour.CrewID, FromDay: tour.Day, Note: "sick"}}))
		day, err := h.DayNow(ctx, h.branch)
		h.must(err)
		if strings.Contains(day.Says, "Every promised window") || !strings.Contains(day.Says, "Nobody is there for") {
			t.Errorf("the crew is sick, and it says %q", day.Says)
		}
	})
}
