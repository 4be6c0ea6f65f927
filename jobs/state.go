package jobs

import (
	"slices"
	"strings"
)

// State says how far a job is.
type State string

// The states, in the order that a job goes through them; the last two stand
// aside.
const (
	StateEnquiry            State = "enquiry"
	StateSurveyed           State = "surveyed"
	StateQuoted             State = "quoted"
	StateApproved           State = "approved"
	StateReady              State = "ready"
	StateRouted             State = "routed"
	StateUnderWay           State = "under_way"
	StateMadeSafe           State = "made_safe"
	StateConverted          State = "converted"
	StateAwaitingInspection State = "awaiting_inspection"
	StateClosed             State = "closed"
	StateParked             State = "parked"
	StateDeclined           State = "declined"

	// stateCameFrom stands in the table for the state that the job was in
	// before it was put aside.
	stateCameFrom State = "where it stood"
)

// States lists the states in their order.
var States = []State{StateEnquiry, StateSurveyed, StateQuoted, StateApproved, StateReady, StateRouted, StateUnderWay,
	StateMadeSafe, StateConverted, StateAwaitingInspection, StateClosed, StateParked, StateDeclined}

// Label is the state as people say it.
func (s State) Label() string { return strings.ReplaceAll(string(s), "_", " ") }

// Act is something that moves a job from one state to another.
type Act string

// The acts. Those of the first block are asked for by name; the others follow
// from what else is done: a quote sent, a fact noted, a plan handed out, a
// report from the pool.
const (
	ActMarkSurveyed      Act = "mark_surveyed"
	ActPark              Act = "park"
	ActUnpark            Act = "unpark"
	ActDecline           Act = "decline"
	ActReopen            Act = "reopen"
	ActHoldLow           Act = "hold_low"
	ActRefillAndReturn   Act = "refill_and_return"
	ActRequestInspection Act = "request_inspection"
	ActPassInspection    Act = "pass_inspection"
	ActDropInspection    Act = "drop_inspection" // none is needed after all
	ActClose             Act = "close"

	ActSendQuote    Act = "send_quote"
	ActApprove      Act = "approve"
	ActDeclineQuote Act = "decline_quote"
	ActFactsHold    Act = "facts_hold"
	ActFactLacks    Act = "fact_lacks"
	ActHandOut      Act = "hand_out"
	ActTakeBack     Act = "take_back" // a later hand-out leaves the job out
	ActBegin        Act = "begin"
	ActMakeSafe     Act = "make_safe"
	ActConvert      Act = "convert"
	ActCorrect      Act = "correct" // a later report: the conversion is not done after all
)

// NamedActs are the acts that are asked for by name, in the order in which
// people are offered them.
var NamedActs = []Act{ActMarkSurveyed, ActHoldLow, ActRefillAndReturn, ActRequestInspection, ActPassInspection, ActDropInspection, ActClose,
	ActPark, ActUnpark, ActDecline, ActReopen}

// Acts are all acts.
var Acts = append(slices.Clone(NamedActs), ActSendQuote, ActApprove, ActDeclineQuote, ActFactsHold, ActFactLacks,
	ActHandOut, ActTakeBack, ActBegin, ActMakeSafe, ActConvert, ActCorrect)

// Label is the act as people say it.
func (a Act) Label() string { return strings.ReplaceAll(string(a), "_", " ") }

// StateNeed is something that must hold before an act.
type StateNeed string

// The needs.
const (
	NeedNote        StateNeed = "a note saying why"
	NeedUntil       StateNeed = "an instant in the future until which the water stays low"
	NeedAllFacts    StateNeed = "every gating fact to hold"
	NeedFactLacking StateNeed = "a gating fact that no longer holds"
	NeedNoWork      StateNeed = "no visit under way"
	NeedNothingDone StateNeed = "no visit done"
	NeedNoVisits    StateNeed = "every visit done or withdrawn"
	NeedInspected   StateNeed = "the inspection passed, because a permit is needed"
	NeedConverted   StateNeed = "every conversion visit done"
)

// StateStep is one row of the state machine: in a state, an act, who may do it,
// what it needs, and the state after.
type StateStep struct {
	From  State
	Act   Act
	Who   []Role
	Needs []StateNeed
	To    State
}

var (
	office    = []Role{RoleOwner, RoleDispatcher, RoleSystem}
	officeOr  = func(r Role) []Role { return append(slices.Clone(office), r) }
	atThePool = officeOr(RoleTech)
	withLink  = officeOr(RoleCustomer)
	anybody   = append(officeOr(RoleTech), RoleCustomer)
)

