package jobs

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"strings"
	"testing"
)

// What each state allows, written out by hand from the design and not from the
// table: state: act > state after.
const allowed = `
enquiry: mark_surveyed>surveyed send_quote>quoted park>parked decline>declined hand_out>enquiry take_back>enquiry begin>enquiry
surveyed: send_quote>quoted park>parked decline>declined hand_out>surveyed take_back>surveyed begin>surveyed
quoted: send_quote>quoted approve>approved decline_quote>declined park>parked decline>declined hand_out>quoted take_back>quoted begin>quoted
approved: facts_hold>ready begin>under_way decline_quote>declined park>parked decline>declined
ready: fact_lacks>approved hand_out>routed begin>under_way decline_quote>declined park>parked decline>declined
routed: hand_out>routed take_back>ready begin>under_way decline_quote>declined park>parked decline>declined
under_way: begin>under_way make_safe>made_safe convert>converted park>parked decline>declined hand_out>under_way take_back>under_way
made_safe: hold_low>made_safe refill_and_return>approved begin>under_way hand_out>made_safe take_back>made_safe
converted: request_inspection>awaiting_inspection close>closed correct>under_way begin>converted hand_out>converted take_back>converted
awaiting_inspection: pass_inspection>closed drop_inspection>converted begin>awaiting_inspection hand_out>awaiting_inspection take_back>awaiting_inspection
closed:
parked: unpark>quoted decline>declined
declined: reopen>quoted
`

// who may, for every act.
const whoMay = `
mark_surveyed: owner dispatcher tech system
park unpark decline reopen hold_low refill_and_return request_inspection pass_inspection drop_inspection close: owner dispatcher system
send_quote hand_out take_back: owner dispatcher system
approve decline_quote: owner dispatcher customer system
facts_hold fact_lacks: owner dispatcher tech customer system
begin make_safe convert correct: owner dispatcher tech system
`

func words(text string) map[string]string {
	out := map[string]string{}
	for _, line := range strings.Split(strings.TrimSpace(text), "\n") {
		names, rest, _ := strings.Cut(line, ":")
		for _, name := range strings.Fields(names) {
			out[name] = strings.TrimSpace(rest)
		}
	}
	return out
}

// Every state with every act and every role: allowed exactly where the words
// above say so, with everything that acts need in place.
func TestEveryActInEveryStateForEveryRole(t *testing.T) {
	states, who := words(allowed), words(whoMay)
	if len(states) != len(States) || len(who) != len(Acts) {
		t.Fatalf("%d states, %d acts in the words", len(states), len(who))
	}
	for _, from := range States {
		for _, act := range Acts {
			want := ""
			for _, pair := range strings.Fields(states[string(from)]) {
				if name, to, _ := strings.Cut(pair, ">"); name == string(act) {
					want = to
				}
			}
			for _, role := range []Role{RoleOwner, RoleDispatcher, RoleTech, RoleCustomer, RoleSystem} {
				j := Job{State: from, CameFrom: StateQuoted}
				all := Standing{Note: true, Until: true, FactsHold: act != ActFactLacks}
				got, err := j.Next(act, role, all)
				switch may := slices.Contains(strings.Fields(who[string(act)]), string(role)); {
				case want == "":
					if CodeOf(err) != CodeConflict {
						t.Errorf("%s %s %s: got %q, %v; want a conflict", from, act, role, got, err)
					}
				case !may:
					if CodeOf(err) != CodeForbidden {
						t.Errorf("%s %s %s: got %q, %v; want forbidden", from, act, role, got, err)
					}
				case err != nil || string(got) != want:
					t.Errorf("%s %s %s: got %q, %v; want %s", from, act, role, got, err, want)
				}
			}
		}
	}
}

