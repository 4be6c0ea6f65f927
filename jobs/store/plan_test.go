package store_test

import (
	"fmt"
	"testing"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
	"ebbline/jobs/store/storetest"
)

// routed adds to the yard a second crew (24) and two jobs (50, 51) with one
// visit each (60, 61), handed out at the same hour: 60 to crew 23, 61 to 24.
func routed(t *testing.T, st *store.Store) {
	t.Helper()
	yard(t, st)
	must(t, st.InTx(ctx, func(tx *store.Tx) error {
		must(t, tx.InsertCrew(jobs.Crew{ID: id(24), BranchID: id(1), CrewData: jobs.CrewData{HomeID: id(20), Name: "Crew 2", Active: true}, Version: 1, CreatedAt: now, UpdatedAt: now}))
		must(t, tx.InsertCustomer(customer(10, "Ada")))
		must(t, tx.InsertSite(jobs.Site{ID: id(11), BranchID: id(1), CustomerID: id(10), SiteData: jobs.SiteData{Street: "1 Lane", City: "Dry Wash", Zone: "America/Phoenix", Precision: jobs.PrecisionUnknown}, Version: 1, CreatedAt: now, UpdatedAt: now}))
		for i := range 2 {
			_, err := tx.InsertJob(jobs.Job{ID: id(50 + i), BranchID: id(1), CustomerID: id(10), SiteID: id(11), State: jobs.StateReady, JobData: jobs.JobData{}.Clean(), Version: 1, CreatedAt: now, UpdatedAt: now,
				Visits: []jobs.Visit{{ID: id(60 + i), JobID: id(50 + i), Place: 1, Kind: jobs.VisitConvert, State: jobs.VisitOpen, Version: 1, CreatedAt: now, UpdatedAt: now}}})
			must(t, err)
		}
		must(t, tx.InsertPlan(jobs.Plan{ID: id(70), BranchID: id(1), Number: 1, FirstDay: "2026-03-09", Days: 5, HandedOutAt: now}))
		return handOut(tx, 70, 0)
	}))
}

// handOut writes both visits on one day, swapped when turn is 1.
func handOut(tx *store.Tx, plan, turn int) error {
	at := time.Date(2026, 3, 9, 15, 0, 0, 0, time.UTC)
	for i := range 2 {
		tour := plan*10 + i
		crew := 23 + i
		err := tx.InsertTours([]jobs.Tour{{ID: id(tour), PlanID: id(plan), BranchID: id(1), CrewID: id(crew), Day: "2026-03-09", DepartAt: at, ReturnAt: at.Add(4 * time.Hour), Live: true}})
		if err != nil {
			return err
		}
		visit := (i + turn) % 2
		err = tx.InsertStops([]jobs.Stop{{ID: id(tour + 5), PlanID: id(plan), BranchID: id(1), TourID: id(tour), CrewID: id(crew), JobID: id(50 + visit), VisitID: id(60 + visit),
			Place: 1, ArriveAt: at, StartAt: at, EndAt: at.Add(2 * time.Hour), Live: true}})
		if err != nil {
			return err
		}
	}
	return nil
}

func TestSwapInOneHandOut(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		routed(t, st)
		// Without setting the old rows aside a crew would be in two places.
		err := st.InTx(ctx, func(tx *store.Tx) error {
			must(t, tx.InsertPlan(jobs.Plan{ID: id(71), BranchID: id(1), Number: 2, FirstDay: "2026-03-09", Days: 5, HandedOutAt: now}))
			return tx.InsertStops([]jobs.Stop{{ID: id(99), PlanID: id(71), BranchID: id(1), TourID: id(700), CrewID: id(24), JobID: id(50), VisitID: id(60), Place: 2,
				ArriveAt: now, StartAt: time.Date(2026, 3, 9, 16, 0, 0, 0, time.UTC), EndAt: time.Date(2026, 3, 9, 18, 0, 0, 0, time.UTC), Live: true}})
		})
		wantCode(t, err, jobs.CodeConflict)

		must(t, st.InTx(ctx, func(tx *store.Tx) error {
			must(t, tx.InsertPlan(jobs.Plan{ID: id(71), BranchID: id(1), Number: 2, FirstDay: "2026-03-09", Days: 5, HandedOutAt: now}))
			must(t, tx.RetireStops([]string{id(705), id(706)}))
			must(t, tx.RetireTours([]string{id(700), id(701)}))
			return handOut(tx, 71, 1)
		}))
		must(t, st.View(ctx, func(tx *store.Tx) error {
			stops, err := tx.LiveStops(id(1), now)
			must(t, err)
			got := map[string]string{}
			for _, s := range stops {
				got[s.VisitID] = s.CrewID
			}
			if len(stops) != 2 || got[id(60)] != id(24) || got[id(61)] != id(23) {
				t.Errorf("after the swap: %v", got)
			}
			tours, err := tx.LiveTours(id(1), "2026-03-09", "2026-03-09")
			must(t, err)
			if len(tours) != 2 || tours[0].PlanID != id(71) {
				t.Errorf("tours %+v", tours)
			}
			return nil
		}))
	})
}