// Machine is the whole state machine of a job. What is not in it may not be
// done. Facts hold or lack by themselves, so anybody's act may bring that about.
var Machine = append([]StateStep{
	{StateEnquiry, ActMarkSurveyed, atThePool, nil, StateSurveyed},
	{StateEnquiry, ActSendQuote, office, nil, StateQuoted},
	{StateSurveyed, ActSendQuote, office, nil, StateQuoted},
	{StateQuoted, ActSendQuote, office, nil, StateQuoted},

	{StateQuoted, ActApprove, withLink, nil, StateApproved},
	{StateQuoted, ActDeclineQuote, withLink, nil, StateDeclined},
	{StateApproved, ActDeclineQuote, withLink, nil, StateDeclined}, // while it may be cancelled
	{StateReady, ActDeclineQuote, withLink, nil, StateDeclined},
	{StateRouted, ActDeclineQuote, withLink, []StateNeed{NeedNoWork}, StateDeclined},

	{StateApproved, ActFactsHold, anybody, []StateNeed{NeedAllFacts}, StateReady},
	{StateReady, ActFactLacks, anybody, []StateNeed{NeedFactLacking}, StateApproved},

	{StateReady, ActHandOut, office, nil, StateRouted},
	{StateRouted, ActTakeBack, office, []StateNeed{NeedNoWork}, StateReady},

	{StateApproved, ActBegin, atThePool, nil, StateUnderWay},
	{StateReady, ActBegin, atThePool, nil, StateUnderWay},
	{StateRouted, ActBegin, atThePool, nil, StateUnderWay},
	{StateMadeSafe, ActBegin, atThePool, nil, StateUnderWay},

	{StateUnderWay, ActMakeSafe, atThePool, nil, StateMadeSafe},
	{StateMadeSafe, ActHoldLow, office, []StateNeed{NeedUntil}, StateMadeSafe},
	{StateMadeSafe, ActRefillAndReturn, office, nil, StateApproved},

	{StateUnderWay, ActConvert, atThePool, []StateNeed{NeedConverted}, StateConverted},
	{StateConverted, ActCorrect, atThePool, nil, StateUnderWay},
	{StateConverted, ActRequestInspection, office, nil, StateAwaitingInspection},
	{StateAwaitingInspection, ActPassInspection, office, []StateNeed{NeedNoVisits}, StateClosed},
	{StateAwaitingInspection, ActDropInspection, office, nil, StateConverted},
	{StateConverted, ActClose, office, []StateNeed{NeedNoVisits, NeedInspected}, StateClosed},

	{StateEnquiry, ActPark, office, []StateNeed{NeedNote}, StateParked},
	{StateSurveyed, ActPark, office, []StateNeed{NeedNote}, StateParked},
	{StateQuoted, ActPark, office, []StateNeed{NeedNote}, StateParked},
	{StateApproved, ActPark, office, []StateNeed{NeedNote}, StateParked},
	{StateReady, ActPark, office, []StateNeed{NeedNote}, StateParked},
	{StateRouted, ActPark, office, []StateNeed{NeedNote, NeedNoWork}, StateParked},
	{StateUnderWay, ActPark, office, []StateNeed{NeedNote, NeedNoWork, NeedNothingDone}, StateParked}, // trips for nothing only
	{StateParked, ActUnpark, office, nil, stateCameFrom},

	{StateEnquiry, ActDecline, office, []StateNeed{NeedNote}, StateDeclined},
	{StateSurveyed, ActDecline, office, []StateNeed{NeedNote}, StateDeclined},
	{StateQuoted, ActDecline, office, []StateNeed{NeedNote}, StateDeclined},
	{StateApproved, ActDecline, office, []StateNeed{NeedNote}, StateDeclined},
	{StateReady, ActDecline, office, []StateNeed{NeedNote}, StateDeclined},
	{StateRouted, ActDecline, office, []StateNeed{NeedNote, NeedNoWork}, StateDeclined},
	{StateUnderWay, ActDecline, office, []StateNeed{NeedNote, NeedNoWork, NeedNothingDone}, StateDeclined},
	{StateParked, ActDecline, office, []StateNeed{NeedNote}, StateDeclined},
	{StateDeclined, ActReopen, office, nil, stateCameFrom},
}, stays()...)

// stays are the acts on single visits that leave the job where it is: a survey
// goes out for an enquiry, a commission for a converted pool.
func stays() []StateStep {
	var rows []StateStep
	for _, s := range []State{StateEnquiry, StateSurveyed, StateQuoted, StateUnderWay, StateConverted, StateAwaitingInspection} {
		rows = append(rows, StateStep{s, ActHandOut, office, nil, s}, StateStep{s, ActTakeBack, office, nil, s}, StateStep{s, ActBegin, atThePool, nil, s})
	}
	return append(rows,
		StateStep{StateRouted, ActHandOut, office, nil, StateRouted},
		StateStep{StateMadeSafe, ActHandOut, office, nil, StateMadeSafe},
		StateStep{StateMadeSafe, ActTakeBack, office, nil, StateMadeSafe})
}

