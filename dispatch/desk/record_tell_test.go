package desk_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// round puts one stop after another into a crew's day, each a visit of a job of
// another customer who reads Spanish: from seven in the morning there, an hour
// of work and an hour of driving in turn.
func (p *pool) round(crew int, kinds ...jobs.VisitKind) (visits []jobs.Visit) {
	p.Helper()
	id := ids{p.hands}
	start := time.Date(2026, 3, 2, 14, 0, 0, 0, time.UTC)
	tour := jobs.Tour{ID: id.New(), PlanID: p.plan, BranchID: p.branch, CrewID: p.crews[crew], Day: "2026-03-02", DepartAt: start, ReturnAt: start.Add(8 * time.Hour), Live: true}
	p.must(p.store.InTx(ctx, func(tx *store.Tx) error { return tx.InsertTours([]jobs.Tour{tour}) }))
	for i, kind := range kinds {
		p.n++
		call := p.firstCall()
		call.Customer.Name, call.Site.Street = fmt.Sprintf("Customer %d", p.n), fmt.Sprintf("%d Ocotillo Ln", p.n)
		call.Contacts[0].Email, call.Contacts[0].Language = fmt.Sprintf("c%d@example.com", p.n), "es"
		out, err := p.CreateEnquiry(ctx, p.office(), call)
		p.must(err)
		j := p.Job0(out.NounID)
		v := jobs.Visit{ID: id.New(), JobID: j.ID, Place: 9, Kind: kind, State: jobs.VisitRouted, Version: 1, CreatedAt: p.now, UpdatedAt: p.now}
		at := start.Add(time.Duration(2*i) * time.Hour)
		p.must(p.store.InTx(ctx, func(tx *store.Tx) error {
			if err := tx.InsertVisit(v); err != nil {
				return err
			}
			if err := tx.InsertStops([]jobs.Stop{{ID: id.New(), PlanID: p.plan, BranchID: p.branch, TourID: tour.ID, CrewID: tour.CrewID, JobID: j.ID, VisitID: v.ID,
				Place: int64(i + 1), ArriveAt: at, StartAt: at, EndAt: at.Add(time.Hour), Live: true}}); err != nil {
				return err
			}
			return tx.InsertPromises([]jobs.Promise{{ID: id.New(), BranchID: p.branch, JobID: j.ID, VisitID: v.ID, PlanID: p.plan,
				FromAt: at.Add(-30 * time.Minute), ToAt: at.Add(90 * time.Minute), Live: true, CreatedAt: p.now}})
		}))
		visits = append(visits, v)
	}
	return visits
}

// told are the notices of a kind that were written for a visit's job.
func (p *pool) told(v jobs.Visit, kind jobs.NoticeKind) (out []jobs.Notice) {
	p.Helper()
	list, err := p.Notices(ctx, desk.NoticeFilter{JobID: v.JobID}, jobs.Page{})
	p.must(err)
	for _, n := range list.Items {
		if n.Kind == kind {
			out = append(out, n)
		}
	}
	return out
}

func (p *pool) wantTold(what string, want int, v jobs.Visit, kind jobs.NoticeKind) {
	p.Helper()
	if got := len(p.told(v, kind)); got != want {
		p.Errorf("%s: %d notices %s, want %d", what, got, kind, want)
	}
}

// whole are the reports of a whole visit that ended at a minute.
func whole(v jobs.Visit, minute int) []jobs.Operation {
	list := append(gates(), report(80, jobs.OpArrived, 1))
	if v.Kind == jobs.VisitCommission {
		list = []jobs.Operation{report(80, jobs.OpArrived, minute-5)}
		for i, id := range []string{"commission-covered", "commission-test", "commission-equipment"} {
			list = append(list, report(90+i, jobs.OpStep, minute-4, step(id, "", nil)))
		}
	}
	return of(v.ID, append(list, report(81, jobs.OpDone, minute)))
}

