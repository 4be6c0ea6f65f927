package jobs

import (
	"strings"
	"testing"
	"time"
)

// toldPlan is one customer-drained conversion on Wednesday with a pool-care
// firm, planned on Monday at 10.
func toldPlan(t *testing.T) ToldPlan {
	zone := loadZone(t, "America/Phoenix")
	at := func(day, hour, minute int) time.Time { return time.Date(2026, 3, day, hour, minute, 0, 0, zone) }
	visit := func(id string, kind VisitKind, start, end time.Time) ToldVisit {
		from, to := Window(start, 2*time.Hour)
		return ToldVisit{Visit: Visit{ID: id, JobID: "j", Kind: kind, State: VisitRouted},
			Stop:    Stop{VisitID: id, JobID: "j", StartAt: start, EndAt: end, Live: true},
			Promise: &Promise{VisitID: id, FromAt: from, ToAt: to, Live: true}}
	}
	email := func(id string, role ContactRole) Contact {
		return Contact{ID: id, ContactData: ContactData{Role: role, Name: "Pat " + id, Email: id + "@example.com", Channel: ChannelEmail, Language: "en"}}
	}
	company := DefaultCompany()
	company.Email, company.Name, company.Phone = "office@example.com", "Dry Wash Lights", "+1 559 555 0100"
	return ToldPlan{
		Now: at(9, 10, 0), BranchID: "b", Zone: zone, ZoneName: "America/Phoenix", Planning: DefaultPlanning(), Company: company,
		Jobs: []ToldJob{{
			Job:      Job{ID: "j", Number: 12, JobData: JobData{WayLow: LowCustomer}},
			Site:     Site{SiteData: SiteData{Street: "4 Ocotillo Lane", Zone: "America/Phoenix", GateCode: "1234", Pets: "dog"}},
			Zone:     zone,
			Contacts: []Contact{email("payer", ContactPayer), email("occ", ContactOccupant), email("care", ContactPoolCare)},
			Visits:   []ToldVisit{visit("v1", VisitConvert, at(11, 9, 0), at(11, 13, 0)), visit("v2", VisitCommission, at(13, 9, 0), at(13, 10, 0))},
			Drain: &Drain{JobID: "j", WayLow: LowCustomer, ToldFrom: at(10, 15, 0), ToldTo: at(10, 17, 0),
				LowEarlyAt: at(10, 21, 0), LowLateAt: at(11, 8, 30), CoveredAt: at(11, 20, 0), LimitAt: at(13, 21, 0)},
			Hold: 10 * 86_400, Filler: true, Opens: "customer", Closes: "customer",
		}},
		Days: []ToldDay{{
			Crew:   Crew{ID: "c", CrewData: CrewData{Name: "Crew 1"}},
			People: []Person{{ID: "p1", PersonData: PersonData{Name: "Sam", Email: "sam@example.com"}}, {ID: "p2", PersonData: PersonData{Name: "No address"}}},
			Tour:   Tour{CrewID: "c", Day: "2026-03-11", DepartAt: at(11, 8, 0), ReturnAt: at(11, 14, 0), MorningPumps: 1},
			Stops:  []StopFact{{JobNumber: 12, Kind: VisitConvert, Site: "4 Ocotillo Lane", Start: at(11, 9, 0).Unix(), End: at(11, 13, 0).Unix()}},
		}},
	}
}

func TestPlanNotices(t *testing.T) {
	p := toldPlan(t)
	got := map[string]WantedNotice{}
	for _, w := range PlanNotices(p) {
		if _, twice := got[w.Thing]; twice {
			t.Errorf("%s twice", w.Thing)
		}
		got[w.Thing] = w
		if due := w.DueAt.In(p.Zone); w.DueAt.Before(p.Now) || due.Hour() < 8 || due.Hour() >= 20 {
			t.Errorf("%s is due at %v", w.Thing, due)
		}
	}
	for _, thing := range []string{
		"booking/v1/payer", "booking/v1/occ", "booking/v2/payer", "booking/v2/occ", "stop_chlorine/j/occ", "prep/j/occ", "halfway/j/occ",
		"open_fill/j/occ", "close_fill/j/occ", "look_after/j/occ", "leave_alone/j/care", "back_to_you/j/care",
		"crew_sheet/c/2026-03-11/p1", "office_unconfirmed/j",
	} {
		if _, ok := got[thing]; !ok {
			t.Errorf("no %s", thing)
		}
		delete(got, thing)
	}
	for thing := range got {
		t.Errorf("%s is not wanted", thing)
	}
}

