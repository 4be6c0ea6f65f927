package desk_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"ebbline/dispatch/check"
	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// mended records an upset, has the run done and gives the draft with its plan.
func (h *hands) mended(plan int64, c jobs.WeekChange) jobs.Draft {
	h.Helper()
	id := h.made(h.Mend(ctx, h.office(), desk.MendAsk{BranchID: h.branch, PlanNumber: plan, Change: c, Run: jobs.RunData{Rounds: 3, Strands: 2}}))
	d, err := h.Draft(ctx, id)
	h.must(err)
	if d.Upset == nil || d.State != jobs.DraftPlanning || d.RunID == "" || d.BasePlanNumber != plan {
		h.Fatalf("draft %s, run %q, upset %+v", d.State, d.RunID, d.Upset)
	}
	h.must(h.RunPlan(ctx, d.RunID, nil))
	run, err := h.PlanRun(ctx, d.RunID)
	h.must(err)
	if run.State != jobs.RunDone || run.Mode != jobs.RunMend || len(run.Series) == 0 {
		h.Fatalf("run %s %s: %s, %d points", run.State, run.Mode, run.Error, len(run.Series))
	}
	d, err = h.Draft(ctx, id)
	h.must(err)
	w, p := h.files(d)
	if r := check.Plan(w, p); !r.OK() {
		h.Errorf("the mended plan breaks %+v", r.Broken)
	}
	return d
}

func TestMendWhatHappened(t *testing.T) {
	eachOffice(t, func(h *hands) {
		a := h.asked("customer", "crew_pump", "pool_outlet")
		h.made(h.HandOut(ctx, h.office(), a.draft.ID, a.draft.Version))
		h.now = h.now.Add(time.Hour)

		// The crew with the licensed person is out on a day with work.
		tour, _ := a.stop(a.jobs[0], jobs.VisitConvert)
		crew, day, _ := strings.Cut(tour, "@")
		d := h.mended(1, jobs.WeekChange{Kind: jobs.WeekCrewOut, CrewID: crew, FromDay: jobs.Day(day), Note: "truck broke down"})
		if u := d.Upset; len(u.Recorded) != 1 || u.Recorded[0].Noun != "absence" || !strings.Contains(u.Says, "truck broke down") {
			t.Errorf("recorded %+v, says %q", u.Recorded, u.Says)
		}
		if u := d.Upset.Untouched; len(u.Stranded) == 0 || u.Total != nil || !strings.Contains(u.Says, "Nobody is there") {
			t.Errorf("without anybody doing anything: %+v", u)
		}
		list, err := h.Absences(ctx, h.branch, "2026-03-01", "2026-03-31")
		h.must(err)
		if len(list) != 1 || list[0].CrewID != crew || list[0].Day != jobs.Day(day) || list[0].ID != d.Upset.Recorded[0].ID {
			t.Errorf("absences %+v", list)
		}
		told, err := h.Told(ctx, d.ID)
		h.must(err)
		if len(told) == 0 {
			t.Error("nobody would be told that a crew is out")
		}
		c, err := h.Compare(ctx, d.ID, "")
		h.must(err)
		if c.WithPlan != 1 || len(c.Jobs) == 0 || c.Says == "" {
			t.Errorf("compared with what was handed out: %+v", c)
		}
		if !c.AsItStands || c.Total > c.With { // without the crew what was handed out leaves jobs out
			t.Errorf("mended it costs %s, and left alone %s (as things stand: %v)", c.Total, c.With, c.AsItStands)
		}
		if _, err := h.Compare(ctx, d.ID, a.draft.ID); err != nil {
			t.Error(err)
		}
		_, p := h.files(d)
		for _, x := range p.Tours {
			if x.Tour == tour && len(x.Stops) > 0 {
				t.Errorf("%s goes out all the same", tour)
			}
		}
		h.made(h.HandOut(ctx, h.office(), d.ID, d.Version))
		_, err = h.Mend(ctx, h.office(), desk.MendAsk{BranchID: h.branch, PlanNumber: 1, Change: jobs.WeekChange{Kind: jobs.WeekAsItIs}})
		h.wants(err, jobs.CodeConflict, "plan 2 was handed out since")
		again := h.mended(2, jobs.WeekChange{Kind: jobs.WeekAsItIs})
		if told, err := h.Told(ctx, again.ID); err != nil || len(told) != 0 {
			t.Errorf("nothing happened, and told is %+v, %v", told, err)
		}
	})
}

