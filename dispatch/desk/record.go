package desk

import (
	"context"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// MaxReports bounds one batch of reports from a phone.
const MaxReports = 500

// FieldResult is what became of one report.
type FieldResult struct {
	ID    string
	State string // applied, known, flagged or refused
	Says  string // why it is flagged or refused
}

// The marks of an outcome's note, one for each report in the batch's order.
const (
	markApplied = 'a'
	markKnown   = 'k'
	markFlagged = 'f'
	markMeans   = 'r' // refused: can't mean anything
	markVisit   = 'v' // refused: no such visit
	markStep    = 's' // refused: no such step
	markID      = 'i' // refused: the id is another report's
)

// RecordField keeps reports from the pool, each once, and brings visit and job
// to where all reports together say. A report is refused only when it can't
// mean anything; what is odd about it is kept with it as a flag. Whatever the
// order in which reports come in, they come to the same. A batch without any
// visit of the caller's is CodeNotFound. CodeInvalid.
func (d *Desk) RecordField(ctx context.Context, call Call, ops []jobs.Operation) ([]FieldResult, error) {
	var f jobs.Faults
	f.Check(len(ops) > 0 && len(ops) <= MaxReports, "operations", strconv.Itoa(len(ops))+" reports", "from 1 to "+strconv.Itoa(MaxReports)+" reports")
	if err := f.Err(); err != nil {
		return nil, err
	}
	means := make([]string, len(ops))
	ops = slices.Clone(ops)
	for i := range ops {
		ops[i].At = ops[i].At.UTC().Truncate(time.Second)
		var f jobs.Faults
		ops[i].Check(&f, "")
		if err := f.Err(); err != nil {
			means[i] = err.Error()
		}
	}
	out, err := d.act(ctx, call, "recordField", func(tx *store.Tx) (Outcome, error) {
		b := batch{d: d, tx: tx, call: call, ops: ops, means: means}
		return b.take()
	})
	if err != nil {
		return nil, err
	}
	if !out.Replayed {
		d.bell.Ring(ctx, BellNotice)
	}
	return d.results(ctx, ops, means, out.Note)
}

// results says what became of each report, for a fresh and a stored outcome
// alike.
func (d *Desk) results(ctx context.Context, ops []jobs.Operation, means []string, marks string) ([]FieldResult, error) {
	ids := make([]string, len(ops))
	for i, o := range ops {
		ids[i] = o.ID
	}
	kept, err := read(ctx, d, func(tx *store.Tx) (map[string]jobs.Operation, error) { return tx.OperationsByID(ids...) })
	if err != nil {
		return nil, err
	}
	list := make([]FieldResult, len(ops))
	for i, o := range ops {
		r := FieldResult{ID: o.ID, State: "refused"}
		switch marks[i] {
		case markApplied:
			r.State = "applied"
		case markKnown:
			r.State = "known"
		case markFlagged:
			r.State, r.Says = "flagged", kept[o.ID].Flag
		case markMeans:
			r.Says = means[i]
		case markVisit:
			r.Says = "visit_id: there is no such visit"
		case markStep:
			r.Says = "step_id: " + strconv.Quote(jobs.Short(o.StepID)) + " is not right; a step of this kind of visit"
		case markID:
			r.Says = "id: another report has this id already"
		}
		list[i] = r
	}
	return list, nil
}

// batch is one batch of reports on its way, inside a transaction.
type batch struct {
	d      *Desk
	tx     *store.Tx
	call   Call
	ops    []jobs.Operation
	means  []string
	visits map[string]jobs.Visit // that this caller may report on
	jobs   map[string]jobs.Job
	stops  map[string]jobs.Stop // the stop that holds now, by visit
	ever   map[string]bool      // handed out to the caller's crew once, by visit
	steps  map[string][]jobs.Step
	marks  strings.Builder
	left   []leaving    // visits that crews have left
	use    []jobs.Visit // commissions that are done
}

func (b *batch) take() (Outcome, error) {
	if err := b.look(); err != nil {
		return Outcome{}, err
	}
	if len(b.visits) == 0 && !slices.ContainsFunc(b.means, func(says string) bool { return says != "" }) {
		return Outcome{}, jobs.Errorf(jobs.CodeNotFound, "There is no such visit")
	}
	touched, err := b.keep()
	if err != nil {
		return Outcome{}, err
	}
	out := Outcome{Noun: "visit", Note: b.marks.String(), BranchID: b.call.Actor.BranchID}
	moved := map[string]bool{} // jobs; true: work began on a visit that is no survey
	for _, id := range slices.Sorted(maps.Keys(touched)) {
		v, changed, err := b.settleVisit(b.visits[id])
		if err != nil {
			return Outcome{}, err
		}
		if changed {
			moved[v.JobID] = moved[v.JobID] || v.Kind != jobs.VisitSurvey && !v.BegunAt.IsZero()
		}
		if out.NounID != "" { // the act's own entry names the last
			if err := b.audit("recordField", b.visits[out.NounID], ""); err != nil {
				return Outcome{}, err
			}
		}
		out.NounID, out.Version, out.BranchID = id, v.Version, b.jobs[v.JobID].BranchID
	}
	for _, id := range slices.Sorted(maps.Keys(moved)) {
		if err := b.settleJob(id, moved[id]); err != nil {
			return Outcome{}, err
		}
	}
	return out, b.tell()
}

// look reads what the reports are about, and makes others wait who report on
// the same jobs.
func (b *batch) look() error {
	ids := map[string]bool{}
	for i, o := range b.ops {
		if b.means[i] == "" {
			ids[o.VisitID] = true
		}
	}
	visits, err := b.tx.VisitsByID(slices.Sorted(maps.Keys(ids))...)
	if err != nil {
		return err
	}
	stops, err := b.tx.StopsOf(slices.Sorted(maps.Keys(visits))...)
	if err != nil {
		return err
	}
	b.stops, b.ever, b.visits, b.jobs = map[string]jobs.Stop{}, map[string]bool{}, map[string]jobs.Visit{}, map[string]jobs.Job{}
	for _, s := range stops {
		if s.Live {
			b.stops[s.VisitID] = s
		}
		if s.CrewID == b.call.Actor.CrewID {
			b.ever[s.VisitID] = true
		}
	}
	held := map[string]bool{}
	for id, v := range visits {
		if b.call.Actor.Office() || b.ever[id] {
			b.visits[id] = v
			held[v.JobID] = true
		}
	}
	for _, id := range slices.Sorted(maps.Keys(held)) {
		if err := b.tx.HoldJob(id); err != nil {
			return err
		}
		j, err := b.tx.Job(id)
		if err != nil {
			return err
		}
		b.jobs[id] = j
		for _, v := range j.Visits { // as they stand now that others wait
			if _, ok := b.visits[v.ID]; ok {
				b.visits[v.ID] = v
			}
		}
	}
	b.steps, err = b.tx.Steps()
	return err
}

// keep writes each new report down, and says which visits have one.
func (b *batch) keep() (map[string]bool, error) {
	ids := make([]string, len(b.ops))
	for i, o := range b.ops {
		ids[i] = o.ID
	}
	known, err := b.tx.OperationsByID(ids...)
	if err != nil {
		return nil, err
	}
	touched := map[string]bool{}
	for i, o := range b.ops {
		v, ok := b.visits[o.VisitID]
		old, isKnown := known[o.ID]
		switch {
		case b.means[i] != "":
			b.marks.WriteByte(markMeans)
			continue
		case !ok:
			b.marks.WriteByte(markVisit)
			continue
		case isKnown && (old.VisitID != o.VisitID || old.Kind != o.Kind):
			b.marks.WriteByte(markID)
			continue
		case isKnown:
			b.marks.WriteByte(markKnown)
			continue
		case o.Kind == jobs.OpStep && b.step(v, o) == nil:
			b.marks.WriteByte(markStep)
			continue
		}
		j := b.jobs[v.JobID]
		o.JobID, o.UserID, o.CrewID, o.ReceivedAt = v.JobID, b.call.Actor.UserID, b.crew(v), b.call.Now
		o.Flag = strings.Join(b.odd(o, v, j), "; ")
		if err := b.tx.InsertOperation(j.BranchID, o); err != nil {
			return nil, err
		}
		if err := b.follow(o, j); err != nil {
			return nil, err
		}
		known[o.ID], touched[v.ID] = o, true
		if o.Flag == "" {
			b.marks.WriteByte(markApplied)
			continue
		}
		b.marks.WriteByte(markFlagged)
		if err := b.audit("flag", v, string(o.Kind)+": "+o.Flag); err != nil {
			return nil, err
		}
	}
	return touched, nil
}

// audit writes an entry beside the act's own, for the job's history.
func (b *batch) audit(act string, v jobs.Visit, note string) error {
	return b.tx.InsertAudit(jobs.AuditEntry{ID: b.d.ids.New(), At: b.call.Now, Actor: b.call.Actor, Act: act, Noun: "visit", NounID: v.ID,
		Version: v.Version, BranchID: b.jobs[v.JobID].BranchID, Note: note})
}

// crew is who the report comes from: a tech's own, else the one that goes there.
func (b *batch) crew(v jobs.Visit) string {
	if b.call.Actor.CrewID != "" {
		return b.call.Actor.CrewID
	}
	return b.stops[v.ID].CrewID
}

func (b *batch) step(v jobs.Visit, o jobs.Operation) *jobs.Step {
	for i, s := range b.steps[string(v.Kind)] {
		if s.ID == o.StepID {
			return &b.steps[string(v.Kind)][i]
		}
	}
	return nil
}

// odd lists why the office should look at a report.
func (b *batch) odd(o jobs.Operation, v jobs.Visit, j jobs.Job) []string {
	var odd []string
	if v.State == jobs.VisitWithdrawn {
		odd = append(odd, "the visit was withdrawn")
	}
	stop, told := b.stops[v.ID]
	switch {
	case b.call.Actor.Office():
	case told && stop.CrewID != b.call.Actor.CrewID:
		odd = append(odd, "the visit is another crew's now")
	case !told:
		odd = append(odd, "the visit is in nobody's day any more")
	}
	switch j.State {
	case jobs.StateParked, jobs.StateDeclined, jobs.StateClosed:
		odd = append(odd, "the job is "+j.State.Label())
	}
	if o.At.After(b.call.Now.Add(jobs.PhoneClockSlack)) {
		odd = append(odd, "the phone's clock is ahead by "+o.At.Sub(b.call.Now).Round(time.Minute).String())
	}
	if s := b.step(v, o); o.Kind == jobs.OpStep && s.Needs == jobs.NeedReading && o.Value != nil && !s.Holds(o) {
		odd = append(odd, "the reading "+strings.TrimSpace(o.Text+" "+s.Unit)+" lies outside the step's limits")
	}
	if o.Kind == jobs.OpReading && (*o.Value < lowestReading || *o.Value > highestReading) {
		odd = append(odd, "the water can hardly stand there: "+jobs.FeetInches(*o.Value)+" below the tile line")
	}
	return odd
}

// A foot above the tile line to ten feet below it, in micrometres.
const (
	lowestReading  = -304_800
	highestReading = 3_048_000
)
