package desk_test

import (
	"slices"
	"testing"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// In Los Angeles clocks went forward at 2:00 on Sunday, 8 March 2026 (IANA time
// zone database): that day has 23 hours.
func TestWeekAcrossTheClockChange(t *testing.T) {
	eachOffice(t, func(h *hands) {
		h.now = time.Date(2026, 3, 4, 17, 0, 0, 0, time.UTC)
		h.branch = h.made(h.CreateBranch(ctx, h.office(), "West", "America/Los_Angeles"))
		y := h.yard()
		for _, id := range y.crews { // they work on Sundays as well
			c, err := h.Crew(ctx, id)
			h.must(err)
			c.Shifts = append(c.Shifts, jobs.Shift{Weekday: 0, FromMinute: 6 * 60, ToMinute: 17 * 60}, jobs.Shift{Weekday: 6, FromMinute: 6 * 60, ToMinute: 17 * 60})
			_, err = h.ChangeCrew(ctx, h.office(), id, c.Version, c.CrewData)
			h.must(err)
		}
		for i, way := range []string{"customer", "crew_pump"} {
			y.jobs = append(y.jobs, h.readyJob(i, way))
		}
		// Everything but the long night and its Sunday is closed.
		zone := h.zone()
		h.made(h.CreateClosure(ctx, h.office(), h.branch, jobs.ClosureData{Kind: jobs.ClosureEverything, Reason: "fair",
			FromAt: jobs.Day("2026-03-05").Start(zone), ToAt: jobs.Wall("2026-03-07", 12*3600, zone)}))
		d := h.planned("2026-03-05")
		w, p := h.files(d)
		for i, want := range []int64{0, 86_400, 2 * 86_400, 3 * 86_400, 4*86_400 - 3600} {
			if w.Days[i].Start != want {
				t.Errorf("day %d begins at %d, want %d", i, w.Days[i].Start, want)
			}
		}
		for _, tour := range w.Tours {
			at := time.Unix(jobs.Day("2026-03-05").Start(zone).Unix()+tour.ShiftFrom, 0).In(zone)
			if at.Format("15:04") != "06:00" || at.Format(time.DateOnly) != w.Days[tour.Day].Date {
				t.Errorf("tour %s begins at %v", tour.Label, at)
			}
		}
		for _, s := range w.WaterHours {
			from := time.Unix(jobs.Day("2026-03-05").Start(zone).Unix()+s.From, 0).In(zone)
			if from.Format("15:04") != "07:00" {
				t.Errorf("water hours begin at %v", from)
			}
		}
		if len(p.Tours) == 0 {
			t.Fatalf("nothing planned: %+v", p.LeftOut)
		}
		h.made(h.HandOut(ctx, h.office(), d.ID, d.Version))
		stops, _, drains, _ := h.live()
		for _, s := range stops {
			if local := s.StartAt.In(zone); local.Hour() < 6 || local.Hour() > 18 || local.Before(jobs.Wall("2026-03-07", 12*3600, zone)) {
				t.Errorf("a stop at %v", local)
			}
		}
		for _, d := range drains {
			if !d.ToldFrom.IsZero() && (d.ToldFrom.In(zone).Hour() < 7 || d.ToldTo.Sub(d.ToldFrom) < 2*time.Hour) {
				t.Errorf("told %v to %v", d.ToldFrom.In(zone), d.ToldTo.In(zone))
			}
		}
	})
}

func TestWhatCannotBePlannedSaysWhy(t *testing.T) {
	eachOffice(t, func(h *hands) {
		y := h.yard("crew_pump", "customer")
		in := jobs.NewDraft{FirstDay: "2026-03-03", Days: 5}
		kept := func() map[int64][]string {
			out, err := h.KeptOut(ctx, h.branch, in)
			h.must(err)
			return out
		}
		if k := kept(); len(k) != 0 {
			t.Fatalf("kept out: %v", k)
		}
		first, err := h.Job(ctx, h.office().Actor, y.jobs[0])
		h.must(err)
		convert := first.Visits[slices.IndexFunc(first.Visits, func(v jobs.Visit) bool { return v.Kind == jobs.VisitConvert })]
		out, err := h.ChangeVisit(ctx, h.office(), convert.ID, convert.Version, jobs.VisitChange{PinDay: ptr(jobs.Day("2026-04-01"))})
		h.must(err)
		if k := kept(); len(k) != 1 || len(k[1]) != 1 {
			t.Errorf("a visit held to another week: %v", k)
		}
		_, err = h.ChangeVisit(ctx, h.office(), convert.ID, out.Version, jobs.VisitChange{PinDay: ptr(jobs.Day("2026-03-05")), PinCrewID: ptr(y.crews[1])})
		h.must(err)
		d := h.planned("2026-03-03")
		w, p := h.files(d)
		x := week.NewIndex(w)
		for _, tour := range p.Tours {
			for _, s := range tour.Stops {
				if s.Visit == convert.ID && tour.Tour != y.crews[1]+"@2026-03-05" {
					t.Errorf("held to crew 2 on Thursday, planned on %s", tour.Tour)
				}
			}
		}
		if _, ok := x.Visit[convert.ID]; !ok {
			t.Error("the pinned visit is not in the week")
		}

		// An enquiry without a place on the map waits for one.
		call := h.firstCall()
		_, err = h.CreateEnquiry(ctx, h.office(), call)
		h.must(err)
		if k := kept(); len(k[3]) != 1 || k[3][0] != "its place on the map is not known yet" {
			t.Errorf("%v", k)
		}
		// A draft says it of what was there when it was opened.
		fresh, err := h.CreateDraft(ctx, h.office(), h.branch, in)
		h.must(err)
		view, err := h.DraftWeek(ctx, fresh.NounID)
		h.must(err)
		if !slices.ContainsFunc(view.LeftOut, func(l desk.LeftOut) bool { return l.JobNumber == 3 }) {
			t.Errorf("the week does not say so: %+v", view.LeftOut)
		}
	})
}

func TestPersonInTwoCrewsGoesOnce(t *testing.T) {
	eachOffice(t, func(h *hands) {
		y := h.yard()
		licensed := h.peopleOf(y.crews[1])[0]
		c, err := h.Crew(ctx, y.crews[0])
		h.must(err)
		c.People = append(c.People, licensed)
		_, err = h.ChangeCrew(ctx, h.office(), c.ID, c.Version, c.CrewData)
		h.must(err)
		h.made(h.CreateAbsence(ctx, h.office(), h.branch, jobs.AbsenceData{PersonID: licensed, Day: "2026-03-04", ToMinute: 1440, Reason: "course"}))
		id := h.made(h.CreateDraft(ctx, h.office(), h.branch, jobs.NewDraft{FirstDay: "2026-03-03", Days: 2}))
		f, err := h.DraftFile(ctx, id)
		h.must(err)
		w, err := week.DecodeWeek(readerOf(f.Week))
		h.must(err)
		for _, tour := range w.Tours {
			has := slices.Contains(tour.Skills, "licensed")
			if want := tour.Crew == y.crews[0] && tour.Day == 0; has != want {
				t.Errorf("%s licensed: %v, want %v", tour.Label, has, want)
			}
			if want := map[bool]int{true: 3, false: 2}[tour.Crew == y.crews[0] && tour.Day == 0]; tour.Crew == y.crews[0] && tour.People != want {
				t.Errorf("%s has %d people, want %d", tour.Label, tour.People, want)
			}
		}
	})
}

func TestWeekIsDrawnAsPlanned(t *testing.T) {
	eachOffice(t, func(h *hands) {
		h.yard("crew_pump", "customer", "pool_outlet")
		d := h.planned("2026-03-03")
		_, p := h.files(d)
		draft, err := h.DraftWeek(ctx, d.ID)
		h.must(err)
		h.made(h.HandOut(ctx, h.office(), d.ID, d.Version))
		told, err := h.Week(ctx, h.branch, "2026-03-03", 5)
		h.must(err)
		for name, v := range map[string]desk.WeekView{"draft": draft, "handed out": told} {
			stops, tours := 0, 0
			for _, lane := range v.Lanes {
				if len(lane.Days) != 4 || len(lane.People) != 2 { // Tuesday to Friday; nobody works on Saturday
					t.Errorf("%s: %s has %d days and %d people", name, lane.CrewName, len(lane.Days), len(lane.People))
				}
				for _, day := range lane.Days {
					stops += len(day.Stops)
					if len(day.Stops) > 0 {
						tours++
						if day.DriveMetres <= 0 || day.Depart.IsZero() {
							t.Errorf("%s: %+v", name, day)
						}
					}
					for i, s := range day.Stops {
						if s.PromiseFrom.After(s.StartAt) || s.PromiseTo.Before(s.StartAt) || s.DriveFrom.IsZero() || s.SiteName == "" || s.Place != int64(i+1) {
							t.Errorf("%s: stop %+v", name, s)
						}
					}
				}
			}
			n := 0
			for _, tour := range p.Tours {
				n += len(tour.Stops)
			}
			if stops != n || tours != len(p.Tours) || len(v.Strips) != 3 || v.Total != jobs.Cents(p.Cost.Total) {
				t.Errorf("%s: %d stops of %d, %d days, %d strips, total %v", name, stops, n, tours, len(v.Strips), v.Total)
			}
			for _, s := range v.Strips {
				low := false
				for i, point := range s.Points {
					if point.Early < 0 || point.Early > 1000 || point.Late < 0 || point.Late > 1000 {
						t.Errorf("%s: point %+v", name, point)
					}
					low = low || point.Early == 1000 && point.Late == 1000
					if !low && point.Late > point.Early || i > 0 && !point.At.After(s.Points[i-1].At) {
						t.Errorf("%s: job %d: %+v", name, s.JobNumber, s.Points)
						break
					}
				}
				if !low || s.Points[0].Early != 0 || s.Points[len(s.Points)-1].Late != 0 {
					t.Errorf("%s: job %d does not go low and come back: %+v", name, s.JobNumber, s.Points)
				}
			}
		}
	})
}

// TestWeekIsLivedThrough works the handed-out stops one after the other, with
// plain changes of state, and plans and hands out anew at every turn: while a
// visit is under way, and when it is done.
func TestWeekIsLivedThrough(t *testing.T) {
	eachOffice(t, func(h *hands) {
		y := h.yard("crew_pump", "customer", "pool_outlet")
		d := h.planned("2026-03-03")
		h.made(h.HandOut(ctx, h.office(), d.ID, d.Version))
		turns := 0
		for turns < 40 {
			stops, _, _, _ := h.live()
			stops = slices.DeleteFunc(stops, func(s jobs.Stop) bool { return !h.visit(s.VisitID).BegunAt.IsZero() })
			if len(stops) == 0 {
				break
			}
			next := slices.MinFunc(stops, func(a, b jobs.Stop) int { return a.StartAt.Compare(b.StartAt) })
			h.now = next.StartAt
			h.begin(next)
			h.again(t, "begun", next)
			h.now = next.EndAt.Add(5 * time.Minute)
			h.done(next)
			h.again(t, "done", next)
			turns++
		}
		if turns < 8 {
			t.Errorf("only %d turns", turns)
		}
		for _, id := range y.jobs {
			j, err := h.Job(ctx, h.office().Actor, id)
			h.must(err)
			if j.State != jobs.StateConverted {
				t.Errorf("job %d is %s after %d turns", j.Number, j.State, turns)
			}
		}
	})
}

func (h *hands) visit(id string) (v jobs.Visit) {
	h.must(h.store.View(ctx, func(tx *store.Tx) (err error) { v, err = tx.Visit(id); return err }))
	return v
}

// again plans from today on, hands out, and looks at the row of a stop begun.
func (h *hands) again(t *testing.T, when string, s jobs.Stop) {
	t.Helper()
	today := jobs.DayOf(h.now, h.zone())
	id := h.made(h.CreateDraft(ctx, h.office(), h.branch, jobs.NewDraft{FirstDay: today, Days: 7}))
	run := h.made(h.StartPlanRun(ctx, h.office(), id, jobs.RunData{Rounds: 2, Strands: 1}))
	h.must(h.RunPlan(ctx, run, nil))
	r, err := h.PlanRun(ctx, run)
	h.must(err)
	if r.State != jobs.RunDone {
		t.Fatalf("%s at %v: %s", when, h.now.In(h.zone()), r.Error)
	}
	kept, err := h.KeptOut(ctx, h.branch, jobs.NewDraft{FirstDay: today, Days: 7})
	h.must(err)
	if len(kept) > 0 {
		t.Errorf("%s at %v: kept out %v", when, h.now.In(h.zone()), kept)
	}
	d, err := h.Draft(ctx, id)
	h.must(err)
	h.made(h.HandOut(ctx, h.office(), id, d.Version))
	if s.ID == "" {
		return
	}
	stops, tours, _, _ := h.live()
	i := slices.IndexFunc(stops, func(l jobs.Stop) bool { return l.ID == s.ID })
	if i < 0 || stops[i].CrewID != s.CrewID || !stops[i].StartAt.Equal(s.StartAt) {
		t.Fatalf("%s: what has begun did not stay", when)
	}
	if !slices.ContainsFunc(tours, func(l jobs.Tour) bool { return l.ID == stops[i].TourID }) {
		t.Errorf("%s: what has begun hangs under no live tour", when)
	}
}

func (h *hands) begin(s jobs.Stop) {
	h.must(h.store.InTx(ctx, func(tx *store.Tx) error {
		v, err := tx.Visit(s.VisitID)
		h.must(err)
		v.State, v.BegunAt, v.UpdatedAt = jobs.VisitUnderWay, h.now, h.now
		h.must(tx.UpdateVisit(v))
		j, err := tx.Job(s.JobID)
		h.must(err)
		if j.State == jobs.StateRouted || j.State == jobs.StateReady {
			j.State, j.UpdatedAt = jobs.StateUnderWay, h.now
			return tx.UpdateJob(j)
		}
		return nil
	}))
}

func (h *hands) done(s jobs.Stop) {
	h.must(h.store.InTx(ctx, func(tx *store.Tx) error {
		v, err := tx.Visit(s.VisitID)
		h.must(err)
		v.State, v.DoneAt, v.UpdatedAt, v.Outcome = jobs.VisitDone, h.now, h.now, "done"
		h.must(tx.UpdateVisit(v))
		j, err := tx.Job(s.JobID)
		h.must(err)
		if j.State == jobs.StateUnderWay && !j.Standing(false, false).ConvertOpen {
			j.State, j.ConvertedAt, j.UpdatedAt = jobs.StateConverted, h.now, h.now
			return tx.UpdateJob(j)
		}
		return nil
	}))
}
