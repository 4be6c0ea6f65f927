package main

import (
	"fmt"
	"time"

	"ebbline/dispatch/week"
	"ebbline/jobs"
)

// live lets the crews live through a plan until the planned week begins, and
// customers say what they did.
func (f *demoFill) live(w *week.Week, p *week.Plan) error {
	at, index := instants(w, f.days.zone), week.NewIndex(w)
	for _, tour := range p.Tours {
		t := w.Tours[index.Tour[tour.Tour]]
		day := jobs.Day(w.Days[t.Day].Date)
		if day >= f.days.first {
			continue
		}
		for _, stop := range tour.Stops {
			begin := at(stop.Start).Add(time.Duration(f.rng.IntN(9)) * time.Minute)
			took := time.Duration((stop.End-stop.Start)*int64(72+f.rng.IntN(25))/100) * time.Second
			f.later(begin.Add(took), "", func() error { return f.report(t.Crew, day, stop.Visit, begin) })
		}
	}
	f.answers(w, p)
	return nil
}

// tech is a call of the crew's lead.
func (f *demoFill) tech(crewID string) (jobs.Actor, error) {
	users, err := f.desk.Users(f.ctx, jobs.Page{})
	if err != nil {
		return jobs.Actor{}, err
	}
	for _, u := range users.Items {
		if u.CrewID == crewID {
			return u.Actor(), nil
		}
	}
	return jobs.Actor{}, fmt.Errorf("no tech of crew %s signs in", crewID)
}

// report is what the crew notes at one stop, from arriving to leaving now.
func (f *demoFill) report(crewID string, day jobs.Day, visitID string, begin time.Time) error {
	call := f.office()
	var err error
	if call.Actor, err = f.tech(crewID); err != nil {
		return err
	}
	today, err := f.desk.Today(f.ctx, call.Actor, day, f.branch, crewID)
	if err != nil {
		return err
	}
	for _, s := range today.Stops {
		here := s.Visit.State == jobs.VisitUnderWay
		if s.Visit.ID != visitID || s.Visit.State != jobs.VisitRouted && !here {
			continue
		}
		note := &demoNote{fill: f, visit: visitID, from: begin, to: call.Now, here: here}
		story := f.storyOf(s.Job.ID)
		safe := story.word == "made_safe" && s.Visit.Kind == jobs.VisitConvert
		note.steps(s.Steps, safe)
		if s.Visit.Kind == jobs.VisitConvert && !safe {
			survey, err := f.desk.Survey(f.ctx, f.office().Actor, s.Site.ID)
			if err != nil {
				return err
			}
			note.fitted(survey.Survey.OfKind(jobs.SubjectPosition))
		}
		if safe {
			until := f.days.at(f.days.ahead(1), 18, 0).UTC()
			note.add(jobs.Operation{Kind: jobs.OpMadeSafe, Reason: "the cord of light 1 is too short for the run; fittings plugged, conduit sealed, box closed", Until: &until})
		} else {
			note.add(jobs.Operation{Kind: jobs.OpDone})
		}
		results, err := f.desk.RecordField(f.ctx, call, note.ops)
		if err != nil {
			return err
		}
		for _, r := range results {
			if r.State != "applied" {
				return fmt.Errorf("a report from %s was %s: %s", s.Site.Street, r.State, r.Says)
			}
		}
		if err := f.after(story, s.Visit.Kind, safe); err != nil {
			return err
		}
		return f.deliver()
	}
	return nil // it was taken out of the day meanwhile
}

// after is what the office does when a crew has reported.
func (f *demoFill) after(s demoStory, kind jobs.VisitKind, safe bool) error {
	evening := f.days.at(f.days.back(1), 17, 10)
	switch {
	case kind == jobs.VisitSurvey: // the values are typed in from the crew's sheet
		return f.survey(s)
	case safe:
		f.later(f.desk.Now().Add(40*time.Minute), "", func() error { return f.holdLow(s) })
	case kind == jobs.VisitConvert:
		_, err := f.desk.AddAnswer(f.ctx, f.office(), f.jobs[s.key], jobs.AnswerFillOpened, "")
		return err
	case kind == jobs.VisitCommission && s.word == "closed":
		f.later(evening, "", func() error { return f.closeJob(s) })
	case kind == jobs.VisitCommission && s.word == "inspection":
		f.later(evening, "", func() error { return f.inspector(s) })
	}
	return nil
}

func (f *demoFill) storyOf(jobID string) demoStory {
	for _, s := range f.stories {
		if f.jobs[s.key] == jobID {
			return s
		}
	}
	return demoStory{}
}

// demoNote gathers the reports of one stop, with times between coming and
// leaving.
type demoNote struct {
	fill     *demoFill
	visit    string
	from, to time.Time
	here     bool // the crew said already that it has come
	ops      []jobs.Operation
}

func (n *demoNote) add(o jobs.Operation) {
	o.ID, o.VisitID, o.At = n.fill.ids.New(), n.visit, n.to
	if o.Kind == jobs.OpArrived {
		o.At = n.from
	} else if o.Kind != jobs.OpDone && o.Kind != jobs.OpMadeSafe {
		o.At = n.from.Add(time.Duration(len(n.ops)) * n.to.Sub(n.from) / 24)
	}
	n.ops = append(n.ops, o)
}

// demoSaid is what crews say where a step asks for more than a tick; readings
// are in the step's base units.
var demoSaid = map[string]struct {
	text  string
	value int64
}{
	"survey-tug": {text: "all move"}, "survey-voltage": {"119.4", 119_400},
	"circuit-dead": {"0.0", 0}, "circuit-trip": {text: "tripped, reset"},
	"drain-chlorine": {"0.05", 50}, "drain-ph": {"7.4", 7_400}, "drain-stop": {text: "float set, intake hung at the planned level"},
	"convert-level": {"26", 26 * 25_400}, "convert-dead": {"0.0", 0}, "convert-measure": {text: "go"},
	"connect-dead": {"0.0", 0}, "connect-trip": {text: "tripped, reset"},
	"commission-volts": {"12.2", 12_200}, "inspect-result": {text: "passed"}, "call_back-cause": {text: "loose terminal at the supply"},
}

// steps notes every step of the visit; one that is made safe ends where the
// measuring said no.
func (n *demoNote) steps(list []jobs.Step, safe bool) {
	if !n.here {
		n.add(jobs.Operation{Kind: jobs.OpArrived})
	}
	for _, s := range list {
		said := demoSaid[s.ID]
		o := jobs.Operation{Kind: jobs.OpStep, StepID: s.ID, Text: said.text}
		if s.Needs == jobs.NeedReading {
			value := said.value
			o.Value, o.Unit = &value, s.Unit
		}
		if safe && s.ID == "convert-measure" {
			o.Text = jobs.NoGo
			n.add(o)
			return
		}
		n.add(o)
	}
}

// fitted notes each light with a serial and the batch it came in.
func (n *demoNote) fitted(positions []jobs.Subject) {
	for _, p := range positions {
		n.add(jobs.Operation{Kind: jobs.OpFitted, SubjectID: p.ID, Serial: fmt.Sprintf("L%06d", 100_000+n.fill.rng.IntN(900_000)), Batch: "B-27"})
	}
}
