package desk_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"ebbline/dispatch/check"
	"ebbline/dispatch/desk"
	"ebbline/dispatch/week"
	"ebbline/jobs"
)

// asked is an office with a planned draft and its files.
type asked struct {
	*yard
	draft jobs.Draft
	w     *week.Week
	p     *week.Plan
	view  desk.ViewRef
}

func (h *hands) asked(ways ...string) *asked {
	h.Helper()
	a := &asked{yard: h.yard(ways...)}
	a.draft = h.plannedIn("2026-03-03", 3)
	a.w, a.p = h.files(a.draft)
	a.view = desk.ViewRef{DraftID: a.draft.ID, DraftVersion: a.draft.Version}
	return a
}

// stop is the planned stop of a job's visit of a kind.
func (a *asked) stop(jobID string, kind jobs.VisitKind) (tour string, s week.Stop) {
	a.Helper()
	for _, v := range a.wantJob(jobID).Visits {
		for _, t := range a.p.Tours {
			for _, s := range t.Stops {
				if v.Kind == kind && s.Visit == v.ID {
					return t.Tour, s
				}
			}
		}
	}
	a.Fatalf("no %s visit of job %s is planned", kind, jobID)
	return "", s
}

func (h *hands) wantJob(id string) desk.JobView {
	h.Helper()
	j, err := h.Job(ctx, h.office().Actor, id)
	h.must(err)
	return j
}

func TestTryAndTake(t *testing.T) {
	eachOffice(t, func(h *hands) {
		a := h.asked("customer", "crew_pump", "pool_outlet")
		tour, s := a.stop(a.jobs[0], jobs.VisitConvert)
		before, err := h.Draft(ctx, a.draft.ID)
		h.must(err)

		// Every day for the visit, with either crew: what fits must be what taking gives.
		var fits *jobs.WeekChange
		refused := 0
		for _, crew := range a.crews {
			for day := jobs.Day("2026-03-03"); day <= "2026-03-06"; day = day.Add(1) {
				c := jobs.WeekChange{Kind: jobs.WeekVisit, VisitID: s.Visit, CrewID: crew, Day: day}
				got, err := h.Try(ctx, a.view, c)
				h.must(err)
				if int64(got.TotalBefore) != a.p.Cost.Total {
					t.Errorf("before: %s, the plan costs %d", got.TotalBefore, a.p.Cost.Total)
				}
				switch {
				case !got.Fits:
					if refused++; refused == 1 {
						_, err := h.TakeChange(ctx, h.office(), a.view, c)
						h.wants(err, jobs.CodeConflict, "It does not fit: ")
					}
					if len(got.Limits) == 0 || got.Limits[0].Text == "" || !strings.HasPrefix(got.Says, "It does not fit: ") {
						t.Errorf("%s on %s does not fit, and nothing says why: %+v", crew, day, got)
					}
				case crew+"@"+string(day) != tour:
					fits = &c
				}
			}
		}
		if refused == 0 || fits == nil {
			t.Fatalf("%d refused, one that fits: %v", refused, fits)
		}
		if after, err := h.Draft(ctx, a.draft.ID); err != nil || after.Version != before.Version || after.Plan != before.Plan {
			t.Error("trying changed the draft")
		}

		tried, err := h.Try(ctx, a.view, *fits)
		h.must(err)
		call := h.office()
		call.Key, call.Fingerprint = "take", "one"
		out, err := h.TakeChange(ctx, call, a.view, *fits)
		h.must(err)
		again, err := h.TakeChange(ctx, call, a.view, *fits)
		h.must(err)
		if again.NounID != out.NounID || again.Version != out.Version || !again.Replayed {
			t.Errorf("the same again: %+v, first %+v", again, out)
		}
		call.Fingerprint = "two"
		_, err = h.TakeChange(ctx, call, a.view, *fits)
		h.wants(err, jobs.CodeKeyReused, "")
		d, err := h.Draft(ctx, out.NounID)
		h.must(err)
		w, p := h.files(d)
		if r := check.Plan(w, p); !r.OK() {
			t.Errorf("what was taken breaks %+v", r.Broken)
		}
		if d.ID != a.draft.ID || d.Version != before.Version+1 || *d.Cost != tried.TotalAfter || d.State != jobs.DraftPlanned {
			t.Errorf("draft %s version %d costs %s, tried %s", d.ID, d.Version, *d.Cost, tried.TotalAfter)
		}
		planned := false
		for _, x := range p.Tours {
			planned = planned || x.Tour == fits.CrewID+"@"+string(fits.Day) && slices.ContainsFunc(x.Stops, func(x week.Stop) bool { return x.Visit == s.Visit })
		}
		if !planned {
			t.Errorf("the visit is not where it was taken to: %+v", p.Tours)
		}

		_, err = h.Try(ctx, a.view, *fits)
		h.wants(err, jobs.CodeConflict, "changed since")
		_, err = h.TakeChange(ctx, h.office(), a.view, *fits)
		h.wants(err, jobs.CodeConflict, "changed since")
		_, err = h.TakeChange(ctx, h.office(), desk.ViewRef{DraftID: a.draft.ID}, *fits)
		h.wants(err, jobs.CodeInvalid, "view.draft_version")
		h.made(h.HandOut(ctx, h.office(), d.ID, d.Version))
	})
}