// The guard speaks also where only the end of the transaction can tell.
func TestCrewNeverInTwoPlaces(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		routed(t, st)
		err := st.InTx(ctx, func(tx *store.Tx) error {
			at := time.Date(2026, 3, 9, 16, 59, 59, 0, time.UTC) // one second into the other
			must(t, tx.RetireStops([]string{id(706)}))
			return tx.InsertStops([]jobs.Stop{{ID: id(99), PlanID: id(70), BranchID: id(1), TourID: id(700), CrewID: id(23), JobID: id(51), VisitID: id(61), Place: 2,
				ArriveAt: at, StartAt: at, EndAt: at.Add(time.Hour), Live: true}})
		})
		wantCode(t, err, jobs.CodeConflict)
		must(t, st.InTx(ctx, func(tx *store.Tx) error {
			at := time.Date(2026, 3, 9, 17, 0, 0, 0, time.UTC) // touching is fine
			must(t, tx.RetireStops([]string{id(706)}))
			return tx.InsertStops([]jobs.Stop{{ID: id(99), PlanID: id(70), BranchID: id(1), TourID: id(700), CrewID: id(23), JobID: id(51), VisitID: id(61), Place: 2,
				ArriveAt: at, StartAt: at, EndAt: at.Add(time.Hour), Live: true}})
		}))
	})
}

// A stop that was over before its planned start has no length left, and holds
// nobody in its place.
func TestStopWithoutLengthIsNoPlace(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		routed(t, st)
		at := time.Date(2026, 3, 9, 14, 0, 0, 0, time.UTC)
		must(t, st.InTx(ctx, func(tx *store.Tx) error {
			must(t, tx.EndStop(id(705), at.Add(time.Hour))) // its planned start
			must(t, tx.RetireStops([]string{id(706)}))
			return tx.InsertStops([]jobs.Stop{{ID: id(99), PlanID: id(70), BranchID: id(1), TourID: id(700), CrewID: id(23), JobID: id(51), VisitID: id(61), Place: 2,
				ArriveAt: at, StartAt: at, EndAt: at.Add(2 * time.Hour), Live: true}})
		}))
	})
}