// Standing is what the needs of the state machine look at.
type Standing struct {
	Note         bool // the act came with a note
	Until        bool // and with an instant in the future
	FactsHold    bool
	VisitBegun   bool // one is under way
	VisitDone    bool // one is done: the pool is no longer as it was found
	VisitsOpen   bool // one is still to come or under way
	PermitNeeded bool
	ConvertOpen  bool // a conversion visit is still to come or under way
}

func (s Standing) meets(n StateNeed) bool {
	switch n {
	case NeedNote:
		return s.Note
	case NeedUntil:
		return s.Until
	case NeedAllFacts:
		return s.FactsHold
	case NeedFactLacking:
		return !s.FactsHold
	case NeedNoWork:
		return !s.VisitBegun
	case NeedNothingDone:
		return !s.VisitDone
	case NeedNoVisits:
		return !s.VisitsOpen
	case NeedInspected:
		return !s.PermitNeeded
	case NeedConverted:
		return !s.ConvertOpen
	}
	return false
}

// field is the input that a need asks for; empty where it is a matter of the
// job itself.
func (n StateNeed) field() string {
	switch n {
	case NeedNote:
		return "note"
	case NeedUntil:
		return "until"
	}
	return ""
}

// StepOf finds the row for an act in a state.
func StepOf(from State, act Act) (StateStep, bool) {
	for _, s := range Machine {
		if s.From == from && s.Act == act {
			return s, true
		}
	}
	return StateStep{}, false
}

// Next is the state of j after the act. CodeConflict when the state does not
// know the act or something is lacking, CodeForbidden when the role may not,
// CodeInvalid when the act needs a note or an instant.
func (j Job) Next(act Act, who Role, s Standing) (State, error) {
	step, ok := StepOf(j.State, act)
	if !ok {
		return "", Errorf(CodeConflict, "The job is %s; %q is for jobs that are %s", j.State.Label(), act.Label(), whereLabel(act))
	}
	if !slices.Contains(step.Who, who) {
		return "", Errorf(CodeForbidden, "%q is not for a %s", act.Label(), string(who))
	}
	var lacks []string
	var f Faults
	for _, n := range step.Needs {
		if s.meets(n) {
			continue
		}
		if field := n.field(); field != "" {
			f.Add(field, "", "needed: "+string(n))
		}
		lacks = append(lacks, string(n))
	}
	if err := f.Err(); err != nil {
		return "", err
	}
	if len(lacks) > 0 {
		return "", Errorf(CodeConflict, "%q needs %s", act.Label(), strings.Join(lacks, " and "))
	}
	if step.To == stateCameFrom {
		return j.stood(), nil
	}
	return step.To, nil
}

// stood is where a job goes back to that was put aside. One that was routed,
// or under way with nothing but trips for nothing, comes back as ready and is planned anew; facts that lack since move it on from
// there. A quote that was declined needs a new one.
func (j Job) stood() State {
	switch j.CameFrom {
	case StateRouted, StateUnderWay:
		return StateReady
	case "":
		return StateEnquiry
	}
	return j.CameFrom
}

// MayDo lists the named acts that a role may ask for now, as far as the job
// itself allows; a note or an instant are asked for with the act.
func (j Job) MayDo(who Role, s Standing) []Act {
	s.Note, s.Until = true, true
	var acts []Act
	for _, a := range NamedActs {
		if _, err := j.Next(a, who, s); err == nil {
			acts = append(acts, a)
		}
	}
	return acts
}

// Standing works out what the needs look at from the job and its chain.
func (j Job) Standing(factsHold, permitNeeded bool) Standing {
	s := Standing{FactsHold: factsHold, PermitNeeded: permitNeeded}
	for _, v := range j.Visits {
		s.VisitsOpen = s.VisitsOpen || v.Open()
		s.VisitBegun = s.VisitBegun || v.State == VisitUnderWay
		s.VisitDone = s.VisitDone || v.State == VisitDone && v.Kind != VisitSurvey
		s.ConvertOpen = s.ConvertOpen || v.Open() && v.Kind == VisitConvert
	}
	return s
}

func whereLabel(act Act) string {
	var from []string
	for _, s := range Machine {
		if s.Act == act {
			from = append(from, s.From.Label())
		}
	}
	return strings.Join(from, ", ")
}

// MachineText is the state machine as a table in Markdown, for the reader.
func MachineText() string {
	var b strings.Builder
	b.WriteString("| state | act | who | needs | state after |\n| --- | --- | --- | --- | --- |\n")
	for _, s := range Machine {
		who := make([]string, len(s.Who))
		for i, r := range s.Who {
			who[i] = string(r)
		}
		needs := make([]string, len(s.Needs))
		for i, n := range s.Needs {
			needs[i] = string(n)
		}
		b.WriteString("| " + s.From.Label() + " | " + s.Act.Label() + " | " + strings.Join(who, ", ") + " | " + strings.Join(needs, "; ") + " | " + s.To.Label() + " |\n")
	}
	return b.String()
}