func TestTryWhoIsMissed(t *testing.T) {
	eachOffice(t, func(h *hands) {
		a := h.asked("customer", "crew_pump", "pool_outlet")
		persons, err := h.Persons(ctx, h.branch)
		h.must(err)
		licensed := persons[slices.IndexFunc(persons, func(p jobs.Person) bool { return slices.Contains(p.Skills, jobs.SkillLicensed) })]
		views := []desk.ViewRef{a.view}
		h.made(h.HandOut(ctx, h.office(), a.draft.ID, a.draft.Version))
		views = append(views, desk.ViewRef{BranchID: h.branch, PlanNumber: 1})
		views[0].DraftVersion++

		for _, view := range views {
			tried := func(c jobs.WeekChange) desk.Tried {
				t.Helper()
				got, err := h.Try(ctx, view, c)
				h.must(err)
				if got.Says == "" || !got.Fits && len(got.Limits) == 0 {
					t.Errorf("%s says %+v", c.Kind, got)
				}
				return got
			}
			days := jobs.WeekChange{Kind: jobs.WeekPersonOut, PersonID: licensed.ID, FromDay: "2026-03-03", ToDay: "2026-03-07"}
			if got := tried(days); got.Fits && len(got.Out) == 0 {
				t.Errorf("without anybody licensed nothing falls out: %+v", got)
			}
			days.Kind, days.CrewID = jobs.WeekPersonMoved, a.crews[0]
			tried(days)
			tried(jobs.WeekChange{Kind: jobs.WeekCrewOut, CrewID: a.crews[1], FromDay: "2026-03-04"})
			tried(jobs.WeekChange{Kind: jobs.WeekClosed, Closure: &jobs.ClosureData{Kind: jobs.ClosureEverything, FromAt: h.hour("2026-03-04", 0), ToAt: h.hour("2026-03-05", 0), Reason: "storm"}})
			tried(jobs.WeekChange{Kind: jobs.WeekClosed, Closure: &jobs.ClosureData{Kind: jobs.ClosureArea, Area: "85001", FromAt: h.hour("2026-03-04", 0), ToAt: h.hour("2026-03-05", 0)}})
			tried(jobs.WeekChange{Kind: jobs.WeekJobOut, JobID: a.jobs[1]})
			tried(jobs.WeekChange{Kind: jobs.WeekJobEarlier, JobID: a.jobs[1], ByDay: "2026-03-04"})
			_, s := a.stop(a.jobs[2], jobs.VisitConvert)
			tried(jobs.WeekChange{Kind: jobs.WeekLonger, VisitID: s.Visit, Seconds: s.End - s.Start + 1800})
			pumps, err := h.Pumps(ctx, h.branch)
			h.must(err)
			tried(jobs.WeekChange{Kind: jobs.WeekPumpBroken, PumpID: pumps[0].ID, FromDay: "2026-03-03"})

			for _, c := range []struct {
				change jobs.WeekChange
				field  string
			}{
				{jobs.WeekChange{Kind: "coffee"}, "change.kind"},
				{jobs.WeekChange{Kind: jobs.WeekAsItIs}, "change.kind"},
				{jobs.WeekChange{Kind: jobs.WeekVisit, VisitID: s.Visit}, "change.crew_id"},
				{jobs.WeekChange{Kind: jobs.WeekVisit, VisitID: h.branch, Day: "2026-03-04"}, "change.visit_id"},
				{jobs.WeekChange{Kind: jobs.WeekVisit, VisitID: s.Visit, Day: "2026-03-08"}, "change.day"},
				{jobs.WeekChange{Kind: jobs.WeekVisit, VisitID: s.Visit, CrewID: h.branch}, "change.crew_id"},
				{jobs.WeekChange{Kind: jobs.WeekPersonOut, PersonID: h.branch, FromDay: "2026-03-04"}, "change.person_id"},
				{jobs.WeekChange{Kind: jobs.WeekPersonOut, PersonID: licensed.ID}, "change.from_day"},
				{jobs.WeekChange{Kind: jobs.WeekPersonOut, PersonID: licensed.ID, FromDay: "2026-04-04"}, "change.from_day"},
				{jobs.WeekChange{Kind: jobs.WeekPersonMoved, PersonID: licensed.ID, CrewID: a.crews[1], FromDay: "2026-03-04"}, "change.crew_id"},
				{jobs.WeekChange{Kind: jobs.WeekPumpBroken, PumpID: h.branch}, "change.pump_id"},
				{jobs.WeekChange{Kind: jobs.WeekClosed}, "change.closure"},
				{jobs.WeekChange{Kind: jobs.WeekClosed, Closure: &jobs.ClosureData{Kind: jobs.ClosureArea, Area: "10001", FromAt: h.hour("2026-03-04", 0), ToAt: h.hour("2026-03-05", 0)}}, "change.closure.area"},
				{jobs.WeekChange{Kind: jobs.WeekJobIn, JobID: a.jobs[0]}, "change.job_id"},
				{jobs.WeekChange{Kind: jobs.WeekJobOut, JobID: h.branch}, "change.job_id"},
				{jobs.WeekChange{Kind: jobs.WeekLonger, VisitID: s.Visit, Seconds: 5}, "change.seconds"},
				{jobs.WeekChange{Kind: jobs.WeekWater, JobID: a.jobs[0], Reading: &jobs.NewReading{Text: "wet", Unit: "in"}}, "change.reading.text"},
			} {
				_, err := h.Try(ctx, view, c.change)
				h.wants(err, jobs.CodeInvalid, c.field)
			}
		}
		_, err = h.Try(ctx, desk.ViewRef{}, jobs.WeekChange{Kind: jobs.WeekJobOut, JobID: a.jobs[0]})
		h.wants(err, jobs.CodeInvalid, "view.branch_id")
		_, err = h.Try(ctx, desk.ViewRef{BranchID: h.branch, PlanNumber: 7}, jobs.WeekChange{Kind: jobs.WeekJobOut, JobID: a.jobs[0]})
		h.wants(err, jobs.CodeConflict, "Plan 7 is not what holds any more: plan 1")
	})
}

