package jobs

import (
	"sort"
	"time"
)

// OperationKind is what somebody at the pool reports.
type OperationKind string

// The kinds of report from the pool.
const (
	OpArrived   OperationKind = "arrived"
	OpStep      OperationKind = "step"
	OpReading   OperationKind = "reading" // water, as below the tile line
	OpPartUsed  OperationKind = "part_used"
	OpFitted    OperationKind = "fitted" // a light in its fitting, with serial and batch
	OpExtraWork OperationKind = "extra_work"
	OpMadeSafe  OperationKind = "made_safe" // stopped half way, left safe, with a decision and a deadline
	OpDone      OperationKind = "done"
	OpWasted    OperationKind = "wasted" // came for nothing
	OpLeft      OperationKind = "left"
	OpNote      OperationKind = "note"
)

// OperationKinds lists them for checks and forms.
var OperationKinds = []OperationKind{OpArrived, OpStep, OpReading, OpPartUsed, OpFitted, OpExtraWork,
	OpMadeSafe, OpDone, OpWasted, OpLeft, OpNote}

// Operation is one report from the pool. The phone makes the id; the report is
// kept as a fact whatever the office has changed meanwhile, and applied once.
type Operation struct {
	ID          string
	VisitID     string
	JobID       string
	Kind        OperationKind
	StepID      string
	Text        string
	Unit        string
	Value       *int64 // whole base units
	AmountCents *Cents
	PartID      string
	SubjectID   string
	Serial      string
	Batch       string
	Reason      string
	Until       *time.Time
	At          time.Time // by the phone's clock
	ReceivedAt  time.Time
	UserID      string
	CrewID      string
	Flag        string // why the office should look; empty: nothing odd
}

// Check refuses an operation that could not mean anything.
func (o Operation) Check(f *Faults, at string) {
	f.ID(at+"id", o.ID)
	f.ID(at+"visit_id", o.VisitID)
	OneOf(f, at+"kind", o.Kind, OperationKinds)
	f.Check(!o.At.IsZero(), at+"at", "", "the instant by the phone's clock, such as 2026-03-08T15:04:05Z")
	f.Check(o.Kind != OpStep || o.StepID != "", at+"step_id", "", "the step that was done")
	f.Check(o.Kind != OpReading || o.Value != nil, at+"value", "", "the water's distance below the tile line")
	f.Check(o.Kind != OpMadeSafe || o.Reason != "", at+"reason", "", "why the work stopped")
	f.Check(o.Kind != OpMadeSafe || o.Until != nil, at+"until", "", "until when the pool may stay as it is")
	f.Check(o.Kind != OpWasted || o.Reason != "", at+"reason", "", "why the trip was for nothing")
	f.Check(o.Kind != OpExtraWork || (o.AmountCents != nil && *o.AmountCents > 0 && o.Text != ""), at+"amount_cents", "",
		"what the extra work is and what was agreed for it, in cents above 0")
}

// PhoneClockSlack is how far a phone's clock may stand ahead before the office
// is told; behind is normal, for phones report late.
const PhoneClockSlack = 10 * time.Minute

// Record is what a visit's operations come to. It is folded from the set of
// operations, ordered by the phone's clock and then by id, so that neither the
// order of arrival nor doubles change it.
type Record struct {
	ArrivedAt  *time.Time
	LeftAt     *time.Time
	Outcome    RecordOutcome
	Reason     string
	Until      *time.Time // deadline of a visit made safe
	Lights     int        // fitted
	StepsDone  map[string]Operation
	GatesOpen  []string // names of gates not yet satisfied
	Incomplete bool     // said to be done, but a gate is missing
}

// RecordOutcome is how a visit ended; empty while it has not.
type RecordOutcome string

// How a visit can end.
const (
	OutcomeDone     RecordOutcome = "done"
	OutcomeMadeSafe RecordOutcome = "made_safe"
	OutcomeWasted   RecordOutcome = "wasted"
)

// Fold makes the record of a visit from all of its operations and the steps of
// its kind. The last of done, made safe and wasted decides; done counts only
// when every gate holds, whenever the gates' own reports come in.
func Fold(steps []Step, ops []Operation) Record {
	ops = append([]Operation(nil), ops...)
	sort.Slice(ops, func(i, j int) bool {
		if !ops[i].At.Equal(ops[j].At) {
			return ops[i].At.Before(ops[j].At)
		}
		return ops[i].ID < ops[j].ID
	})
	r := Record{StepsDone: map[string]Operation{}}
	fitted := map[string]bool{}
	var end *Operation
	for i := range ops {
		op := &ops[i]
		switch op.Kind {
		case OpArrived:
			if r.ArrivedAt == nil {
				r.ArrivedAt = &op.At
			}
		case OpLeft:
			r.LeftAt = &op.At
		case OpStep:
			r.StepsDone[op.StepID] = *op
		case OpFitted:
			fitted[op.SubjectID+"|"+op.Serial] = true
		case OpDone, OpMadeSafe, OpWasted:
			end = op
		}
	}
	r.Lights = len(fitted)
	for _, s := range steps {
		if !s.Gate {
			continue
		}
		if op, ok := r.StepsDone[s.ID]; !ok || !s.Holds(op) {
			r.GatesOpen = append(r.GatesOpen, s.Name)
		}
	}
	if end == nil {
		return r
	}
	r.Reason, r.Until = end.Reason, end.Until
	switch {
	case end.Kind == OpDone && len(r.GatesOpen) > 0:
		r.Incomplete = true
		return r
	case end.Kind == OpDone:
		r.Outcome = OutcomeDone
	case end.Kind == OpMadeSafe:
		r.Outcome = OutcomeMadeSafe
	case end.Kind == OpWasted:
		r.Outcome = OutcomeWasted
	}
	if r.LeftAt == nil || r.LeftAt.Before(end.At) {
		r.LeftAt = &end.At
	}
	if r.ArrivedAt == nil {
		r.ArrivedAt = &end.At
	}
	return r
}
