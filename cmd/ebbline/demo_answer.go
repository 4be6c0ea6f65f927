package main

import (
	"strconv"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/dispatch/week"
	"ebbline/jobs"
)

// answers lets customers say that they opened the drain, read the water, and
// take the window. One says nothing: the office must ask.
func (f *demoFill) answers(w *week.Week, p *week.Plan) {
	at := instants(w, f.days.zone)
	for i, told := range p.Told {
		if f.said[told.Job] || f.storyOf(told.Job).word == "told_later" {
			continue
		}
		f.said[told.Job] = true
		f.later(at(told.Earliest).Add(-3*time.Hour), "", func() error { return f.say(told.Job, jobs.AnswerWindowAccepted) })
		opened := at((told.Earliest + told.Latest) / 2)
		f.later(opened, "", func() error { return f.say(told.Job, jobs.AnswerStarted) })
		for _, water := range p.Water {
			if water.Job != told.Job || water.SurelyLow == nil || i%2 == 1 {
				continue
			}
			pumped := at(*water.SurelyLow).Sub(opened)
			if pumped > 12*time.Hour {
				pumped -= 9 * time.Hour // nothing is pumped from ten to seven
			}
			for _, after := range []time.Duration{90 * time.Minute, 3 * time.Hour} {
				quarters := 8 + int64(4*25*after/max(pumped, time.Hour)) // from 2 in below the tile line to 27
				f.later(opened.Add(after), "", func() error { return f.read(told.Job, inches(quarters)) })
			}
		}
	}
}

// inches writes quarters of an inch as people read them off a tape.
func inches(quarters int64) string {
	whole, rest := quarters/4, []string{"", " 1/4", " 1/2", " 3/4"}[quarters%4]
	return strconv.FormatInt(whole, 10) + rest
}

func (f *demoFill) say(jobID string, kind jobs.AnswerKind) error {
	_, err := f.desk.AddAnswer(f.ctx, f.office(), jobID, kind, "")
	return err
}

func (f *demoFill) read(jobID, inches string) error {
	_, err := f.desk.AddReading(f.ctx, f.office(), jobID, desk.NewReading{Text: inches, Unit: "in"})
	return err
}

// holdLow is the office's decision on a pool that was made safe.
func (f *demoFill) holdLow(s demoStory) error {
	j, err := f.job(s)
	if err != nil {
		return err
	}
	_, err = f.desk.ActOnJob(f.ctx, f.office(), j.ID, j.Version, desk.JobAct{Act: jobs.ActHoldLow, Until: f.days.at(f.days.ahead(1), 18, 0).UTC(),
		Note: "a longer set is on its way"})
	return err
}

// closeJob takes the rest of the money and closes the job.
func (f *demoFill) closeJob(s demoStory) error {
	j, err := f.job(s)
	if err != nil {
		return err
	}
	facts, err := f.desk.Facts(f.ctx, j.ID)
	if err != nil {
		return err
	}
	rest := *j.Value
	for _, p := range facts.Known.Payments {
		rest -= p.Amount
	}
	if rest > 0 {
		if _, err := f.desk.AddPayment(f.ctx, f.office(), jobs.Payment{JobID: j.ID, Kind: jobs.PaymentFinal, Amount: rest, Method: "check"}); err != nil {
			return err
		}
	}
	return f.act(s, jobs.ActClose, "")
}

// inspector asks for the inspection and holds it to the day that was given.
func (f *demoFill) inspector(s demoStory) error {
	if err := f.act(s, jobs.ActRequestInspection, ""); err != nil {
		return err
	}
	j, err := f.job(s)
	if err != nil {
		return err
	}
	day := f.days.ahead(1)
	for _, v := range j.Visits {
		if v.Kind == jobs.VisitInspect && v.State == jobs.VisitOpen {
			_, err = f.desk.ChangeVisit(f.ctx, f.office(), v.ID, v.Version, jobs.VisitChange{PinDay: &day})
		}
	}
	return err
}
