package main

import (
	"fmt"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
)

// demoStory is one enquiry and how far it comes. The word of story.csv says it;
// what lies in the last week and in the planned one, demo_week.go does.
type demoStory struct {
	key, word, size string
	way             string
	number          int // in the file
}

func (f *demoFill) readStories() (err error) {
	if f.enquiry, err = demoFile("enquiries.csv"); err != nil {
		return err
	}
	t, err := demoFile("story.csv")
	if err != nil {
		return err
	}
	for i, row := range t.rows {
		s := demoStory{key: row[0], word: t.cell(row, "story"), size: t.cell(row, "size"), number: i}
		for _, e := range f.enquiry.only(s.key).rows {
			s.way = f.enquiry.cell(e, "way_low")
		}
		f.stories = append(f.stories, s)
	}
	return nil
}

// lastWeek says whether the work of a story begins in the week before.
func (s demoStory) lastWeek() bool {
	switch s.word {
	case "closed", "converted", "inspection", "drained", "prepared", "made_safe", "told", "told_later":
		return true
	}
	return false
}

// stage is how far towards ready a story comes: 0 enquiry, 1 surveyed,
// 2 quoted, 3 approved, 4 facts noted.
func (s demoStory) stage() int {
	switch s.word {
	case "enquiry", "enquiry_no_map", "declined", "call_back":
		return 0
	case "surveyed", "parked":
		return 1
	case "quoted", "declined_quote":
		return 2
	}
	return 4
}

// lay puts the story's events up to ready on the calendar.
func (f *demoFill) lay() {
	d := f.days
	f.later(d.at(d.back(5), 7, 30), "bringing in the weeks before", f.history)
	for _, s := range f.stories {
		late := s.number % 4
		called, surveyed, quoted, approved, ready := 21+late, 18+late, 15+late, 10+late/2, 7
		switch {
		case s.word == "call_back":
			called = 2
		case s.stage() == 0:
			called = 1 + s.number%5
		case s.stage() < 3:
			called, surveyed, quoted = 9+late, 6+late/2, 3+late/2
		case !s.lastWeek():
			called, surveyed, quoted, approved, ready = 16+late, 13+late, 11+late/2, 7+late/2, 1+s.number%4
		}
		minute := s.number % 50
		f.later(d.at(d.back(called), 9, minute), "", func() error { return f.call(s) })
		if s.stage() >= 1 {
			f.later(d.at(d.back(surveyed), 16, minute), "", func() error { return f.survey(s) })
		}
		if s.stage() >= 2 {
			f.later(d.at(d.back(quoted), 10, minute), "", func() error { return f.quote(s) })
		}
		if s.stage() >= 3 {
			f.later(d.at(d.back(approved), 11, minute), "", func() error { return f.answer(s, jobs.QuoteApproved) })
			f.later(d.at(d.back(ready), 13, minute), "", func() error { return f.facts(s) })
		}
		switch s.word {
		case "parked":
			f.later(d.at(d.back(2), 14, minute), "", func() error { return f.act(s, jobs.ActPark, "away until spring") })
		case "declined":
			f.later(d.at(d.back(1), 12, minute), "", func() error { return f.act(s, jobs.ActDecline, "sells the house") })
		case "declined_quote":
			f.later(d.at(d.back(2), 9, minute), "", func() error { return f.answer(s, jobs.QuoteDeclined) })
		}
	}
	f.layWeeks()
}

// call is the first call: the enquiry comes in by its row.
func (f *demoFill) call(s demoStory) error {
	if err := f.takeIn(jobs.ImportEnquiries, "enquiries.csv", f.enquiry.only(s.key)); err != nil {
		return err
	}
	list, err := f.desk.Jobs(f.ctx, f.office().Actor, desk.JobFilter{}, jobs.Page{Limit: 1})
	if err != nil {
		return err
	}
	if len(list.Items) == 0 || list.Items[0].ImportKey != s.key {
		return fmt.Errorf("%s did not come in", s.key)
	}
	f.jobs[s.key] = list.Items[0].ID
	return nil
}

func (f *demoFill) job(s demoStory) (jobs.Job, error) {
	j, err := f.desk.Job(f.ctx, f.office().Actor, f.jobs[s.key])
	return j.Job, err
}

func (f *demoFill) act(s demoStory, act jobs.Act, note string) error {
	j, err := f.job(s)
	if err != nil {
		return err
	}
	_, err = f.desk.ActOnJob(f.ctx, f.office(), j.ID, j.Version, desk.JobAct{Act: act, Note: note})
	return err
}