// A crew that leaves a stop is on its way to the next one, whose customer hears
// it once and in the own language, with the planned drive added to the instant
// of leaving and never before the window that was promised.
func TestNextCustomerHearsThatTheCrewLeft(t *testing.T) {
	eachOffice(t, func(h *hands) {
		p := h.pool()
		v := p.round(0, jobs.VisitConvert, jobs.VisitCommission, jobs.VisitSurvey)
		p.record(p.tech(0), whole(v[0], 115)...) // 14:55; it is 15:00
		p.record(p.tech(0), of(v[0].ID, []jobs.Operation{report(82, jobs.OpLeft, 116)})...)
		p.wantTold("after the first stop", 1, v[1], jobs.NoticeOnTheWay)
		n := p.told(v[1], jobs.NoticeOnTheWay)[0]
		if n.Facts.From != phoneTime(115).Add(time.Hour).Unix() || n.State != jobs.NoticeDue || !n.DueAt.Equal(h.now) ||
			!n.UsefulUntil.Equal(phoneTime(115).Add(2*time.Hour)) {
			t.Errorf("expected at %s, due %s until %s", time.Unix(n.Facts.From, 0).UTC(), n.DueAt, n.UsefulUntil)
		}
		if !strings.HasPrefix(n.Subject, "La cuadrilla va en camino") || !strings.Contains(n.Body, "lunes 2 de marzo, 8:55 a. m.") ||
			!strings.Contains(n.Body, "persona con licencia") {
			t.Errorf("%s\n%s", n.Subject, n.Body)
		}
		p.wantTold("a stop further on", 0, v[2], jobs.NoticeOnTheWay)

		// Much sooner than planned: the window that was promised still holds.
		h.now = h.now.Add(40 * time.Minute)
		p.wantTold("before the commission", 0, v[1], jobs.NoticeHowToUse)
		p.record(p.tech(0), whole(v[1], 155)...) // 15:35, planned until 17:00
		p.record(p.tech(0), of(v[1].ID, []jobs.Operation{report(83, jobs.OpMadeSafe, 156, reason("a light flickers"), until(900)), report(84, jobs.OpDone, 157)})...)
		p.wantTold("after the commission", 1, v[2], jobs.NoticeOnTheWay)
		if from := p.told(v[2], jobs.NoticeOnTheWay)[0].Facts.From; from != time.Date(2026, 3, 2, 17, 30, 0, 0, time.UTC).Unix() {
			t.Errorf("expected at %s, before the promised window", time.Unix(from, 0).UTC())
		}
		p.wantTold("commissioned", 1, v[1], jobs.NoticeHowToUse)
		if n := p.told(v[1], jobs.NoticeHowToUse)[0]; n.Language != "es" || !strings.Contains(n.Body, "persona con licencia") {
			t.Errorf("how to use in %q:\n%s", n.Language, n.Body)
		}
		p.wantTold("no commission", 0, v[0], jobs.NoticeHowToUse)
	})
}

// What came to nothing or was left safe is left all the same; what is old news,
// or overtaken by the crew's own reports, is told to nobody.
func TestWhoIsTakenForNext(t *testing.T) {
	eachOffice(t, func(h *hands) {
		p := h.pool()
		v := p.round(0, jobs.VisitSurvey, jobs.VisitSurvey, jobs.VisitSurvey, jobs.VisitSurvey)
		p.record(p.tech(0), report2(v[0], 10, jobs.OpDone, 80)) // 14:20, forty minutes ago
		p.wantTold("old news", 0, v[1], jobs.NoticeOnTheWay)
		p.record(p.tech(0), append(of(v[1].ID, []jobs.Operation{report(11, jobs.OpArrived, 95), report(12, jobs.OpWasted, 110, reason("nobody at home"))}),
			of(v[2].ID, []jobs.Operation{report(13, jobs.OpArrived, 117)})...)...) // all at once: the phone was offline
		p.wantTold("arrived there already", 0, v[2], jobs.NoticeOnTheWay)
		p.wantTold("not the next", 0, v[3], jobs.NoticeOnTheWay)
		p.record(p.tech(0), of(v[2].ID, []jobs.Operation{report(14, jobs.OpWasted, 119, reason("dog in the yard"))})...)
		p.wantTold("after a wasted trip", 1, v[3], jobs.NoticeOnTheWay)

		// The next stop's visit was withdrawn: the one behind it is next.
		w := p.round(1, jobs.VisitSurvey, jobs.VisitSurvey, jobs.VisitSurvey)
		_, err := h.ChangeVisit(ctx, h.office(), w[1].ID, 1, jobs.VisitChange{Withdraw: true})
		h.must(err)
		p.record(p.tech(1), report2(w[0], 15, jobs.OpDone, 118))
		p.wantTold("withdrawn", 0, w[1], jobs.NoticeOnTheWay)
		p.wantTold("behind the withdrawn", 1, w[2], jobs.NoticeOnTheWay)
	})
}

func report2(v jobs.Visit, n int, kind jobs.OperationKind, minute int) jobs.Operation {
	return of(v.ID, []jobs.Operation{report(n, kind, minute)})[0]
}
