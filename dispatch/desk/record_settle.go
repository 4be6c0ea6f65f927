package desk

import (
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"time"

	"ebbline/estimate"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// follow keeps what a report brings beside itself. Its id is the report's.
func (b *batch) follow(o jobs.Operation, j jobs.Job) error {
	switch o.Kind {
	case jobs.OpReading:
		return b.reading(o, j, "in")
	case jobs.OpStep:
		for _, s := range b.steps[string(b.visits[o.VisitID].Kind)] {
			if s.ID == o.StepID && s.Unit == "in" && o.Value != nil {
				return b.reading(o, j, s.Unit)
			}
		}
	case jobs.OpFitted:
		return b.tx.InsertFitted(jobs.FittedItem{ID: o.ID, JobID: j.ID, VisitID: o.VisitID, SubjectID: o.SubjectID,
			PartID: o.PartID, Serial: jobs.CleanLine(o.Serial), Batch: jobs.CleanLine(o.Batch), At: o.At})
	case jobs.OpExtraWork:
		return b.extra(o, j)
	case jobs.OpPartUsed:
		return b.usePart(o, j)
	}
	return nil
}

// extra keeps extra work. Inside the sum that a lead may agree on one job it is
// approved as it comes in; above it the office answers.
func (b *batch) extra(o jobs.Operation, j jobs.Job) error {
	settings, err := b.tx.Settings(j.BranchID)
	if err != nil {
		return err
	}
	before, err := b.tx.ExtraWorks(j.ID)
	if err != nil {
		return err
	}
	by := jobs.CleanLine(o.Reason)
	if by == "" {
		by = "the customer, to " + b.call.Actor.Name
	}
	e := jobs.ExtraWork{ID: o.ID, JobID: j.ID, VisitID: o.VisitID, Name: jobs.CleanLine(o.Text), AmountCents: *o.AmountCents, AgreedBy: by,
		AgreedAt: o.At, State: jobs.ExtraAgreed, Version: 1, CreatedAt: b.call.Now, UpdatedAt: b.call.Now}
	sum := e.AmountCents
	for _, old := range before {
		if old.State == jobs.ExtraApproved && old.ApprovedBy == insideLimit {
			sum += old.AmountCents
		}
	}
	if sum <= settings.Settings.Company.ExtraWorkLimitCents {
		e.State, e.ApprovedBy = jobs.ExtraApproved, insideLimit
	}
	return b.tx.InsertExtraWork(e)
}

// insideLimit approves extra work in the office's place.
const insideLimit = "inside the lead's limit"

func (b *batch) reading(o jobs.Operation, j jobs.Job, unit string) error {
	text := jobs.CleanLine(o.Text)
	if text == "" {
		var err error
		if text, err = jobs.FormatMeasure(jobs.QuantityLength, *o.Value, unit, 2); err != nil {
			return err
		}
	}
	return b.tx.InsertReading(jobs.Reading{ID: o.ID, BranchID: j.BranchID, JobID: j.ID, BelowTileUM: *o.Value, Text: text, Unit: unit,
		At: o.At, MadeBy: b.call.Actor.Name})
}

// usePart marks a part of the job as used. A report that names none of them
// stays a note.
func (b *batch) usePart(o jobs.Operation, j jobs.Job) error {
	if o.PartID == "" {
		return nil
	}
	list, err := b.tx.JobParts(j.ID)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(list, func(p jobs.JobPart) bool {
		return (p.ID == o.PartID || p.PartID == o.PartID) && p.State.Open()
	})
	if i < 0 {
		return nil
	}
	if err := takeUsed(b.tx, b.call, list[i]); err != nil {
		return err
	}
	list[i].State, list[i].UpdatedAt = jobs.PartUsed, b.call.Now
	return b.tx.UpdateJobPart(list[i])
}

// settleVisit folds all reports of a visit into its record and brings the visit
// to where they say. A visit that was withdrawn stays so: the record is kept,
// and the flag asks the office.
func (b *batch) settleVisit(v jobs.Visit) (jobs.Visit, bool, error) {
	ops, err := b.tx.Operations(v.ID)
	if err != nil {
		return v, false, err
	}
	r := jobs.Fold(b.steps[string(v.Kind)], ops)
	if err := b.putRecord(v, r, ops); err != nil {
		return v, false, err
	}
	if v.State == jobs.VisitWithdrawn || r.ArrivedAt == nil {
		return v, false, nil
	}
	was := v
	v.State, v.BegunAt, v.DoneAt = jobs.VisitUnderWay, *r.ArrivedAt, time.Time{}
	v.Outcome, v.OutcomeNote = string(r.Outcome), jobs.CleanLine(r.Reason)
	if r.Until != nil && r.Outcome == jobs.OutcomeMadeSafe {
		v.OutcomeNote += "; may stay so until " + r.Until.UTC().Format(time.RFC3339)
	}
	switch r.Outcome {
	case jobs.OutcomeDone, jobs.OutcomeMadeSafe:
		v.State, v.DoneAt = jobs.VisitDone, *r.LeftAt
	case jobs.OutcomeWasted:
		v.State, v.DoneAt = jobs.VisitWasted, *r.LeftAt
	}
	v.UpdatedAt = was.UpdatedAt
	b.noteTellings(v, r)
	if v == was {
		return v, false, nil
	}
	v.UpdatedAt = b.call.Now
	if err := b.tx.UpdateVisit(v); err != nil {
		return v, false, err
	}
	v.Version++
	if err := b.comeAgain(v); err != nil {
		return v, false, err
	}
	return v, true, nil
}

// comeAgain makes sure that somebody goes again for what came to nothing, or
// was made safe without a decision of the office to follow; and that nobody
// does when a later report says otherwise. The id of the visit to come follows
// from the visit it replaces, so that no order of reports makes two.
func (b *batch) comeAgain(v jobs.Visit) error {
	again := v.State == jobs.VisitWasted || v.Outcome == string(jobs.OutcomeMadeSafe) && v.Kind != jobs.VisitConvert
	id := idAfter(v.ID)
	have, err := b.tx.VisitsByID(id)
	if err != nil {
		return err
	}
	next, ok := have[id]
	switch {
	case again && !ok:
		j, err := b.tx.Job(v.JobID)
		if err != nil {
			return err
		}
		_, err = b.d.insertVisit(b.tx, b.call, j.Visits, jobs.Visit{ID: id, JobID: v.JobID, Kind: v.Kind, State: jobs.VisitOpen,
			Seconds: v.Seconds, Version: 1, CreatedAt: b.call.Now, UpdatedAt: b.call.Now})
		return err
	case again && next.State == jobs.VisitWithdrawn:
		next.State = jobs.VisitOpen
	case !again && ok && next.State == jobs.VisitOpen:
		next.State = jobs.VisitWithdrawn
	default:
		return nil
	}
	next.UpdatedAt = b.call.Now
	return b.tx.UpdateVisit(next)
}

// idAfter is the id of the visit that replaces one: a UUID of version 8
// (RFC 9562), cut from the hash of the old id.
func idAfter(id string) string {
	sum := sha256.Sum256([]byte("visit after " + id))
	sum[6], sum[8] = sum[6]&0x0f|0x80, sum[8]&0x3f|0x80
	h := hex.EncodeToString(sum[:16])
	return h[:8] + "-" + h[8:12] + "-" + h[12:16] + "-" + h[16:20] + "-" + h[20:]
}

// putRecord writes the row that the figures read.
func (b *batch) putRecord(v jobs.Visit, r jobs.Record, ops []jobs.Operation) error {
	j := b.jobs[v.JobID]
	planned, median, err := plannedOf(b.tx, j, v)
	if err != nil {
		return err
	}
	windows, err := b.tx.PromisesOf(v.ID)
	if err != nil {
		return err
	}
	rec := jobs.FieldRecord{VisitID: v.ID, JobID: j.ID, BranchID: j.BranchID, Kind: string(v.Kind), PlannedSeconds: planned,
		MedianSeconds: median, Outcome: r.Outcome, Reason: jobs.CleanLine(r.Reason), Lights: int64(r.Lights),
		PromisedFrom: windows[v.ID].FromAt, PromisedTo: windows[v.ID].ToAt, UpdatedAt: b.call.Now}
	for _, o := range ops { // by the phone's clock
		if rec.CrewID == "" {
			rec.CrewID = o.CrewID
		}
	}
	if r.ArrivedAt != nil {
		rec.ArrivedAt = *r.ArrivedAt
	}
	if r.LeftAt != nil {
		rec.LeftAt = *r.LeftAt
	}
	return b.tx.PutRecord(rec)
}

// plannedOf is how long a visit was given, and what its estimate held
// likeliest; 0: not known. A part of a visit takes its share of the median.
func plannedOf(tx *store.Tx, j jobs.Job, v jobs.Visit) (planned, median int64, err error) {
	if v.Seconds != nil {
		planned = *v.Seconds
	}
	if j.EstimateID != "" {
		kept, err := tx.Estimate(j.EstimateID)
		if err != nil {
			return 0, 0, err
		}
		e, err := estimate.Decode(kept.Body)
		if err != nil {
			return 0, 0, err
		}
		if ev, ok := e.Visit(string(v.Kind)); ok && ev.Median.Known && ev.Plan.Known {
			if planned == 0 {
				planned = ev.Plan.Value
			}
			if median = ev.Median.Value; ev.Plan.Value > 0 {
				median = median * planned / ev.Plan.Value
			}
		}
	}
	if planned != 0 {
		return planned, median, nil
	}
	kinds, err := tx.VisitKinds()
	for _, k := range kinds {
		if k.ID == v.Kind {
			planned = k.Seconds
		}
	}
	return planned, median, err
}

// settleJob brings a job to where its chain says. Where the state machine does
// not let it, the job stays and the reports are kept all the same.
func (b *batch) settleJob(id string, begun bool) error {
	for range 5 { // begin, make safe, begin, convert at the longest
		j, err := b.tx.Job(id)
		if err != nil {
			return err
		}
		act := j.FieldAct(begun)
		if act == "" {
			return b.dateConversion(j)
		}
		s := j.Standing(false, false)
		if _, err := j.Next(act, b.call.Actor.Role, s); err != nil {
			return nil //nolint:nilerr // the job can't move by it now; the report is kept as a fact all the same
		}
		if act == jobs.ActConvert {
			j.ConvertedAt = convertedAt(j)
		}
		if _, err := b.d.move(b.tx, b.call, j, act, s, ""); err != nil {
			return err
		}
	}
	return nil
}

// convertedAt is when the last work that made the conversion ended, by the
// phone's clock; zero: it is not done.
func convertedAt(j jobs.Job) time.Time {
	var at time.Time
	for _, v := range j.Visits {
		if v.State == jobs.VisitDone && v.DoneAt.After(at) && (v.Kind == jobs.VisitConvert || j.Kind == jobs.JobCallBack) {
			at = v.DoneAt
		}
	}
	return at
}

// dateConversion follows a late report of when the crew left.
func (b *batch) dateConversion(j jobs.Job) error {
	at := convertedAt(j)
	if j.State != jobs.StateConverted || at.IsZero() || at.Equal(j.ConvertedAt) {
		return nil
	}
	j.ConvertedAt, j.UpdatedAt = at, b.call.Now
	return b.tx.UpdateJob(j)
}