func TestMendRecordsEachKind(t *testing.T) {
	eachOffice(t, func(h *hands) {
		a := h.asked("customer", "crew_pump", "pool_outlet", "customer")
		h.made(h.HandOut(ctx, h.office(), a.draft.ID, a.draft.Version))
		h.now = h.now.Add(time.Hour)
		persons, err := h.Persons(ctx, h.branch)
		h.must(err)
		pumps, err := h.Pumps(ctx, h.branch)
		h.must(err)
		_, longer := a.stop(a.jobs[2], jobs.VisitConvert)
		_, moves := a.stop(a.jobs[1], jobs.VisitConvert)
		mend := func(c jobs.WeekChange) jobs.Upset {
			t.Helper()
			id := h.made(h.Mend(ctx, h.office(), desk.MendAsk{BranchID: h.branch, PlanNumber: 1, Change: c, Run: jobs.RunData{Rounds: 1}}))
			d, err := h.Draft(ctx, id)
			h.must(err)
			if d.Upset.Says == "" || d.Upset.Untouched.Says == "" || d.Upset.Kind != c.Kind {
				t.Errorf("upset %+v", d.Upset)
			}
			return *d.Upset
		}
		noun := func(u jobs.Upset) string {
			var list []string
			for _, r := range u.Recorded {
				list = append(list, r.Noun)
			}
			return strings.Join(list, " ")
		}
		for _, c := range []struct {
			change jobs.WeekChange
			nouns  string
			holds  func() bool
		}{
			{jobs.WeekChange{Kind: jobs.WeekPersonOut, PersonID: persons[0].ID, FromDay: "2026-03-03", ToDay: "2026-03-04", Note: "sick"}, "absence absence", nil},
			{jobs.WeekChange{Kind: jobs.WeekPumpBroken, PumpID: pumps[0].ID}, "pump", func() bool {
				list, err := h.Pumps(ctx, h.branch)
				h.must(err)
				return list[0].State == jobs.PumpBroken
			}},
			{jobs.WeekChange{Kind: jobs.WeekClosed, Closure: &jobs.ClosureData{Kind: jobs.ClosureEverything, FromAt: h.hour("2026-03-04", 11), ToAt: h.hour("2026-03-04", 15), StopsPumping: true, Reason: "storm"}}, "closure", func() bool {
				list, err := h.Closures(ctx, h.branch, "2026-03-04", "2026-03-04")
				h.must(err)
				return len(list) == 1 && list[0].Reason == "storm"
			}},
			{jobs.WeekChange{Kind: jobs.WeekLonger, VisitID: longer.Visit, Seconds: 6 * 3600}, "visit", func() bool {
				v := h.visit(longer.Visit)
				return v.Seconds != nil && *v.Seconds == 6*3600
			}},
			{jobs.WeekChange{Kind: jobs.WeekVisit, VisitID: moves.Visit, Day: "2026-03-06"}, "visit", func() bool { return h.visit(moves.Visit).PinDay == "2026-03-06" }},
			{jobs.WeekChange{Kind: jobs.WeekJobEarlier, JobID: a.jobs[3], ByDay: "2026-03-05"}, "job", func() bool { return h.wantJob(a.jobs[3]).DueDay == "2026-03-05" }},
			{jobs.WeekChange{Kind: jobs.WeekWater, JobID: a.jobs[0], Reading: &jobs.NewReading{Text: "4", Unit: "in"}}, "reading", nil},
			{jobs.WeekChange{Kind: jobs.WeekJobIn, JobID: a.jobs[0]}, "", nil},
			{jobs.WeekChange{Kind: jobs.WeekJobOut, JobID: a.jobs[3], Note: "wants to think about it"}, "job", func() bool { return h.wantJob(a.jobs[3]).State == jobs.StateParked }},
		} {
			if got := noun(mend(c.change)); got != c.nouns {
				t.Errorf("%s records %q, want %q", c.change.Kind, got, c.nouns)
			}
			if c.holds != nil && !c.holds() {
				t.Errorf("%s did not take", c.change.Kind)
			}
		}
		for _, c := range []struct {
			change jobs.WeekChange
			field  string
		}{
			{jobs.WeekChange{Kind: jobs.WeekPumpBroken, PumpID: pumps[0].ID}, "broken already"},
			{jobs.WeekChange{Kind: jobs.WeekJobOut, JobID: a.jobs[2]}, "change.note"},
			{jobs.WeekChange{Kind: jobs.WeekPersonMoved, PersonID: persons[0].ID, CrewID: a.crews[1], FromDay: "2026-03-04"}, "change.kind"},
			{jobs.WeekChange{Kind: jobs.WeekVisit, VisitID: moves.Visit, StartAt: h.hour("2026-03-06", 9)}, "change.start_at"},
			{jobs.WeekChange{Kind: jobs.WeekLonger, VisitID: h.branch, Seconds: 3600}, "change.visit_id"},
			{jobs.WeekChange{Kind: jobs.WeekWater, JobID: h.branch, Reading: &jobs.NewReading{Text: "4", Unit: "in"}}, "change.job_id"},
		} {
			_, err := h.Mend(ctx, h.office(), desk.MendAsk{BranchID: h.branch, PlanNumber: 1, Change: c.change})
			h.wants(err, jobs.CodeInvalid, c.field)
		}
	})
}

