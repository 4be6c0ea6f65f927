package jobs

import "time"

// PumpState is whether a pump can go out.
type PumpState string

// The states of a pump.
const (
	PumpWorking PumpState = "working"
	PumpBroken  PumpState = "broken"
	PumpGone    PumpState = "gone"
)

// PumpStates lists the states.
var PumpStates = []PumpState{PumpWorking, PumpBroken, PumpGone}

// Pump is one of a home's submersible pumps.
type Pump struct {
	ID       string
	BranchID string
	PumpData
	Version   int64
	CreatedAt time.Time
	UpdatedAt time.Time
}

// PumpData is what people enter and change.
type PumpData struct {
	HomeID   string
	Name     string
	State    PumpState
	FlowMLPS int64 // millilitres a second at the usual lift; 0: not known yet
	Note     string
}

// Check refuses what is wrong, all of it at once. 100 litres a second is far
// above what a portable pump moves.
func (d PumpData) Check() error {
	var f Faults
	f.ID("home_id", d.HomeID)
	f.Line("name", d.Name, 1, MaxName)
	OneOf(&f, "state", d.State, PumpStates)
	f.Check(d.FlowMLPS >= 0 && d.FlowMLPS <= 100_000, "flow_ml_per_s", itoa64(d.FlowMLPS), "millilitres a second, between 0 (not known yet) and 100000")
	f.Note("note", d.Note)
	return f.Err()
}
