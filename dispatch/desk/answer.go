package desk

import (
	"context"
	"slices"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// NewReading is a water reading as somebody says it.
type NewReading = jobs.NewReading

// readingOf settles a reading: whole micrometres below the tile line.
func readingOf(call Call, in NewReading) (jobs.Reading, error) {
	var f jobs.Faults
	um, unit, err := jobs.ParseMeasure(jobs.QuantityLength, in.Text, in.Unit)
	if err != nil {
		f.Add("text", jobs.Short(in.Text), err.Error())
	} else {
		f.Check(um >= lowestReading && um <= highestReading, "text", jobs.Short(in.Text), "between a foot above the tile line (negative) and ten feet below it")
	}
	at := in.At.UTC().Truncate(time.Second)
	if in.At.IsZero() {
		at = call.Now
	}
	f.Check(!at.After(call.Now.Add(jobs.PhoneClockSlack)), "at", at.Format(time.RFC3339), "an instant that has been")
	f.Check(at.After(call.Now.AddDate(0, 0, -60)), "at", at.Format(time.RFC3339), "an instant of the last 60 days")
	return jobs.Reading{BelowTileUM: um, Text: jobs.CleanLine(in.Text), Unit: unit, At: at, MadeBy: call.Actor.Name}, f.Err()
}

// AddReading notes a water reading of a job's pool. A tech notes them for the
// own crew's jobs. CodeInvalid, CodeNotFound.
func (d *Desk) AddReading(ctx context.Context, call Call, jobID string, in NewReading) (Outcome, error) {
	r, err := readingOf(call, in)
	if err != nil {
		return Outcome{}, err
	}
	r.ID, r.JobID = d.ids.New(), jobID
	return d.act(ctx, call, "addReading", func(tx *store.Tx) (Outcome, error) {
		j, err := tx.Job(jobID)
		if err != nil {
			return Outcome{}, err
		}
		if err := mayWorkOn(tx, call.Actor, j); err != nil {
			return Outcome{}, err
		}
		return Outcome{Noun: "reading", NounID: r.ID, Version: 1, BranchID: j.BranchID, Note: "job " + itoa(int(j.Number))}, noteReading(tx, j, r)
	})
}

func noteReading(tx *store.Tx, j jobs.Job, r jobs.Reading) error {
	r.BranchID = j.BranchID
	if err := tx.InsertReading(r); err != nil {
		return err
	}
	return confirmed(tx, j.ID)
}

// confirmed stops the office's notice that nobody has said anything yet.
func confirmed(tx *store.Tx, jobID string) error {
	list, err := tx.NoticesOf(string(jobs.NoticeUnconfirmed) + "/" + jobID)
	for i := 0; err == nil && i < len(list); i++ {
		if list[i].State == jobs.NoticeDue {
			err = tx.SupersedeNotice(list[i].ID, "")
		}
	}
	return err
}

// AddAnswer notes what a customer said to the office. CodeInvalid,
// CodeNotFound.
func (d *Desk) AddAnswer(ctx context.Context, call Call, jobID string, kind jobs.AnswerKind, note string) (Outcome, error) {
	var f jobs.Faults
	jobs.OneOf(&f, "kind", kind, jobs.AnswerKinds)
	f.Note("note", note)
	f.Check(kind != jobs.AnswerNote || jobs.CleanLine(note) != "", "note", "", "what was said")
	if err := f.Err(); err != nil {
		return Outcome{}, err
	}
	a := jobs.Answer{ID: d.ids.New(), JobID: jobID, Kind: kind, Note: note, At: call.Now, MadeBy: call.Actor.Name}
	return d.act(ctx, call, "addAnswer", func(tx *store.Tx) (Outcome, error) {
		j, err := tx.Job(jobID)
		if err != nil {
			return Outcome{}, err
		}
		return Outcome{Noun: "answer", NounID: a.ID, Version: 1, BranchID: j.BranchID, Note: string(kind) + ", job " + itoa(int(j.Number))},
			noteAnswer(tx, j, a, call.Now)
	})
}

// noteAnswer keeps an answer and what follows from it: an answer to the window
// stands at the promise too, and a drain that was started needs no asking.
func noteAnswer(tx *store.Tx, j jobs.Job, a jobs.Answer, now time.Time) error {
	a.BranchID = j.BranchID
	if err := tx.InsertAnswer(a); err != nil {
		return err
	}
	switch a.Kind {
	case jobs.AnswerStarted, jobs.AnswerReached:
		return confirmed(tx, j.ID)
	case jobs.AnswerWindowAccepted, jobs.AnswerWindowDeclined, jobs.AnswerAnotherAsked:
		said := "declined" // who asks for another window cannot keep this one
		if a.Kind == jobs.AnswerWindowAccepted {
			said = "accepted"
		}
		p, ok, err := nextPromise(tx, j, now)
		if err != nil || !ok {
			return err
		}
		return tx.AnswerPromise(p.VisitID, said)
	}
	return nil
}

// nextPromise is the window that the customer is waiting for: the first that is
// not over, of a visit still to come.
func nextPromise(tx *store.Tx, j jobs.Job, now time.Time) (jobs.Promise, bool, error) {
	var ids []string
	for _, v := range j.Visits {
		if v.State == jobs.VisitRouted {
			ids = append(ids, v.ID)
		}
	}
	windows, err := tx.PromisesOf(ids...)
	if err != nil {
		return jobs.Promise{}, false, err
	}
	var list []jobs.Promise
	for _, p := range windows {
		if p.ToAt.After(now) {
			list = append(list, p)
		}
	}
	if len(list) == 0 {
		return jobs.Promise{}, false, nil
	}
	return slices.MinFunc(list, func(a, b jobs.Promise) int { return a.FromAt.Compare(b.FromAt) }), true, nil
}

// Answer reads one of a job's answers. CodeNotFound.
func (d *Desk) Answer(ctx context.Context, jobID, id string) (jobs.Answer, error) {
	list, err := read(ctx, d, func(tx *store.Tx) ([]jobs.Answer, error) { return tx.Answers(jobID) })
	if err != nil {
		return jobs.Answer{}, err
	}
	for _, a := range list {
		if a.ID == id {
			return a, nil
		}
	}
	return jobs.Answer{}, jobs.Errorf(jobs.CodeNotFound, "There is no such answer")
}

// Reading reads one of a job's readings. CodeNotFound.
func (d *Desk) Reading(ctx context.Context, jobID, id string) (jobs.Reading, error) {
	list, err := read(ctx, d, func(tx *store.Tx) ([]jobs.Reading, error) { return tx.Readings(jobID) })
	if err != nil {
		return jobs.Reading{}, err
	}
	for _, r := range list {
		if r.ID == id {
			return r, nil
		}
	}
	return jobs.Reading{}, jobs.Errorf(jobs.CodeNotFound, "There is no such reading")
}