func TestWhatActsNeed(t *testing.T) {
	ready := Standing{Note: true, Until: true, FactsHold: true}
	with := func(change func(s *Standing)) Standing { s := ready; change(&s); return s }
	for _, c := range []struct {
		from State
		act  Act
		s    Standing
		code Code
		says string
	}{
		{StateEnquiry, ActPark, with(func(s *Standing) { s.Note = false }), CodeInvalid, "note"},
		{StateApproved, ActDecline, with(func(s *Standing) { s.Note = false }), CodeInvalid, "note"},
		{StateMadeSafe, ActHoldLow, with(func(s *Standing) { s.Until = false }), CodeInvalid, "until"},
		{StateApproved, ActFactsHold, with(func(s *Standing) { s.FactsHold = false }), CodeConflict, "fact"},
		{StateReady, ActFactLacks, ready, CodeConflict, "fact"},
		{StateRouted, ActTakeBack, with(func(s *Standing) { s.VisitBegun = true }), CodeConflict, "under way"},
		{StateRouted, ActPark, with(func(s *Standing) { s.VisitBegun = true }), CodeConflict, "under way"},
		{StateUnderWay, ActPark, with(func(s *Standing) { s.VisitDone = true }), CodeConflict, "no visit done"},
		{StateUnderWay, ActDecline, with(func(s *Standing) { s.VisitBegun = true }), CodeConflict, "under way"},
		{StateUnderWay, ActConvert, with(func(s *Standing) { s.ConvertOpen = true }), CodeConflict, "conversion visit"},
		{StateConverted, ActClose, with(func(s *Standing) { s.VisitsOpen = true }), CodeConflict, "done or withdrawn"},
		{StateConverted, ActClose, with(func(s *Standing) { s.PermitNeeded = true }), CodeConflict, "inspection"},
		{StateAwaitingInspection, ActPassInspection, with(func(s *Standing) { s.PermitNeeded = true }), "", ""},
	} {
		_, err := Job{State: c.from}.Next(c.act, RoleDispatcher, c.s)
		if CodeOf(err) != c.code || err != nil && !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s %s: got %v, want %s with %q", c.from, c.act, err, c.code, c.says)
		}
	}
}

func TestPutAsideComesBackWhereItStood(t *testing.T) {
	for came, want := range map[State]State{StateSurveyed: StateSurveyed, StateApproved: StateApproved, StateRouted: StateReady, StateUnderWay: StateReady, "": StateEnquiry} {
		got, err := Job{State: StateParked, CameFrom: came}.Next(ActUnpark, RoleOwner, Standing{})
		if err != nil || got != want {
			t.Errorf("from %q: got %q, %v; want %q", came, got, err, want)
		}
	}
}

func TestMayDoOffersWhatIsPossible(t *testing.T) {
	j := Job{State: StateConverted, Visits: []Visit{{Kind: VisitCommission, State: VisitOpen}}}
	if got := j.MayDo(RoleDispatcher, j.Standing(true, true)); fmt.Sprint(got) != "[request_inspection]" {
		t.Errorf("an open commission and a permit: %v", got)
	}
	j.Visits[0].State = VisitDone
	if got := j.MayDo(RoleDispatcher, j.Standing(true, false)); fmt.Sprint(got) != "[request_inspection close]" {
		t.Errorf("all done, no permit: %v", got)
	}
	if got := j.MayDo(RoleTech, j.Standing(true, false)); len(got) != 0 {
		t.Errorf("a tech: %v", got)
	}
}

// The table as people read it names every state that can be left and every
// act, once for each row.
func TestMachineText(t *testing.T) {
	text := MachineText()
	if n := strings.Count(text, "\n"); n != len(Machine)+2 {
		t.Errorf("%d lines for %d rows", n, len(Machine))
	}
	seen := map[string]bool{}
	for _, s := range Machine {
		key := string(s.From) + " " + string(s.Act)
		if seen[key] {
			t.Errorf("%s stands twice", key)
		}
		seen[key] = true
	}
}

// Marks in DEVELOPERS.md between which the state machine stands as text.
const (
	tableBegin = "<!-- job states, written by go test ./jobs with EBBLINE_WRITE=1 -->\n"
	tableEnd   = "<!-- job states end -->"
)

// DEVELOPERS.md shows the state machine as it is. With EBBLINE_WRITE=1 the test
// writes the table between the marks instead.
func TestDevelopersShowTheMachine(t *testing.T) {
	const path = "../DEVELOPERS.md"
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		t.Fatal("there is no DEVELOPERS.md; its table would be\n" + MachineText())
	}
	if err != nil {
		t.Fatal(err)
	}
	before, rest, begun := strings.Cut(string(data), tableBegin)
	shown, after, ended := strings.Cut(rest, tableEnd)
	if !begun || !ended {
		t.Fatalf("DEVELOPERS.md has no marks for the job states:\n%s%s", tableBegin, tableEnd)
	}
	if os.Getenv("EBBLINE_WRITE") == "1" {
		if err := os.WriteFile(path, []byte(before+tableBegin+MachineText()+tableEnd+after), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if shown != MachineText() {
		t.Errorf("DEVELOPERS.md shows another state machine; run EBBLINE_WRITE=1 go test ./jobs -run Developers")
	}
}
