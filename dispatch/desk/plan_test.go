package desk_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"testing"
	"time"

	"ebbline/dispatch/check"
	"ebbline/dispatch/desk"
	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// yard is a small branch: two crews that can pull cord, the second with the
// only licensed person, three pumps, and ready jobs of the ways asked for.
type yard struct {
	*hands
	home  string
	crews []string
	jobs  []string
}

func (h *hands) made(out desk.Outcome, err error) string {
	h.Helper()
	h.must(err)
	return out.NounID
}

// yard sets the branch up.
func (h *hands) yard(ways ...string) *yard {
	h.Helper()
	y := &yard{hands: h}
	y.home = h.made(h.CreateHome(ctx, h.office(), h.branch, jobs.HomeData{Name: "Yard", LatE7: 334_484_000, LonE7: -1_120_740_000}))
	skills := [][]jobs.Skill{
		{jobs.SkillPull, jobs.SkillWater, jobs.SkillSurvey}, {jobs.SkillPull, jobs.SkillDig},
		{jobs.SkillPull, jobs.SkillWater, jobs.SkillLicensed}, {jobs.SkillPull},
	}
	var people []string
	for i, s := range skills {
		people = append(people, h.made(h.CreatePerson(ctx, h.office(), h.branch, jobs.PersonData{Name: fmt.Sprintf("Person %c", 'A'+i),
			Email: fmt.Sprintf("person%d@example.com", i), Skills: s, Active: true})))
	}
	var shifts []jobs.Shift
	for d := int64(1); d <= 5; d++ {
		shifts = append(shifts, jobs.Shift{Weekday: d, FromMinute: 6 * 60, ToMinute: 17 * 60, OvertimeMinutes: 120})
	}
	for i := range 2 {
		y.crews = append(y.crews, h.made(h.CreateCrew(ctx, h.office(), h.branch, jobs.CrewData{HomeID: y.home, Name: fmt.Sprintf("Crew %d", i+1), Place: int64(i),
			PumpBerths: 2, People: people[2*i : 2*i+2], Shifts: shifts, Active: true})))
	}
	for i := range 3 {
		h.made(h.CreatePump(ctx, h.office(), h.branch, jobs.PumpData{HomeID: y.home, Name: fmt.Sprintf("P%d", i+1), State: jobs.PumpWorking, FlowMLPS: 3000}))
	}
	_, settings := h.settings()
	settings.Company.Email = "office@example.com"
	settings.Company.CancelDays = 0
	h.putSettings(settings)
	for i, way := range ways {
		y.jobs = append(y.jobs, h.readyJob(i, way))
	}
	return y
}

func (h *hands) settings() (int64, jobs.Settings) {
	h.Helper()
	var s jobs.SettingsInForce
	h.must(h.store.View(ctx, func(tx *store.Tx) (err error) { s, err = tx.Settings(h.branch); return err }))
	return s.Number, s.Settings
}

func (h *hands) putSettings(s jobs.Settings) {
	h.Helper()
	number, _ := h.settings()
	h.must(h.store.InTx(ctx, func(tx *store.Tx) error {
		return tx.InsertSettings(jobs.SettingsInForce{BranchID: h.branch, Number: number + 1, Settings: s, MadeAt: h.now, MadeBy: "test"})
	}))
}

// readyJob brings a two-light job of the survey's way of becoming low to ready.
func (h *hands) readyJob(n int, way string) string {
	h.Helper()
	call := h.firstCall()
	call.Customer.Name = fmt.Sprintf("Customer %d", n+1)
	call.Contacts[0].Email = fmt.Sprintf("c%d@example.com", n+1)
	call.Site.Street = fmt.Sprintf("%d Ocotillo Ln", n+1)
	call.Site.Postcode = "85001"
	call.Site.LatE7, call.Site.LonE7 = ptr(334_500_000+int64(n)*90_000), ptr(-1_120_700_000-int64(n%3)*120_000)
	out, err := h.CreateEnquiry(ctx, h.office(), call)
	h.must(err)
	j := h.wantState(out.NounID, jobs.StateEnquiry)
	s := surveyFile(h.T, "rectangle")
	s.Zone = h.zone().String()
	s.Subjects = slices.DeleteFunc(s.Subjects, func(sub jobs.Subject) bool {
		return slices.Contains([]string{"l3", "l4", "c3", "c4"}, sub.ID)
	})
	for _, sub := range s.Subjects {
		if sub.Kind == jobs.SubjectBody {
			v := sub.Values["becomes_low"]
			v.Text = way
			sub.Values["becomes_low"] = v
			v = sub.Values["lights"]
			v.Text, v.Base = "2", 0
			sub.Values["lights"] = v
			rate := jobs.Value{Text: "40", Unit: "gpm", Known: jobs.KnownRead, At: v.At}
			sub.Values["read_rate"], sub.Values["outlet_rate"] = rate, rate
		}
	}
	_, err = h.ChangeSurvey(ctx, h.office(), j.SiteID, 0, s)
	h.must(err)
	made, err := h.MakeEstimate(ctx, h.office(), j.ID, jobs.EstimateWish{})
	h.must(err)
	draft, err := h.CreateQuote(ctx, h.office(), j.ID, jobs.NewQuote{EstimateID: made.NounID})
	h.must(err)
	_, err = h.SendQuote(ctx, h.office(), draft.NounID, 1)
	h.must(err)
	q, err := h.Quote(ctx, draft.NounID)
	h.must(err)
	_, err = h.AnswerQuote(ctx, h.office(), q.ID, q.Version, jobs.QuoteAnswer{Answer: jobs.QuoteApproved, By: "Pat Doe"})
	h.must(err)
	h.makeReady(j.ID, q)
	h.wantState(j.ID, jobs.StateReady)
	return j.ID
}