// survey brings what somebody measured into the site, and an estimate of it.
func (f *demoFill) survey(s demoStory) error {
	if s.way == string(jobs.LowNotKnown) {
		s.way = string(jobs.LowCrewPump) // as the crew found it
	}
	by := []string{"Mirta Solano", "Desta Hale", "Lena Oskarsby"}[s.number%3]
	t := surveyOf(demoSite{key: s.key, way: s.way, size: s.size, by: by, small: s.lastWeek(), digs: s.word == "prepared" || s.word == "marking",
		lasts: s.word == "drained" || s.word == "made_safe" || s.word == "told" || s.word == "told_later"}, f.rng)
	if err := f.takeIn(jobs.ImportSurvey, "survey.csv", t); err != nil {
		return err
	}
	j, err := f.job(s)
	if err != nil {
		return err
	}
	if j.State == jobs.StateEnquiry {
		if err := f.act(s, jobs.ActMarkSurveyed, ""); err != nil {
			return err
		}
	}
	_, err = f.desk.MakeEstimate(f.ctx, f.office(), f.jobs[s.key], jobs.EstimateWish{})
	return err
}

func (f *demoFill) quote(s demoStory) error {
	j, err := f.job(s)
	if err != nil {
		return err
	}
	out, err := f.desk.CreateQuote(f.ctx, f.office(), j.ID, jobs.NewQuote{EstimateID: j.EstimateID})
	if err != nil {
		return err
	}
	if _, err = f.desk.SendQuote(f.ctx, f.office(), out.NounID, out.Version); err != nil {
		return err
	}
	return f.deliver()
}

func (f *demoFill) answer(s demoStory, answer jobs.QuoteState) error {
	j, err := f.job(s)
	if err != nil {
		return err
	}
	q, err := f.desk.Quote(f.ctx, j.QuoteID)
	if err != nil {
		return err
	}
	_, err = f.desk.AnswerQuote(f.ctx, f.office(), q.ID, q.Version, jobs.QuoteAnswer{Answer: answer, By: j.CustomerName})
	return err
}

// facts notes what gates the job, but for the one thing that its story waits
// for.
func (f *demoFill) facts(s demoStory) error {
	j, err := f.job(s)
	if err != nil {
		return err
	}
	facts, err := f.desk.Facts(f.ctx, j.ID)
	if err != nil {
		return err
	}
	today := jobs.DayOf(f.desk.Now(), f.days.zone)
	if s.word != "deposit" {
		_, err := f.desk.AddPayment(f.ctx, f.office(), jobs.Payment{JobID: j.ID, Kind: jobs.PaymentDeposit, Amount: facts.Known.Quote.Deposit,
			Method: []string{"check", "card", "bank transfer"}[s.number%3]})
		if err != nil {
			return err
		}
	}
	permit := jobs.PermitData{Needed: jobs.No}
	switch s.word {
	case "permit":
		permit = jobs.PermitData{Needed: jobs.Yes, PulledBy: "us", AppliedDay: today}
	case "inspection", "converted":
		permit = jobs.PermitData{Needed: jobs.Yes, PulledBy: "us", Number: fmt.Sprintf("CW-%d", 410+s.number), IssuedDay: today, ExpiresDay: today.Add(180)}
	}
	if _, err := f.desk.SetPermit(f.ctx, f.office(), j.ID, 0, permit); err != nil {
		return err
	}
	if s.word == "prepared" {
		_, err := f.desk.SetMarking(f.ctx, f.office(), j.ID, 0, jobs.MarkingData{SoilOpened: jobs.Yes, Ticket: "T-0417", LawfulFromDay: today.Add(2), ExpiresDay: today.Add(21), PrivateMarked: true})
		if err != nil {
			return err
		}
	}
	if _, err := f.desk.AddSignOff(f.ctx, f.office(), jobs.SignOff{JobID: j.ID, Kind: jobs.SignDrainRisk, SignedBy: j.CustomerName}); err != nil {
		return err
	}
	for i, p := range facts.Known.Parts {
		change := jobs.JobPartChange{State: new(jobs.PartState)}
		*change.State = jobs.PartReceived // what is bought for a job does not pass over the shelf
		if i == 0 {
			change = f.firstPart(s, change)
		}
		if _, err := f.desk.ChangeJobPart(f.ctx, f.office(), p.ID, p.Version, change); err != nil {
			return err
		}
	}
	return nil
}

// firstPart is where the light-and-cord set of a story is.
func (f *demoFill) firstPart(s demoStory, change jobs.JobPartChange) jobs.JobPartChange {
	promised := map[string]jobs.Day{"parts_day1": f.days.first, "parts_day2": f.days.ahead(1), "parts_next_week": f.days.ahead(5)}
	state := jobs.PartPromised
	if s.word == "back_ordered" {
		state = jobs.PartBackOrdered
		return jobs.JobPartChange{State: &state}
	}
	if day, ok := promised[s.word]; ok {
		return jobs.JobPartChange{State: &state, PromisedDay: &day}
	}
	return change
}

// clockText is a time of day in the import's form.
func clockText(t time.Time) string { return t.Format("15:04") }
