package desk_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"sync"
	"testing"
	"time"

	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// saying is what one reader should know of one thing, worked out from a plan's
// files alone, in another way than the desk does it.
type saying struct{ from, to int64 }

// sayings lists what follows from a plan for the yard's customers, of whom each
// has one contact (the payer, who also gets what nobody was chosen for), and
// for the crews. windows are the arrival windows that hold.
func (y *yard) sayings(w *week.Week, p *week.Plan, windows map[string]saying) map[string]saying {
	base := jobs.Day(w.Days[0].Date).Start(y.zone()).Unix()
	x, out := week.NewIndex(w), map[string]saying{}
	contact := map[string]string{}
	for _, id := range y.jobs {
		j, err := y.Job(ctx, y.office().Actor, id)
		y.must(err)
		c, err := y.Customer(ctx, j.CustomerID)
		y.must(err)
		contact[id] = c.Contacts[0].ID
	}
	told, drops, last := map[string]saying{}, map[string]saying{}, map[string]int64{}
	for _, t := range p.Told {
		told[t.Job] = saying{base + t.Earliest, base + t.Latest}
	}
	for _, t := range p.Tours {
		crew, day := t.Tour[:36], t.Tour[37:]
		for _, who := range y.peopleOf(crew) {
			out["crew_sheet/"+crew+"/"+day+"/"+who] = saying{base + t.Depart, base + t.Return}
		}
		for _, s := range t.Stops {
			at := x.Visit[s.Visit]
			job := w.Jobs[at.Job]
			switch v := job.Visits[at.Number]; v.Kind {
			case "drain":
				drops[job.ID] = windows[s.Visit]
			case "convert":
				last[job.ID] = max(last[job.ID], base+s.End)
				fallthrough
			default:
				out["booking/"+s.Visit+"/"+contact[job.ID]] = windows[s.Visit]
			}
		}
	}
	for _, pw := range p.Water {
		c := contact[pw.Job]
		start, isTold := told[pw.Job]
		if !isTold {
			start = drops[pw.Job]
		} else {
			out["office_unconfirmed/"+pw.Job] = start
		}
		out["prep/"+pw.Job+"/"+c] = start
		out["open_fill/"+pw.Job+"/"+c] = saying{from: last[pw.Job]}
		out["close_fill/"+pw.Job+"/"+c] = saying{from: last[pw.Job]}
	}
	return out
}

func (h *hands) zone() *time.Location {
	b, err := h.Branches(ctx)
	h.must(err)
	for _, one := range b {
		if one.ID == h.branch {
			z, err := time.LoadLocation(one.Zone)
			h.must(err)
			return z
		}
	}
	h.Fatal("no branch")
	return nil
}

func (h *hands) peopleOf(crew string) []string {
	c, err := h.Crew(ctx, crew)
	h.must(err)
	return c.People
}

func (h *hands) windows() map[string]saying {
	_, _, _, promises := h.live()
	out := map[string]saying{}
	for _, p := range promises {
		out[p.VisitID] = saying{p.FromAt.Unix(), p.ToAt.Unix()}
	}
	return out
}

