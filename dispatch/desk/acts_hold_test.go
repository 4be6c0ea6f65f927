package desk_test

import (
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
)

// twoCallers is an office that handed a week out before two more jobs came in.
func (h *hands) twoCallers() (a *asked, first, second string) {
	h.Helper()
	a = h.asked("crew_pump", "pool_outlet")
	h.made(h.HandOut(ctx, h.office(), a.draft.ID, a.draft.Version))
	first, second = h.readyJob(5, "customer"), h.readyJob(6, "customer")
	h.now = h.now.Add(time.Hour)
	return a, first, second
}

func (h *hands) offers(jobID string) desk.Offers {
	h.Helper()
	o, err := h.Offer(ctx, desk.OfferAsk{JobID: jobID})
	h.must(err)
	if len(o.Windows) == 0 || o.Earliest == nil {
		h.Fatalf("nothing is offered: %+v", o)
	}
	return o
}

func newHold(o desk.Offers, w desk.OfferWindow) jobs.NewHold {
	return jobs.NewHold{JobID: o.Job.ID, VisitID: o.VisitID, CrewID: w.CrewID, FromAt: w.FromAt, ToAt: w.ToAt, StartAt: w.StartAt}
}

func TestOffersAreInOrderAndFeasible(t *testing.T) {
	eachOffice(t, func(h *hands) {
		a, first, _ := h.twoCallers()
		o := h.offers(first)
		if len(o.Windows) > 5 || o.Days != 14 || o.PlanNumber != 1 || o.Holds == "" {
			t.Errorf("offers %+v", o)
		}
		for i, w := range o.Windows {
			if i > 0 && w.Delta < o.Windows[i-1].Delta {
				t.Errorf("window %d costs %s, the one before %s", i, w.Delta, o.Windows[i-1].Delta)
			}
			if w.StartAt.Before(w.FromAt) || w.StartAt.After(w.ToAt) || w.FromAt.Before(h.now) || w.CrewName == "" || w.Says == "" || len(w.Stops) == 0 {
				t.Errorf("window %+v", w)
			}
			if w.FromAt.Before(o.Earliest.FromAt) {
				t.Errorf("window %d begins %s, the earliest of all %s", i, w.FromAt, o.Earliest.FromAt)
			}
		}
		_, err := h.Offer(ctx, desk.OfferAsk{JobID: a.jobs[0]})
		h.wants(err, jobs.CodeConflict, "in the plan already")
		_, err = h.Offer(ctx, desk.OfferAsk{JobID: first, Most: 99})
		h.wants(err, jobs.CodeInvalid, "most")
		_, err = h.Offer(ctx, desk.OfferAsk{JobID: first, WidthMinutes: 3})
		h.wants(err, jobs.CodeInvalid, "width_minutes")
		_, err = h.Offer(ctx, desk.OfferAsk{JobID: first, VisitID: h.branch})
		h.wants(err, jobs.CodeInvalid, "visit_id")
		_, err = h.Offer(ctx, desk.OfferAsk{JobID: h.branch})
		h.wants(err, jobs.CodeNotFound, "")
	})
}

