package jobs

import (
	"strconv"
	"time"
)

// VisitKind is what a crew goes to a site for. The kinds are data of the
// database: what each needs of the water and of people stands there.
type VisitKind string

// The kinds of visit.
const (
	VisitSurvey     VisitKind = "survey"
	VisitPrepare    VisitKind = "prepare"
	VisitCircuit    VisitKind = "circuit"
	VisitDrain      VisitKind = "drain"
	VisitConvert    VisitKind = "convert"
	VisitConnect    VisitKind = "connect"
	VisitInspect    VisitKind = "inspect"
	VisitCommission VisitKind = "commission"
	VisitCollect    VisitKind = "collect"
	VisitCallBack   VisitKind = "call_back"
)

// VisitKinds lists the kinds in the order of a chain.
var VisitKinds = []VisitKind{VisitSurvey, VisitPrepare, VisitCircuit, VisitDrain, VisitConvert, VisitConnect,
	VisitInspect, VisitCommission, VisitCollect, VisitCallBack}

// VisitKindInfo is what the database says of a kind.
type VisitKindInfo struct {
	ID       VisitKind
	Name     string
	Place    int64
	Water    string // none, low or covered
	Licensed bool   // electrical work: a licensed person must be there
	Seconds  int64  // its length until an estimate knows better
}

// VisitState says how far a visit is.
type VisitState string

// The states of a visit.
const (
	VisitOpen      VisitState = "open" // to be planned
	VisitRouted    VisitState = "routed"
	VisitUnderWay  VisitState = "under_way"
	VisitDone      VisitState = "done"
	VisitWasted    VisitState = "wasted" // came for nothing
	VisitWithdrawn VisitState = "withdrawn"
)

// MaxVisits bounds the visits of a chain that are still to come.
const MaxVisits = 6

// Visit is one stop of a job's chain.
type Visit struct {
	ID          string
	JobID       string
	Place       int64 // rises along the chain
	Kind        VisitKind
	State       VisitState
	Seconds     *int64 // nil: the kind's own length
	PinDay      Day    // empty: free
	PinCrewID   string // empty: free
	PinStart    time.Time
	BegunAt     time.Time
	DoneAt      time.Time
	Outcome     string
	OutcomeNote string
	Version     int64
	CreatedAt   time.Time
	UpdatedAt   time.Time
}

// Open says whether the visit is still to come or under way.
func (v Visit) Open() bool {
	return v.State == VisitOpen || v.State == VisitRouted || v.State == VisitUnderWay
}

// VisitChange is what people may change of a visit; nil leaves as it is.
type VisitChange struct {
	Seconds   *int64
	PinDay    *Day
	PinCrewID *string
	Withdraw  bool
}

// Check refuses what is wrong, all of it at once.
func (c VisitChange) Check() error {
	var f Faults
	if c.Seconds != nil {
		checkSeconds(&f, "seconds", *c.Seconds)
	}
	if c.PinDay != nil {
		checkDay(&f, "pin_day", *c.PinDay)
	}
	if c.PinCrewID != nil && *c.PinCrewID != "" {
		f.ID("pin_crew_id", *c.PinCrewID)
	}
	return f.Err()
}

func checkSeconds(f *Faults, field string, n int64) {
	f.Check(n >= 60 && n <= 24*3600, field, strconv.FormatInt(n, 10), "seconds, from a minute to a day")
}

// NewVisit is a visit added to a chain.
type NewVisit struct {
	Kind    VisitKind
	Seconds *int64
}

// Check refuses what is wrong, all of it at once.
func (n NewVisit) Check() error {
	var f Faults
	OneOf(&f, "kind", n.Kind, VisitKinds)
	if n.Seconds != nil {
		checkSeconds(&f, "seconds", *n.Seconds)
	}
	return f.Err()
}

// Plannable lists the visits of a job that a week plan may hold, in chain
// order: those still to come, of the kinds that the job's state allows. A
// survey goes out for an enquiry; the work itself only once the job is ready;
// what is left of a job under way or made safe with the water held low.
func (j Job) Plannable() []Visit {
	var out []Visit
	for _, v := range j.Visits {
		if v.Open() && j.State.plans(v.Kind) {
			out = append(out, v)
		}
	}
	return out
}

func (s State) plans(kind VisitKind) bool {
	switch s {
	case StateEnquiry, StateSurveyed, StateQuoted:
		return kind == VisitSurvey
	case StateReady, StateRouted, StateUnderWay, StateMadeSafe:
		return kind != VisitSurvey
	case StateConverted:
		return kind == VisitCommission || kind == VisitCollect || kind == VisitConnect || kind == VisitCallBack
	case StateAwaitingInspection:
		return kind == VisitInspect || kind == VisitCommission || kind == VisitCollect
	}
	return false
}

// Chain lists the kinds of visit that a job usually takes, in order. Prepare
// comes where soil is opened or the supply has no base yet, circuit where the
// supply's circuit has no protection, drain where a crew must start it. They
// are only a start: people add and withdraw visits.
func Chain(d JobData, s Survey) []VisitKind {
	if d.Kind == JobCallBack {
		return []VisitKind{VisitCallBack}
	}
	var chain []VisitKind
	if opensSoil(s) == Yes || anyChoice(s, SubjectSupply, "base", "none") {
		chain = append(chain, VisitPrepare)
	}
	if anyChoice(s, SubjectSupply, "protection", "none") {
		chain = append(chain, VisitCircuit)
	}
	if d.WayLow == LowCrewPump || d.WayLow == LowOwnOutlet {
		chain = append(chain, VisitDrain)
	}
	return append(chain, VisitConvert, VisitConnect, VisitCommission)
}

func anyChoice(s Survey, kind SubjectKind, field, word string) bool {
	for _, sub := range s.OfKind(kind) {
		if sub.Choice(field) == word {
			return true
		}
	}
	return false
}