func TestNoticesFollowFromThePlan(t *testing.T) {
	eachOffice(t, func(h *hands) {
		y := h.yard("crew_pump", "customer", "customer")
		d := h.planned("2026-03-03")
		w, p := h.files(d)
		if len(p.LeftOut) > 0 {
			t.Fatalf("left out: %+v", p.LeftOut)
		}
		planID := h.made(h.HandOut(ctx, h.office(), d.ID, d.Version))
		rows := h.planNotices(planID)
		want := y.sayings(w, p, h.windows())
		got := map[string]saying{}
		for _, n := range rows {
			if n.Revision != 1 || n.ICalSequence != 0 || n.MessageID == "" || n.Body == "" || n.State != jobs.NoticeDue {
				t.Errorf("%+v", n)
			}
			local := n.DueAt.In(h.zone())
			if local.Hour() < 8 || local.Hour() >= 20 || n.DueAt.Before(h.now) || !n.UsefulUntil.After(n.DueAt) {
				t.Errorf("%s is due at %v, useful until %v", n.Thing, local, n.UsefulUntil)
			}
			switch n.Kind {
			case jobs.NoticeLookAfter, jobs.NoticeStopChlorine, jobs.NoticeHalfway, jobs.NoticeLeaveAlone, jobs.NoticeBackToYou:
				continue
			case jobs.NoticeOpenFill, jobs.NoticeCloseFill:
				got[n.Thing] = saying{from: n.Facts.From}
			default:
				got[n.Thing] = saying{n.Facts.From, n.Facts.To}
			}
		}
		if !maps.Equal(got, want) {
			t.Errorf("rows say\n%v\nthe plan says\n%v", pretty(got), pretty(want))
		}

		// Crew 1 stays at home on the first day that it had stops: planned
		// again, handed out again.
		day := jobs.Day("")
		_, tours, _, _ := h.live()
		for _, tour := range tours {
			if tour.CrewID == y.crews[0] && (day == "" || tour.Day < day) {
				day = tour.Day
			}
		}
		if day == "" {
			t.Fatal("crew 1 has nothing to do")
		}
		h.made(h.CreateAbsence(ctx, h.office(), h.branch, jobs.AbsenceData{CrewID: y.crews[0], Day: day, ToMinute: 1440, Reason: "truck broken"}))
		last := rows
		d2 := h.planned("2026-03-03")
		w2, p2 := h.files(d2)
		told, err := h.Told(ctx, d2.ID)
		h.must(err)
		plan2 := h.made(h.HandOut(ctx, h.office(), d2.ID, d2.Version))
		now := y.sayings(w2, p2, h.windows())
		changed := map[string]jobs.Notice{}
		for _, n := range h.planNotices(plan2) {
			changed[n.Thing] = n
			i := slices.IndexFunc(last, func(o jobs.Notice) bool { return o.Thing == n.Thing })
			if i >= 0 && (n.Revision != 2 || n.ICalSequence != 1 || n.ICalUID != last[i].ICalUID || n.MessageID == last[i].MessageID) {
				t.Errorf("a changed notice %+v after %+v", n, last[i])
			}
		}
		if len(told) != len(changed) {
			t.Errorf("%d lines announced, %d written", len(told), len(changed))
		}
		for thing, says := range now {
			_, written := changed[thing]
			if was, known := want[thing]; known && was == says && written && thing[:4] == "book" {
				t.Errorf("%s is told anew and says the same", thing)
			} else if (!known || was != says) && !written {
				t.Errorf("%s changed from %v to %v and nobody hears of it", thing, was, says)
			}
		}
		if len(changed) == 0 || len(changed) >= len(rows)+len(now) {
			t.Errorf("%d of %d changed", len(changed), len(rows))
		}
		for _, n := range h.allNotices() {
			if _, holds := now[n.Thing]; !holds && n.Kind == jobs.NoticeBooking && n.State == jobs.NoticeDue {
				t.Errorf("%s still waits and holds no more", n.Thing)
			}
		}
	})
}

func (h *hands) allNotices() []jobs.Notice {
	var list []jobs.Notice
	h.must(h.store.View(ctx, func(tx *store.Tx) (err error) {
		list, err = tx.NoticesAbout(h.branch, nil, h.now.AddDate(-1, 0, 0))
		return err
	}))
	return list
}

func pretty(m map[string]saying) string {
	out := ""
	for _, k := range slices.Sorted(maps.Keys(m)) {
		out += fmt.Sprintf("%s %v\n", k, m[k])
	}
	return out
}

func TestTwoHandOutsAtOnce(t *testing.T) {
	eachOffice(t, func(h *hands) {
		h.yard("crew_pump", "customer")
		rounds := 20
		if testing.Short() {
			rounds = 3
		}
		for n := range rounds {
			first, second := h.plannedIn("2026-03-03", 1), h.plannedIn("2026-03-03", 1)
			if first.BasePlanNumber != int64(n) {
				t.Fatalf("round %d is based on plan %d", n, first.BasePlanNumber)
			}
			var wg sync.WaitGroup
			errs := make([]error, 2)
			for i, d := range []jobs.Draft{first, second} {
				wg.Add(1)
				go func() { defer wg.Done(); _, errs[i] = h.HandOut(ctx, h.office(), d.ID, d.Version) }()
			}
			wg.Wait()
			won := 0
			for _, err := range errs {
				switch jobs.CodeOf(err) {
				case "":
					won++
				case jobs.CodeConflict:
				default:
					t.Errorf("round %d: %v", n, err)
				}
			}
			if won != 1 {
				t.Fatalf("round %d: %d of two hand-outs won: %v", n, won, errs)
			}
		}
		plans, err := h.Plans(ctx, h.branch, jobs.Page{Limit: 100})
		h.must(err)
		for i, p := range plans.Items {
			if p.Number != int64(rounds-i) {
				t.Errorf("plan %d at place %d", p.Number, i)
			}
		}
	})
}

// swapped gives the two crews each other's tours of a plan.
func swapped(p week.Plan, crews []string) week.Plan {
	text, _ := json.Marshal(p)
	var out week.Plan
	_ = json.Unmarshal(text, &out)
	for i, t := range out.Tours {
		other := crews[0]
		if t.Tour[:36] == crews[0] {
			other = crews[1]
		}
		out.Tours[i].Tour = other + t.Tour[36:]
	}
	return out
}