func TestHoldAndBook(t *testing.T) {
	eachOffice(t, func(h *hands) {
		_, first, second := h.twoCallers()
		o := h.offers(first)
		w := *o.Earliest
		call := h.office()
		call.Key, call.Fingerprint = "hold", "x"
		id := h.made(h.HoldWindow(ctx, call, newHold(o, w)))
		if again := h.made(h.HoldWindow(ctx, call, newHold(o, w))); again != id {
			t.Errorf("held twice: %s and %s", id, again)
		}
		held, err := h.Hold(ctx, id)
		h.must(err)
		if held.Standing(h.now) != jobs.HoldHeld || !held.UntilAt.Equal(h.now.Add(jobs.HoldMinutes*time.Minute)) || held.JobNumber == 0 || held.CrewName == "" {
			t.Errorf("held %+v", held)
		}
		_, err = h.Offer(ctx, desk.OfferAsk{JobID: first})
		h.wants(err, jobs.CodeConflict, "is held for job")
		_, err = h.HoldWindow(ctx, h.office(), newHold(o, o.Windows[0]))
		h.wants(err, jobs.CodeConflict, "is held for job")

		// What is held counts for others: the same crew is not offered at that time.
		for _, x := range h.offers(second).Windows {
			for _, s := range x.Stops {
				for _, k := range w.Stops {
					if s.CrewID == k.CrewID && s.StartAt.Before(k.EndAt) && k.StartAt.Before(s.EndAt) {
						t.Errorf("%s is offered over %s", s.Says, k.Says)
					}
				}
			}
		}

		_, err = h.BookHold(ctx, h.office(), id, 9)
		h.wants(err, jobs.CodeStale, "")
		h.made(h.BookHold(ctx, h.office(), id, held.Version))
		_, err = h.BookHold(ctx, h.office(), id, held.Version+1)
		h.wants(err, jobs.CodeConflict, "booked")
		h.now = h.now.Add(time.Hour) // a booked one does not run out
		list, err := h.Holds(ctx, h.branch)
		h.must(err)
		if len(list) != 1 || list[0].State != jobs.HoldBooked {
			t.Errorf("holds %+v", list)
		}

		// Gone by without a hand-out it is still there to be seen.
		was := h.now
		h.now = w.ToAt.Add(time.Hour)
		list, err = h.Holds(ctx, h.branch)
		h.must(err)
		if len(list) != 1 || list[0].ID != id {
			t.Errorf("a booked window that went by: %+v", list)
		}
		h.now = was

		// Days without the window leave the job alone.
		kept, err := h.KeptOut(ctx, h.branch, jobs.NewDraft{FirstDay: jobs.DayOf(w.ToAt, h.zone()).Add(1), Days: 5})
		h.must(err)
		if why := kept[held.JobNumber]; len(why) != 1 || !strings.Contains(why[0], "booked for it outside of these days") {
			t.Errorf("kept out %v", kept)
		}

		// The next plan keeps it, and handing out promises that very window.
		d := h.plannedIn("2026-03-03", 10)
		h.made(h.HandOut(ctx, h.office(), d.ID, d.Version))
		_, _, _, promises := h.live()
		i := slices.IndexFunc(promises, func(p jobs.Promise) bool { return p.VisitID == o.VisitID })
		if i < 0 || !promises[i].FromAt.Equal(w.FromAt) || !promises[i].ToAt.Equal(w.ToAt) {
			t.Errorf("promised %+v, booked %s to %s", promises, w.FromAt, w.ToAt)
		}
		held, err = h.Hold(ctx, id)
		h.must(err)
		if held.State != jobs.HoldHandedOut {
			t.Errorf("the hold is %s", held.State)
		}
		_, err = h.ReleaseHold(ctx, h.office(), id, held.Version)
		h.wants(err, jobs.CodeConflict, "told to the customer")
	})
}

func TestHoldsRunOutAndAreLetGo(t *testing.T) {
	eachOffice(t, func(h *hands) {
		_, first, _ := h.twoCallers()
		o := h.offers(first)
		in := newHold(o, o.Windows[0])
		in.Minutes = 10
		id := h.made(h.HoldWindow(ctx, h.office(), in))
		h.now = h.now.Add(10 * time.Minute)
		_, err := h.BookHold(ctx, h.office(), id, 1)
		h.wants(err, jobs.CodeConflict, "free for others again")
		o = h.offers(first) // offered again
		id = h.made(h.HoldWindow(ctx, h.office(), newHold(o, o.Windows[0])))
		h.made(h.ReleaseHold(ctx, h.office(), id, 1))
		_, err = h.ReleaseHold(ctx, h.office(), id, 2)
		h.wants(err, jobs.CodeConflict, "let go already")
		h.offers(first)

		bad := newHold(o, o.Windows[0])
		bad.FromAt, bad.ToAt, bad.StartAt = bad.FromAt.Add(-7*time.Minute), bad.ToAt.Add(-7*time.Minute), bad.FromAt
		_, err = h.HoldWindow(ctx, h.office(), bad)
		h.wants(err, jobs.CodeConflict, "is not free")
		bad.StartAt, bad.Minutes, bad.CrewID = bad.ToAt.Add(time.Hour), 999, "x"
		_, err = h.HoldWindow(ctx, h.office(), bad)
		for _, field := range []string{"start_at", "minutes", "crew_id"} {
			h.wants(err, jobs.CodeInvalid, field)
		}
		if list, err := h.Holds(ctx, h.branch); err != nil || len(list) != 0 {
			t.Errorf("holds %+v, %v", list, err)
		}
	})
}

// Two callers at once for one gap: one gets it, or both get gaps that lie apart.
func TestTwoCallersAtOnce(t *testing.T) {
	eachOffice(t, func(h *hands) {
		_, first, second := h.twoCallers()
		offers := []desk.Offers{h.offers(first), h.offers(second)}
		var wg sync.WaitGroup
		errs := make([]error, 2)
		for i := range offers {
			wg.Add(1)
			go func() {
				defer wg.Done()
				_, errs[i] = h.HoldWindow(ctx, h.office(), newHold(offers[i], offers[i].Windows[0]))
			}()
		}
		wg.Wait()
		list, err := h.Holds(ctx, h.branch)
		h.must(err)
		for i, err := range errs {
			if err != nil {
				h.wants(err, jobs.CodeConflict, "")
			}
			kept := slices.ContainsFunc(list, func(k jobs.Hold) bool { return k.JobID == offers[i].Job.ID })
			if kept != (err == nil) {
				t.Errorf("caller %d heard %v, kept: %v", i, err, kept)
			}
		}
		if len(list) == 0 {
			t.Error("neither got a window")
		}
	})
}