func TestRunIsHeldByOne(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		seed(t, st)
		must(t, st.InTx(ctx, func(tx *store.Tx) error {
			must(t, tx.InsertDraft(jobs.Draft{ID: id(80), BranchID: id(1), NewDraft: jobs.NewDraft{FirstDay: "2026-03-09", Days: 5}, State: jobs.DraftNew, Version: 1, CreatedAt: now, UpdatedAt: now}))
			return tx.InsertPlanRun(jobs.PlanRun{ID: id(81), BranchID: id(1), DraftID: id(80), DraftVersion: 1, State: jobs.RunWaiting, RunData: jobs.RunData{}.Clean(), CreatedAt: now})
		}))
		claim := func(lease time.Duration) (r jobs.PlanRun, mine bool) {
			must(t, st.InTx(ctx, func(tx *store.Tx) (err error) { r, mine, err = tx.ClaimRun(id(81), lease, now); return err }))
			return r, mine
		}
		dead, mine := claim(-time.Second) // a worker whose lease has run out
		if !mine || dead.Fence != 1 || dead.StartedAt != now {
			t.Fatalf("first claim: %v %+v", mine, dead)
		}
		var todo []string
		must(t, st.View(ctx, func(tx *store.Tx) (err error) { todo, err = tx.RunsToDo(10); return err }))
		if len(todo) != 1 {
			t.Errorf("a run whose lease has run out is not to do: %v", todo)
		}
		alive, mine := claim(time.Minute)
		if !mine || alive.Fence != 2 {
			t.Fatalf("second claim: %v %+v", mine, alive)
		}
		if _, mine := claim(time.Minute); mine {
			t.Fatal("claimed while another holds the lease")
		}
		best := jobs.Cents(1234)
		dead.Best, dead.Heads = &best, []jobs.CostHead{{Head: "driving", Label: "Driving", Cents: 1234}}
		wantCode(t, st.InTx(ctx, func(tx *store.Tx) error { _, err := tx.ReportRun(dead, time.Minute); return err }), jobs.CodeConflict)
		dead.State = jobs.RunDone
		wantCode(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.EndRun(dead) }), jobs.CodeConflict)

		must(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.AskStop(id(81), now) }))
		alive.Best, alive.Heads, alive.DoneRounds = &best, dead.Heads, 7
		must(t, st.InTx(ctx, func(tx *store.Tx) error {
			stop, err := tx.ReportRun(alive, time.Minute)
			if !stop {
				t.Error("the worker does not hear that it should stop")
			}
			return err
		}))
		alive.State, alive.EndedAt = jobs.RunStopped, now
		must(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.EndRun(alive) }))
		must(t, st.View(ctx, func(tx *store.Tx) error {
			r, err := tx.PlanRun(id(81))
			must(t, err)
			if r.State != jobs.RunStopped || r.Best == nil || *r.Best != best || len(r.Heads) != 1 || r.DoneRounds != 7 {
				t.Errorf("%+v", r)
			}
			d, err := tx.Draft(id(80))
			must(t, err)
			if d.RunID != id(81) {
				t.Errorf("draft %+v", d)
			}
			return nil
		}))
	})
}

func TestNoticesKeepTheirRevisions(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		routed(t, st)
		note := func(n int, thing string, revision int64, state jobs.NoticeState, until time.Time) jobs.Notice {
			return jobs.Notice{ID: id(n), BranchID: id(1), JobID: id(50), PlanID: id(70), Kind: jobs.NoticePrep, Thing: thing, Revision: revision, Channel: jobs.ChannelEmail,
				Facts: jobs.NoticeFacts{JobNumber: 1, From: 5, Stops: []jobs.StopFact{{JobNumber: 1}}}, MessageID: fmt.Sprint(n), State: state, DueAt: now, UsefulUntil: until, CreatedAt: now}
		}
		must(t, st.InTx(ctx, func(tx *store.Tx) error {
			must(t, tx.InsertNotices([]jobs.Notice{note(90, "prep/a", 1, jobs.NoticeSent, now.Add(time.Hour)), note(91, "prep/b", 1, jobs.NoticeDue, now.Add(time.Hour)),
				note(92, "prep/old", 1, jobs.NoticeSent, now.Add(-time.Hour)), note(93, "prep/older", 1, jobs.NoticeSent, now.Add(-time.Hour))}))
			must(t, tx.SupersedeNotice(id(90), id(94)))
			return tx.SupersedeNotice(id(91), "")
		}))
		must(t, st.View(ctx, func(tx *store.Tx) error {
			got, err := tx.NoticesAbout(id(1), []string{"prep/old", "prep/none"}, now)
			must(t, err)
			states := map[string]jobs.NoticeState{}
			for _, n := range got {
				states[n.Thing] = n.State
				if !n.Facts.Same(note(0, "", 0, "", now).Facts) {
					t.Errorf("facts %+v", n.Facts)
				}
			}
			if len(got) != 3 || states["prep/a"] != jobs.NoticeSent || states["prep/b"] != jobs.NoticeSuperseded || states["prep/old"] != jobs.NoticeSent {
				t.Errorf("%v", states)
			}
			p, err := tx.PlanByNumber(id(1), 1)
			must(t, err)
			if p.NoticesCount != 4 {
				t.Errorf("plan counts %d notices", p.NoticesCount)
			}
			return nil
		}))
		wantCode(t, st.InTx(ctx, func(tx *store.Tx) error {
			return tx.InsertNotices([]jobs.Notice{note(95, "prep/a", 1, jobs.NoticeDue, now)})
		}), jobs.CodeConflict)
	})
}