func TestTwoCrewsSwapTheirWeek(t *testing.T) {
	eachOffice(t, func(h *hands) {
		y := h.yard("crew_pump", "customer", "pool_outlet")
		d := h.planned("2026-03-03")
		h.made(h.HandOut(ctx, h.office(), d.ID, d.Version))
		d2 := h.planned("2026-03-03")
		_, p := h.files(d)
		turned := swapped(*p, y.crews)
		text, err := json.Marshal(turned)
		h.must(err)
		h.must(h.store.InTx(ctx, func(tx *store.Tx) error {
			draft, err := tx.Draft(d2.ID)
			if err != nil {
				return err
			}
			draft.Plan = string(text)
			return tx.UpdateDraft(draft)
		}))
		before, _, _, _ := h.live()
		h.made(h.HandOut(ctx, h.office(), d2.ID, d2.Version+1))
		after, _, _, _ := h.live()
		if len(before) != len(after) {
			t.Fatalf("%d stops before, %d after", len(before), len(after))
		}
		crew := map[string]string{}
		for _, s := range before {
			crew[s.VisitID] = s.CrewID
		}
		for _, s := range after {
			if s.CrewID == crew[s.VisitID] || !slices.Contains(y.crews, s.CrewID) {
				t.Errorf("visit %s stays with its crew", s.VisitID)
			}
		}
	})
}

func TestRunIsTakenOverWhenItsWorkerDies(t *testing.T) {
	eachOffice(t, func(h *hands) {
		h.yard("crew_pump")
		id := h.made(h.CreateDraft(ctx, h.office(), h.branch, jobs.NewDraft{FirstDay: "2026-03-03", Days: 5}))
		run := h.made(h.StartPlanRun(ctx, h.office(), id, jobs.RunData{Rounds: 2, Strands: 1}))
		claim := func(lease time.Duration) {
			h.must(h.store.InTx(ctx, func(tx *store.Tx) error {
				_, mine, err := tx.ClaimRun(run, lease, h.now)
				if err == nil && !mine {
					t.Error("not claimed")
				}
				return err
			}))
		}
		claim(-time.Second) // killed at once: its lease is over
		claim(time.Hour)    // another worker, alive
		h.must(h.RunPlan(ctx, run, nil))
		if r, err := h.PlanRun(ctx, run); err != nil || r.State != jobs.RunRunning || r.Fence != 2 {
			t.Fatalf("took a run that another holds: %+v, %v", r, err)
		}
		h.must(h.store.InTx(ctx, func(tx *store.Tx) error { // it dies too
			r, err := tx.PlanRun(run)
			if err == nil {
				_, err = tx.ReportRun(r, -time.Second)
			}
			return err
		}))
		h.must(h.RunPlan(ctx, run, nil))
		r, err := h.PlanRun(ctx, run)
		h.must(err)
		d, err := h.Draft(ctx, id)
		h.must(err)
		if r.State != jobs.RunDone || r.Fence != 3 || d.State != jobs.DraftPlanned {
			t.Errorf("run %s at fence %d, draft %s", r.State, r.Fence, d.State)
		}
		h.must(h.RunPlan(ctx, run, nil)) // over: left alone

		// A waiting run that is stopped ends at once; its draft can be planned again.
		run = h.made(h.StartPlanRun(ctx, h.office(), id, jobs.RunData{}))
		_, err = h.StopPlanRun(ctx, h.office(), run)
		h.must(err)
		h.must(h.RunPlan(ctx, run, nil))
		r, err = h.PlanRun(ctx, run)
		h.must(err)
		d, err = h.Draft(ctx, id)
		h.must(err)
		if r.State != jobs.RunStopped || d.State != jobs.DraftPlanned {
			t.Errorf("run %s, draft %s", r.State, d.State)
		}
	})
}

func TestDraftsEndOnce(t *testing.T) {
	eachOffice(t, func(h *hands) {
		_, err := h.CreateDraft(ctx, h.office(), h.branch, jobs.NewDraft{FirstDay: "2026-03-03", Days: 5})
		h.wants(err, jobs.CodeConflict, "No crew goes out")
		h.yard()
		_, err = h.CreateDraft(ctx, h.office(), h.branch, jobs.NewDraft{FirstDay: "2026-02-03", Days: 5})
		h.wants(err, jobs.CodeInvalid, "first_day")
		id := h.made(h.CreateDraft(ctx, h.office(), h.branch, jobs.NewDraft{FirstDay: "2026-03-03", Days: 5}))
		_, err = h.HandOut(ctx, h.office(), id, 1)
		h.wants(err, jobs.CodeConflict, "planned")
		_, err = h.DropDraft(ctx, h.office(), id, 2)
		h.wants(err, jobs.CodeStale, "")
		_, err = h.DropDraft(ctx, h.office(), id, 1)
		h.must(err)
		_, err = h.StartPlanRun(ctx, h.office(), id, jobs.RunData{})
		h.wants(err, jobs.CodeConflict, "dropped")
		_, err = h.StartPlanRun(ctx, h.office(), id, jobs.RunData{Seconds: 100_000})
		h.wants(err, jobs.CodeInvalid, "seconds")
	})
}