// hour is an instant of a day in the branch's zone.
func (h *hands) hour(day jobs.Day, hour int) time.Time { return jobs.Wall(day, hour*3600, h.zone()) }

func TestPlacesOfAHeldVisit(t *testing.T) {
	eachOffice(t, func(h *hands) {
		a := h.asked("customer", "crew_pump")
		_, s := a.stop(a.jobs[0], jobs.VisitConvert)
		got, err := h.Places(ctx, a.view, s.Visit)
		h.must(err)
		if len(got.Items) == 0 || got.Says == "" {
			t.Fatalf("no places: %+v", got)
		}
		for i, x := range got.Items {
			if i > 0 && x.Delta < got.Items[i-1].Delta {
				t.Errorf("place %d costs %s, the one before %s", i, x.Delta, got.Items[i-1].Delta)
			}
			if x.CrewName == "" || x.Day != jobs.DayOf(x.StartAt, h.zone()) || !x.EndAt.After(x.StartAt) {
				t.Errorf("place %+v", x)
			}
			c := jobs.WeekChange{Kind: jobs.WeekVisit, VisitID: s.Visit, CrewID: x.CrewID, Day: x.Day, AfterVisitID: x.AfterVisitID, First: x.AfterVisitID == ""}
			if c.AfterVisitID != "" {
				c.CrewID, c.Day = "", ""
			}
			tried, err := h.Try(ctx, a.view, c)
			h.must(err)
			if !tried.Fits || tried.TotalAfter-tried.TotalBefore != x.Delta {
				t.Errorf("the place costs %s more, tried it is %+v", x.Delta, tried.Says)
			}
		}
		_, err = h.Places(ctx, a.view, h.branch)
		h.wants(err, jobs.CodeInvalid, "visit_id")
		_, err = h.Places(ctx, desk.ViewRef{DraftID: h.branch}, s.Visit)
		h.wants(err, jobs.CodeNotFound, "")
	})
}