// planned opens a draft of five days from the day and plans it.
func (h *hands) planned(first jobs.Day) jobs.Draft {
	h.Helper()
	return h.plannedIn(first, 20)
}

// plannedIn plans with so many rounds of the search.
func (h *hands) plannedIn(first jobs.Day, rounds int64) jobs.Draft {
	h.Helper()
	id := h.made(h.CreateDraft(ctx, h.office(), h.branch, jobs.NewDraft{FirstDay: first, Days: 5}))
	run := h.made(h.StartPlanRun(ctx, h.office(), id, jobs.RunData{Rounds: rounds, Strands: 2}))
	var reports int
	h.must(h.RunPlan(ctx, run, func(jobs.PlanRun) { reports++ }))
	r, err := h.PlanRun(ctx, run)
	h.must(err)
	if r.State != jobs.RunDone || r.Best == nil || reports == 0 {
		h.Fatalf("run %+v after %d reports", r, reports)
	}
	d, err := h.Draft(ctx, id)
	h.must(err)
	if d.State != jobs.DraftPlanned || d.Cost == nil || d.RunID != run {
		h.Fatalf("draft %s, cost %v", d.State, d.Cost)
	}
	return d
}

// files decodes a draft's week and plan.
func (h *hands) files(d jobs.Draft) (*week.Week, *week.Plan) {
	h.Helper()
	f, err := h.DraftFile(ctx, d.ID)
	h.must(err)
	w, err := week.DecodeWeek(bytes.NewReader(f.Week))
	h.must(err)
	p, err := week.DecodePlan(bytes.NewReader(f.Plan))
	h.must(err)
	return w, p
}

// live reads what crews and customers are told.
func (h *hands) live() (stops []jobs.Stop, tours []jobs.Tour, drains []jobs.Drain, promises []jobs.Promise) {
	h.Helper()
	h.must(h.store.View(ctx, func(tx *store.Tx) (err error) {
		if stops, err = tx.LiveStops(h.branch, h.now.AddDate(0, 0, -30)); err != nil {
			return err
		}
		if tours, err = tx.LiveTours(h.branch, "2020-01-01", "2030-01-01"); err != nil {
			return err
		}
		if drains, err = tx.LiveDrains(h.branch); err != nil {
			return err
		}
		promises, err = tx.LivePromises(h.branch)
		return err
	}))
	return stops, tours, drains, promises
}

func (h *hands) planNotices(planID string) []jobs.Notice {
	h.Helper()
	var list []jobs.Notice
	h.must(h.store.View(ctx, func(tx *store.Tx) (err error) { list, err = tx.NoticesOfPlan(planID); return err }))
	return list
}

func TestWeekFromFirstDraftToHandOut(t *testing.T) {
	eachOffice(t, func(h *hands) {
		y := h.yard("crew_pump", "customer", "crew_pump", "pool_outlet")
		d := h.planned("2026-03-03")
		w, p := h.files(d)
		if r := check.Plan(w, p); !r.OK() {
			t.Fatalf("the checker: %+v", r.Broken)
		}
		if len(w.Jobs) != 4 || len(p.LeftOut) != 0 {
			text, _ := json.Marshal(p.LeftOut)
			kept, _ := h.KeptOut(ctx, h.branch, d.NewDraft)
			t.Fatalf("%d jobs in the week, kept out %v, left out %s", len(w.Jobs), kept, text)
		}
		told, err := h.Told(ctx, d.ID)
		h.must(err)
		if len(told) == 0 {
			t.Error("nobody would be told anything")
		}

		_, err = h.HandOut(ctx, h.office(), d.ID, d.Version-1)
		h.wants(err, jobs.CodeStale, "")
		planID := h.made(h.HandOut(ctx, h.office(), d.ID, d.Version))
		plan, err := h.Plan(ctx, planID)
		h.must(err)
		if plan.Number != 1 || plan.NoticesCount != int64(len(told)) {
			t.Errorf("plan %d with %d notices, %d lines were announced", plan.Number, plan.NoticesCount, len(told))
		}
		for _, id := range y.jobs {
			j := h.wantState(id, jobs.StateRouted)
			for _, v := range j.Visits {
				if v.State != jobs.VisitRouted && v.Kind != jobs.VisitCommission && v.Kind != jobs.VisitSurvey {
					t.Errorf("job %d: %s is %s", j.Number, v.Kind, v.State)
				}
			}
		}
		stops, tours, drains, promises := h.live()
		n := 0
		for _, tour := range p.Tours {
			n += len(tour.Stops)
		}
		if len(stops) != n || len(tours) != len(p.Tours) || len(drains) != 4 || len(promises) != n {
			t.Errorf("%d stops of %d, %d tours of %d, %d drains, %d promises", len(stops), n, len(tours), len(p.Tours), len(drains), len(promises))
		}

		// The same again: nothing is told twice.
		_, err = h.HandOut(ctx, h.office(), d.ID, d.Version+1)
		h.wants(err, jobs.CodeConflict, "handed out")
		h.now = h.now.Add(time.Hour)
		again := h.planned("2026-03-03")
		w2, p2 := h.files(again)
		if w2.HandedOut == nil || len(w2.HandedOut.Tours) != len(p.Tours) {
			t.Errorf("the second week does not know what was handed out: %+v", w2.HandedOut)
		}
		if p2.Cost.ToldAnew != 0 || p2.Cost.Promises != 0 {
			t.Errorf("planning again costs %+v", p2.Cost)
		}
	})
}

func readerOf(b []byte) *bytes.Reader { return bytes.NewReader(b) }