// What can't be written whole is not written at all.
func TestMendIsAllOrNothing(t *testing.T) {
	eachOffice(t, func(h *hands) {
		a := h.asked("customer", "crew_pump")
		h.made(h.HandOut(ctx, h.office(), a.draft.ID, a.draft.Version))
		h.now = h.now.Add(time.Hour)
		ask := desk.MendAsk{BranchID: h.branch, PlanNumber: 1, Run: jobs.RunData{Rounds: 1},
			Change: jobs.WeekChange{Kind: jobs.WeekPersonOut, PersonID: h.person(0), FromDay: "2026-03-03", ToDay: "2026-03-05", Note: "sick"}}
		// The last row of the act is refused: a run of its id is there already.
		count := func() (drafts, absences int) {
			list, err := h.Drafts(ctx, desk.DraftFilter{BranchID: h.branch}, jobs.Page{})
			h.must(err)
			away, err := h.Absences(ctx, h.branch, "2026-03-01", "2026-03-31")
			h.must(err)
			return len(list.Items), len(away)
		}
		drafts, absences := count()
		before := h.last.Load()
		h.must(h.store.InTx(ctx, func(tx *store.Tx) error { // ids: three absences, draft, run, audit
			return tx.InsertPlanRun(jobs.PlanRun{ID: fmt.Sprintf("00000000-0000-7000-8000-%012d", before+5), BranchID: h.branch, DraftID: a.draft.ID, RunData: jobs.RunData{}.Clean(), State: jobs.RunDone, CreatedAt: h.now})
		}))
		if _, err := h.Mend(ctx, h.office(), ask); err == nil {
			t.Fatal("a run came in twice")
		}
		if d, n := count(); d != drafts || n != absences {
			t.Errorf("%d drafts and %d absences, before %d and %d", d, n, drafts, absences)
		}
		call := h.office()
		call.Key, call.Fingerprint = "mend", "x"
		first := h.made(h.Mend(ctx, call, ask))
		if again := h.made(h.Mend(ctx, call, ask)); again != first {
			t.Errorf("the same again makes %s, first %s", again, first)
		}
		if d, n := count(); d != drafts+1 || n != absences+3 {
			t.Errorf("%d drafts and %d absences, before %d and %d", d, n, drafts, absences)
		}
	})
}

