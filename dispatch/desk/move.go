package desk

import (
	"context"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// move brings a job into the state after an act, with an audit entry of its
// own, and gives the job back as it then stands. CodeConflict, CodeForbidden,
// CodeInvalid as the state machine has it; CodeStale.
func (d *Desk) move(tx *store.Tx, call Call, j jobs.Job, act jobs.Act, s jobs.Standing, note string) (jobs.Job, error) {
	to, err := j.Next(act, call.Actor.Role, s)
	if err != nil {
		return j, err
	}
	from := j.State
	switch to {
	case jobs.StateParked, jobs.StateDeclined:
		if j.State != jobs.StateParked { // what was parked and is now declined keeps where it stood
			j.CameFrom = j.State
		}
	case jobs.StateConverted:
		if j.ConvertedAt.IsZero() {
			j.ConvertedAt = call.Now
		}
	case jobs.StateUnderWay:
		j.ConvertedAt = time.Time{}
	case jobs.StateClosed:
		j.ClosedAt = call.Now
	}
	if from == jobs.StateParked && to != jobs.StateDeclined || from == jobs.StateDeclined {
		j.CameFrom = ""
	}
	j.State, j.UpdatedAt = to, call.Now
	if err := tx.UpdateJob(j); err != nil {
		return j, err
	}
	j.Version++
	says := string(from) + " > " + string(to)
	if note != "" {
		says += ": " + note
	}
	return j, tx.InsertAudit(jobs.AuditEntry{ID: d.ids.New(), At: call.Now, Actor: call.Actor, Act: string(act), Noun: "job",
		NounID: j.ID, Version: j.Version, BranchID: j.BranchID, Note: says})
}

// JobAct is an act asked for by name.
type JobAct struct {
	Act   jobs.Act
	Note  string
	Until time.Time // of hold_low; zero otherwise
}

// ActOnJob moves a job on by one of the acts that people ask for by name.
// CodeInvalid, CodeNotFound, CodeStale, CodeConflict, CodeForbidden.
func (d *Desk) ActOnJob(ctx context.Context, call Call, id string, version int64, in JobAct) (Outcome, error) {
	var f jobs.Faults
	jobs.OneOf(&f, "act", in.Act, jobs.NamedActs)
	f.Note("note", in.Note)
	f.Check(in.Until.IsZero() || in.Act == jobs.ActHoldLow, "until", in.Until.Format(time.RFC3339), "only with hold_low")
	if err := f.Err(); err != nil {
		return Outcome{}, err
	}
	ids := []string{d.ids.New(), d.ids.New()}
	out, err := d.act(ctx, call, "actOnJob", func(tx *store.Tx) (Outcome, error) {
		j, err := tx.Job(id)
		if err != nil {
			return Outcome{}, err
		}
		if err := stale("job", j.Version, version); err != nil {
			return Outcome{}, err
		}
		now, err := d.actOn(tx, call, j, in, ids)
		return Outcome{Noun: "job", NounID: id, Version: now, BranchID: j.BranchID, Note: string(in.Act)}, err
	})
	if err == nil { // parking or declining takes back what was told
		d.bell.Ring(ctx, BellNotice)
	}
	return out, err
}

// actOn does an act to a job and what follows from it; it returns the job's
// version afterwards.
func (d *Desk) actOn(tx *store.Tx, call Call, j jobs.Job, in JobAct, ids []string) (int64, error) {
	permits, err := tx.Permits(j.ID)
	if err != nil {
		return 0, err
	}
	s := j.Standing(false, permits[j.ID].Needed == jobs.Yes)
	s.Note, s.Until = jobs.CleanLine(in.Note) != "", in.Until.After(call.Now)
	was := j.State
	switch in.Act {
	case jobs.ActHoldLow:
		j.LowDecision, j.LowUntil = jobs.HoldLow, in.Until
	case jobs.ActRefillAndReturn:
		j.LowDecision, j.LowUntil = jobs.RefillAndReturn, time.Time{}
	}
	if j, err = d.move(tx, call, j, in.Act, s, in.Note); err != nil {
		return 0, err
	}
	if err := d.followUp(tx, call, j, was, in.Act, ids); err != nil {
		return 0, err
	}
	return d.settleReady(tx, call, j.ID)
}

// followUp does to the chain what an act means for it.
func (d *Desk) followUp(tx *store.Tx, call Call, j jobs.Job, was jobs.State, act jobs.Act, ids []string) error {
	switch act {
	case jobs.ActMarkSurveyed: // nobody needs to drive out for it any more
		return d.withdraw(tx, call, j, jobs.VisitSurvey)
	case jobs.ActHoldLow:
		return d.again(tx, call, j, ids, jobs.VisitConvert)
	case jobs.ActRefillAndReturn:
		kinds := []jobs.VisitKind{jobs.VisitConvert}
		if j.WayLow == jobs.LowCrewPump || j.WayLow == jobs.LowOwnOutlet {
			kinds = []jobs.VisitKind{jobs.VisitDrain, jobs.VisitConvert}
		}
		return d.again(tx, call, j, ids, kinds...)
	case jobs.ActRequestInspection:
		return d.again(tx, call, j, ids, jobs.VisitInspect)
	case jobs.ActPassInspection, jobs.ActClose:
		return nil
	case jobs.ActPark, jobs.ActDecline, jobs.ActDeclineQuote:
		if was == jobs.StateRouted || was == jobs.StateUnderWay {
			if err := unroute(tx, call, j); err != nil {
				return err
			}
		}
		if err := putBack(tx, call, j.ID); err != nil {
			return err
		}
		if err := letHoldsGo(tx, call, j); err != nil {
			return err
		}
		return d.takeBack(tx, call, j)
	}
	return nil
}

// unroute opens the visits that were handed out; the next hand-out tells the
// crews, whose days it changes.
func unroute(tx *store.Tx, call Call, j jobs.Job) error {
	for _, v := range j.Visits {
		if v.State != jobs.VisitRouted {
			continue
		}
		v.State, v.UpdatedAt = jobs.VisitOpen, call.Now
		if err := tx.UpdateVisit(v); err != nil {
			return err
		}
	}
	return nil
}

// withdraw takes the open visits of a kind out of the chain.
func (d *Desk) withdraw(tx *store.Tx, call Call, j jobs.Job, kind jobs.VisitKind) error {
	for _, v := range j.Visits {
		if v.Kind != kind || v.State != jobs.VisitOpen {
			continue
		}
		v.State, v.UpdatedAt = jobs.VisitWithdrawn, call.Now
		if err := tx.UpdateVisit(v); err != nil {
			return err
		}
	}
	return nil
}

// again makes sure that the chain has visits of the kinds still to come: in
// their order, behind what was done and before what is open and comes later in
// a chain.
func (d *Desk) again(tx *store.Tx, call Call, j jobs.Job, ids []string, kinds ...jobs.VisitKind) error {
	chain := j.Visits
	for i, kind := range kinds {
		have := false
		for _, v := range chain {
			have = have || v.Kind == kind && v.Open()
		}
		if have {
			continue
		}
		v := jobs.Visit{ID: ids[i], JobID: j.ID, Kind: kind, State: jobs.VisitOpen, Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now}
		var err error
		if chain, err = d.insertVisit(tx, call, chain, v); err != nil {
			return err
		}
	}
	return nil
}

// insertVisit puts a new visit at its place in a chain: behind everything
// begun or done, and behind open visits of its own or an earlier kind. Later
// ones move up by one.
func (d *Desk) insertVisit(tx *store.Tx, call Call, chain []jobs.Visit, v jobs.Visit) ([]jobs.Visit, error) {
	at := 0
	for i, old := range chain {
		if old.State != jobs.VisitOpen && old.State != jobs.VisitRouted || kindPlace(old.Kind) <= kindPlace(v.Kind) {
			at = i + 1
		}
	}
	v.Place = 1
	if at > 0 {
		v.Place = chain[at-1].Place + 1
	}
	out := append(append([]jobs.Visit{}, chain[:at]...), v)
	place := v.Place
	for _, later := range chain[at:] {
		if later.Place <= place {
			later.Place, later.UpdatedAt = place+1, call.Now
			if err := tx.UpdateVisit(later); err != nil {
				return nil, err
			}
			later.Version++
		}
		place = later.Place
		out = append(out, later)
	}
	return out, tx.InsertVisit(v)
}

func kindPlace(kind jobs.VisitKind) int {
	for i, k := range jobs.VisitKinds {
		if k == kind {
			return i
		}
	}
	return len(jobs.VisitKinds)
}

// JobChange sets what is not nil; an empty day takes it away.
type JobChange struct {
	Value        *jobs.Cents
	DueDay       *jobs.Day
	NotBeforeDay *jobs.Day
	CanComeEarly *bool
	WayLow       *jobs.WayLow
	Note         *string
}

func (c JobChange) apply(d jobs.JobData) (jobs.JobData, error) {
	if c.Value != nil {
		d.Value = c.Value
	}
	if c.DueDay != nil {
		d.DueDay = *c.DueDay
	}
	if c.NotBeforeDay != nil {
		d.NotBeforeDay = *c.NotBeforeDay
	}
	if c.CanComeEarly != nil {
		d.CanComeEarly = *c.CanComeEarly
	}
	if c.WayLow != nil {
		d.WayLow = *c.WayLow
	}
	if c.Note != nil {
		d.Note = *c.Note
	}
	return d, d.Check()
}

// ChangeJob sets what people may set by hand. CodeInvalid, CodeNotFound,
// CodeStale.
func (d *Desk) ChangeJob(ctx context.Context, call Call, id string, version int64, change JobChange) (Outcome, error) {
	return d.act(ctx, call, "changeJob", func(tx *store.Tx) (Outcome, error) {
		j, err := tx.Job(id)
		if err != nil {
			return Outcome{}, err
		}
		if err := stale("job", j.Version, version); err != nil {
			return Outcome{}, err
		}
		if j.JobData, err = change.apply(j.JobData); err != nil {
			return Outcome{}, err
		}
		j.UpdatedAt = call.Now
		if err := tx.UpdateJob(j); err != nil {
			return Outcome{}, err
		}
		version, err := d.settleReady(tx, call, id)
		return Outcome{Noun: "job", NounID: id, Version: version, BranchID: j.BranchID}, err
	})
}

// AddVisit puts a visit into a job's chain, where its kind belongs.
// CodeInvalid, CodeNotFound, CodeConflict.
func (d *Desk) AddVisit(ctx context.Context, call Call, jobID string, in jobs.NewVisit) (Outcome, error) {
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	v := jobs.Visit{ID: d.ids.New(), JobID: jobID, Kind: in.Kind, State: jobs.VisitOpen, Seconds: in.Seconds,
		Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now}
	return d.act(ctx, call, "addVisit", func(tx *store.Tx) (Outcome, error) {
		if err := tx.HoldJob(jobID); err != nil { // nobody sent a version
			return Outcome{}, err
		}
		j, err := tx.Job(jobID)
		if err != nil {
			return Outcome{}, err
		}
		if j.State == jobs.StateClosed || j.State == jobs.StateDeclined {
			return Outcome{}, jobs.Errorf(jobs.CodeConflict, "The job is %s; nobody goes there any more", j.State.Label())
		}
		open := 0
		for _, old := range j.Visits {
			if old.Open() && old.Kind != jobs.VisitSurvey {
				open++
			}
		}
		if open >= jobs.MaxVisits {
			return Outcome{}, jobs.Errorf(jobs.CodeConflict, "A job has at most %d visits still to come", jobs.MaxVisits)
		}
		if _, err := d.insertVisit(tx, call, j.Visits, v); err != nil {
			return Outcome{}, err
		}
		j.UpdatedAt = call.Now
		return Outcome{Noun: "job", NounID: jobID, Version: j.Version + 1, BranchID: j.BranchID, Note: string(v.Kind)}, tx.UpdateJob(j)
	})
}

// ChangeVisit sets a length or a pin, or withdraws a visit. What has begun
// stays as it is. CodeInvalid, CodeNotFound, CodeStale, CodeConflict.
func (d *Desk) ChangeVisit(ctx context.Context, call Call, id string, version int64, change jobs.VisitChange) (Outcome, error) {
	if err := change.Check(); err != nil {
		return Outcome{}, err
	}
	return d.act(ctx, call, "changeVisit", func(tx *store.Tx) (Outcome, error) {
		v, err := tx.Visit(id)
		if err != nil {
			return Outcome{}, err
		}
		if err := stale("visit", v.Version, version); err != nil {
			return Outcome{}, err
		}
		if v.State != jobs.VisitOpen && v.State != jobs.VisitRouted {
			return Outcome{}, jobs.Errorf(jobs.CodeConflict, "The visit is %s; only one that is still to come can be changed", v.State)
		}
		if change.Seconds != nil {
			v.Seconds = change.Seconds
		}
		if change.PinDay != nil {
			v.PinDay = *change.PinDay
		}
		if change.PinCrewID != nil {
			v.PinCrewID = *change.PinCrewID
			if err := crewOfJob(tx, v); err != nil {
				return Outcome{}, err
			}
		}
		if change.Withdraw {
			v.State = jobs.VisitWithdrawn
		}
		v.UpdatedAt = call.Now
		j, err := tx.Job(v.JobID)
		if err != nil {
			return Outcome{}, err
		}
		return Outcome{Noun: "visit", NounID: id, Version: version + 1, BranchID: j.BranchID}, tx.UpdateVisit(v)
	})
}

// crewOfJob refuses a pin to a crew that is not of the job's branch.
func crewOfJob(tx *store.Tx, v jobs.Visit) error {
	if v.PinCrewID == "" {
		return nil
	}
	j, err := tx.Job(v.JobID)
	if err != nil {
		return err
	}
	crew, err := tx.Crew(v.PinCrewID)
	if err == nil && crew.BranchID != j.BranchID {
		err = jobs.Faults{{Field: "pin_crew_id", Value: v.PinCrewID, Want: "a crew of this branch"}}.Err()
	}
	return err
}
