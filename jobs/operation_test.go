package jobs

import (
	"math/rand/v2"
	"reflect"
	"testing"
	"time"
)

func opID(n byte) string {
	return "00000000-0000-7000-8000-0000000000" + string("0123456789abcdef"[n>>4]) + string("0123456789abcdef"[n&15])
}

func at(minute int) time.Time { return time.Date(2026, 3, 2, 15, minute, 0, 0, time.UTC) }

func ptr[T any](v T) *T { return &v }

var convertSteps = []Step{
	{ID: "dead", Name: "Verified dead", Gate: true, Needs: NeedReading, LowLimit: ptr(int64(0)), HighLimit: ptr(int64(1000))},
	{ID: "measure", Name: "Measured dry", Gate: true, Needs: NeedChoice},
	{ID: "pull", Name: "Pulled", Needs: NeedTick},
}

func wholeVisit() []Operation {
	return []Operation{
		{ID: opID(1), Kind: OpArrived, At: at(0)},
		{ID: opID(2), Kind: OpStep, StepID: "dead", Value: ptr(int64(0)), At: at(5)},
		{ID: opID(3), Kind: OpStep, StepID: "measure", Text: "go", At: at(10)},
		{ID: opID(4), Kind: OpFitted, SubjectID: "light-1", Serial: "A1", At: at(30)},
		{ID: opID(5), Kind: OpFitted, SubjectID: "light-2", Serial: "A2", At: at(40)},
		{ID: opID(6), Kind: OpDone, At: at(50)},
	}
}

func TestFoldWholeVisit(t *testing.T) {
	r := Fold(convertSteps, wholeVisit())
	if r.Outcome != OutcomeDone || r.Lights != 2 || !r.ArrivedAt.Equal(at(0)) || !r.LeftAt.Equal(at(50)) || len(r.GatesOpen) != 0 {
		t.Fatalf("whole visit folds to %+v", r)
	}
}

// A gate that is missing, out of its limits or answered no-go keeps the visit
// from counting as done, however often "done" is said.
func TestFoldGates(t *testing.T) {
	for name, spoil := range map[string]func([]Operation) []Operation{
		"no meter reading":      func(o []Operation) []Operation { return append(o[:1:1], o[2:]...) },
		"still live":            func(o []Operation) []Operation { o[1].Value = ptr(int64(118_000)); return o },
		"reading without value": func(o []Operation) []Operation { o[1].Value = nil; return o },
		"no-go":                 func(o []Operation) []Operation { o[2].Text = NoGo; return o },
	} {
		r := Fold(convertSteps, spoil(wholeVisit()))
		if r.Outcome != "" || !r.Incomplete || len(r.GatesOpen) != 1 {
			t.Errorf("%s: folded to outcome %q, incomplete %v, gates %v", name, r.Outcome, r.Incomplete, r.GatesOpen)
		}
	}
}

// Neither the order in which a phone's reports arrive nor doubles change what
// they come to.
func TestFoldIgnoresOrderAndDoubles(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	want := Fold(convertSteps, wholeVisit())
	for range 500 {
		ops := wholeVisit()
		for range rng.IntN(4) {
			ops = append(ops, ops[rng.IntN(len(ops))])
		}
		rng.Shuffle(len(ops), func(i, j int) { ops[i], ops[j] = ops[j], ops[i] })
		if got := Fold(convertSteps, ops); !reflect.DeepEqual(got, want) {
			t.Fatalf("another order folds to %+v, want %+v", got, want)
		}
	}
}

func TestFoldLastEndDecides(t *testing.T) {
	ops := append(wholeVisit(), Operation{ID: opID(7), Kind: OpMadeSafe, Reason: "storm", Until: ptr(at(59)), At: at(55)})
	if r := Fold(convertSteps, ops); r.Outcome != OutcomeMadeSafe || r.Reason != "storm" || !r.Until.Equal(at(59)) {
		t.Fatalf("made safe after done folds to %+v", r)
	}
}

func TestOperationCheckNamesField(t *testing.T) {
	for field, op := range map[string]Operation{
		"step_id":      {ID: opID(1), VisitID: opID(2), Kind: OpStep, At: at(0)},
		"value":        {ID: opID(1), VisitID: opID(2), Kind: OpReading, At: at(0)},
		"reason":       {ID: opID(1), VisitID: opID(2), Kind: OpWasted, At: at(0)},
		"until":        {ID: opID(1), VisitID: opID(2), Kind: OpMadeSafe, Reason: "storm", At: at(0)},
		"amount_cents": {ID: opID(1), VisitID: opID(2), Kind: OpExtraWork, Text: "base", At: at(0)},
		"at":           {ID: opID(1), VisitID: opID(2), Kind: OpArrived},
		"id":           {ID: "x", VisitID: opID(2), Kind: OpArrived, At: at(0)},
		"kind":         {ID: opID(1), VisitID: opID(2), Kind: "dance", At: at(0)},
	} {
		var f Faults
		op.Check(&f, "")
		if len(f) != 1 || f[0].Field != field {
			t.Errorf("want one fault on %s, got %v", field, f)
		}
	}
}