func (h *hands) person(i int) string {
	h.Helper()
	list, err := h.Persons(ctx, h.branch)
	h.must(err)
	return list[i].ID
}

func TestDayAsItGoes(t *testing.T) {
	eachOffice(t, func(h *hands) {
		a := h.asked("customer", "crew_pump", "pool_outlet")
		_, err := h.DayNow(ctx, h.branch)
		h.wants(err, jobs.CodeConflict, "Nothing was handed out yet")
		h.made(h.HandOut(ctx, h.office(), a.draft.ID, a.draft.Version))
		stops, _, _, _ := h.live()
		first := slices.MinFunc(stops, func(a, b jobs.Stop) int { return a.StartAt.Compare(b.StartAt) })

		h.now = first.StartAt.Add(-30 * time.Minute)
		day, err := h.DayNow(ctx, h.branch)
		h.must(err)
		if day.Day != jobs.DayOf(first.StartAt, h.zone()) || len(day.Crews) == 0 || len(day.Late) != 0 || !strings.HasPrefix(day.Says, "Every promised window") {
			t.Errorf("before it begins: %+v", day)
		}
		h.now = first.StartAt.Add(4 * time.Hour) // nobody has come by now
		day, err = h.DayNow(ctx, h.branch)
		h.must(err)
		var late *desk.DayStop
		for i := range day.Late {
			if day.Late[i].VisitID == first.VisitID {
				late = &day.Late[i]
			}
		}
		if late == nil || late.Behind < 4*3600-60 || *late.Late <= 0 || late.Says == "" {
			t.Errorf("four hours late: %+v", day)
		}
		h.tellsOnce(t, *late, first)
		h.begin(first)
		h.now = h.now.Add(10 * time.Minute)
		day, err = h.DayNow(ctx, h.branch)
		h.must(err)
		under := 0
		for _, c := range day.Crews {
			for _, s := range c.Stops {
				if s.State == jobs.VisitUnderWay {
					under++
					if !s.ExpectedEnd.After(h.now) {
						t.Errorf("under way: %+v", s)
					}
				}
			}
		}
		if under != 1 {
			t.Errorf("%d stops under way", under)
		}
		h.now = h.now.AddDate(0, 0, 30)
		_, err = h.DayNow(ctx, h.branch)
		h.wants(err, jobs.CodeConflict, "are over")
	})
}

// tellsOnce has the office tell who is late: once, and again only when that has
// moved.
func (h *hands) tellsOnce(t *testing.T, s desk.DayStop, stop jobs.Stop) {
	notices := func() (list []jobs.Notice) {
		h.must(h.store.View(ctx, func(tx *store.Tx) (err error) { list, err = tx.NoticesOfVisit(s.VisitID, jobs.NoticeLate); return err }))
		return list
	}
	tell := func() string {
		t.Helper()
		out, err := h.TellLate(ctx, h.office(), h.branch)
		h.must(err)
		return out.Note
	}
	if first := tell(); first == "0" {
		t.Errorf("told of %s visits", first)
	}
	list := notices()
	if len(list) == 0 || list[0].Facts.From != s.ExpectedAt.Unix() || list[0].Facts.To != s.PromiseTo.Unix() || !list[0].UsefulUntil.Equal(s.ExpectedEnd) || list[0].Subject == "" {
		t.Errorf("late: %+v, told %+v", s, list)
	}
	if again := tell(); again != "0" || len(notices()) != len(list) {
		t.Errorf("told again of %s visits", again)
	}
	h.now = h.now.Add(40 * time.Minute) // still nobody there
	if tell(); len(notices()) != 2*len(list) {
		t.Errorf("%d notices after %d", len(notices()), len(list))
	}
}