func TestNoticeTextsCarryTheirCautions(t *testing.T) {
	p := toldPlan(t)
	for _, w := range PlanNotices(p) {
		for _, change := range []ChangeKind{ChangeNew, ChangeChanged} {
			subject, body := NoticeText(w.Kind, change, w.Facts, w.Words)
			if subject == "" || strings.Contains(subject+body, "%!") || strings.Contains(body, "1234") {
				t.Errorf("%s: %q\n%s", w.Thing, subject, body)
			}
			if strings.HasPrefix(subject, "Changed: ") != (change == ChangeChanged) {
				t.Errorf("%s: subject %q", w.Thing, subject)
			}
			low := strings.ToLower(body)
			if w.Kind == NoticePrep && !strings.Contains(low, "shell can float") {
				t.Errorf("prep without its caution:\n%s", body)
			}
			if w.Kind == NoticeBooking && !strings.Contains(low, "licensed person") {
				t.Errorf("booking without its caution:\n%s", body)
			}
		}
		if w.Kind == NoticeStopChlorine { // ten days before tomorrow are over
			subject, body := NoticeText(w.Kind, ChangeNew, w.Facts, w.Words)
			if !strings.HasPrefix(subject, "Stop chlorinating now") || strings.Contains(body, "Feb") {
				t.Errorf("%s\n%s", subject, body)
			}
		}
		if w.Kind == NoticePrep {
			_, body := NoticeText(w.Kind, ChangeNew, w.Facts, w.Words)
			for _, want := range []string{"Tue Mar 10, between 3:00 pm and 5:00 pm", "Wed Mar 11, 9:00 am", "filler"} {
				if !strings.Contains(body, want) {
					t.Errorf("prep does not say %q:\n%s", want, body)
				}
			}
		}
	}
}

// written makes the rows that steps lead to, as the store would.
func written(known []Notice, steps []NoticeStep, state NoticeState) []Notice {
	out := append([]Notice(nil), known...)
	for _, s := range steps {
		if s.Old != nil {
			for i := range out {
				if out[i].Thing == s.Old.Thing && out[i].Revision == s.Old.Revision && !out[i].Seen() {
					out[i].State = NoticeSuperseded
				}
			}
		}
		if w := s.Want; w != nil {
			out = append(out, Notice{Thing: w.Thing, Kind: w.Kind, Revision: s.Revision, ICalSequence: s.Sequence, ICalUID: w.ICalUID,
				Channel: w.Channel, Address: w.Address, Facts: w.Facts, State: state, UsefulUntil: w.UsefulUntil})
		}
	}
	return out
}

func TestDiffNotices(t *testing.T) {
	p := toldPlan(t)
	first := PlanNotices(p)
	told := written(nil, DiffNotices(nil, first, p.Now), NoticeSent)
	if len(told) != len(first) {
		t.Fatalf("%d rows of %d", len(told), len(first))
	}
	if steps := DiffNotices(told, first, p.Now); len(steps) != 0 {
		t.Errorf("the same plan again: %+v", steps)
	}

	// The conversion moves by two hours: its window, the crew's sheet, the fill
	// and the drain's end move; the commission does not.
	moved := p
	moved.Jobs = []ToldJob{p.Jobs[0]}
	moved.Jobs[0].Visits = append([]ToldVisit(nil), p.Jobs[0].Visits...)
	v := &moved.Jobs[0].Visits[0]
	v.Stop.StartAt, v.Stop.EndAt = v.Stop.StartAt.Add(2*time.Hour), v.Stop.EndAt.Add(2*time.Hour)
	from, to := Window(v.Stop.StartAt, 2*time.Hour)
	v.Promise = &Promise{FromAt: from, ToAt: to}
	steps := DiffNotices(told, PlanNotices(moved), p.Now)
	changed := map[string]bool{}
	for _, s := range steps {
		if s.Change != ChangeChanged || s.Revision != 2 || s.Sequence != 1 || s.Old == nil {
			t.Errorf("%+v", s)
		}
		if s.Want.ICalUID != s.Old.ICalUID {
			t.Errorf("%s: UID changed", s.Want.Thing)
		}
		changed[s.Want.Thing] = true
	}
	if !changed["booking/v1/occ"] || !changed["prep/j/occ"] || changed["booking/v2/occ"] || changed["leave_alone/j/care"] {
		t.Errorf("changed: %v", changed)
	}

	// Nobody has seen it: replaced silently, and new to its reader.
	unseen := written(nil, DiffNotices(nil, first, p.Now), NoticeDue)
	for _, s := range DiffNotices(unseen, PlanNotices(moved), p.Now) {
		if s.Change != ChangeNew || s.Old == nil {
			t.Errorf("unseen: %+v", s)
		}
	}
	for _, s := range DiffNotices(unseen, nil, p.Now) {
		if s.Want != nil {
			t.Errorf("takes back what nobody saw: %+v", s)
		}
	}

	// The job leaves the plan: what was seen is taken back, once.
	steps = DiffNotices(told, nil, p.Now)
	for _, s := range steps {
		if s.Change != ChangeWithdrawn || s.Want == nil || !s.Want.Facts.TakenBack {
			t.Errorf("%+v", s)
		}
	}
	if len(steps) != 4+1+1+1+1 { // bookings, chlorine, prep, pool care, crew
		t.Errorf("%d taken back", len(steps))
	}
	gone := written(told, steps, NoticeSent)
	if again := DiffNotices(gone, nil, p.Now); len(again) != 0 {
		t.Errorf("taken back twice: %+v", again)
	}
	// And comes back: new to its readers, revision and sequence go on.
	for _, s := range DiffNotices(gone, first, p.Now) {
		if s.Change != ChangeNew || s.Revision != 3 || s.Sequence != 2 {
			t.Errorf("%+v", s)
		}
	}
	// A week later nothing of it is of use: nothing is said.
	if late := DiffNotices(told, nil, p.Now.AddDate(0, 0, 14)); len(late) != 0 {
		t.Errorf("after the week: %+v", late)
	}
}