func TestWhyAndHowSure(t *testing.T) {
	eachOffice(t, func(h *hands) {
		y := h.yard("customer", "crew_pump")
		// Nobody licensed from tomorrow on: what needs one stays out.
		persons, err := h.Persons(ctx, h.branch)
		h.must(err)
		for _, p := range persons {
			if slices.Contains(p.Skills, jobs.SkillLicensed) {
				for day := jobs.Day("2026-03-03"); day < "2026-03-08"; day = day.Add(1) {
					h.made(h.CreateAbsence(ctx, h.office(), h.branch, jobs.AbsenceData{PersonID: p.ID, Day: day, ToMinute: 1440, Reason: "course"}))
				}
			}
		}
		d := h.plannedIn("2026-03-03", 3)
		view := desk.ViewRef{DraftID: d.ID}
		got, err := h.Why(ctx, view, y.jobs[0])
		h.must(err)
		if len(got.Says) == 0 || len(got.Sets) == 0 && got.Fits == nil || got.Job.ID != y.jobs[0] {
			t.Errorf("why: %+v", got)
		}
		if i := slices.IndexFunc(got.Sets, func(r desk.Reason) bool { return slices.Contains(r.Facts, "skill") }); i < 0 || got.Sets[i].Customer == "" {
			t.Errorf("no set names the skill that is missing, for the customer too: %+v", got.Sets)
		}
		_, err = h.Why(ctx, view, h.branch)
		h.wants(err, jobs.CodeInvalid, "job_id")

		odds, err := h.Odds(ctx, view, 200, 3)
		h.must(err)
		again, err := h.Odds(ctx, view, 200, 3)
		h.must(err)
		if odds.Says == "" || odds.Runs != 200 || odds.Says != again.Says {
			t.Errorf("odds %+v", odds)
		}
		_, err = h.Odds(ctx, view, 7, 3)
		h.wants(err, jobs.CodeInvalid, "runs")
		_, err = h.Why(ctx, desk.ViewRef{BranchID: h.branch}, y.jobs[0])
		h.wants(err, jobs.CodeConflict, "Nothing was handed out yet")
	})
}
