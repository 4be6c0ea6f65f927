package jobs

import (
	"slices"
	"strings"
)

// PartState says where a part of a job is.
type PartState string

// The states of a job's part, in the order they usually come.
const (
	PartNeeded      PartState = "needed"
	PartOrdered     PartState = "ordered"
	PartPromised    PartState = "promised" // for a day
	PartBackOrdered PartState = "back_ordered"
	PartReceived    PartState = "received" // came for this job and is kept for it
	PartReserved    PartState = "reserved"
	PartOnTruck     PartState = "on_truck"
	PartUsed        PartState = "used"
	PartReturned    PartState = "returned"   // on our own shelf again
	PartSentBack    PartState = "sent_back"  // to where it was bought
	PartNotNeeded   PartState = "not_needed" // struck from the list before it was had
)

// PartStates lists the states.
var PartStates = []PartState{PartNeeded, PartOrdered, PartPromised, PartBackOrdered, PartReceived, PartReserved,
	PartOnTruck, PartUsed, PartReturned, PartSentBack, PartNotNeeded}

// Label is the state as people say it.
func (s PartState) Label() string {
	switch s {
	case PartBackOrdered:
		return "back-ordered"
	case PartOnTruck:
		return "on the truck"
	case PartReturned:
		return "back on the shelf"
	}
	return strings.ReplaceAll(string(s), "_", " ")
}

// onItsWay is what may become of a part that was ordered: an order is changed,
// comes in for the job or for the shelf, or is cancelled.
var onItsWay = []PartState{PartNeeded, PartOrdered, PartPromised, PartBackOrdered, PartReceived, PartReserved, PartReturned, PartNotNeeded}

// partMoves is every legal step. What is not in it is refused at the desk; a
// crew's report that it used a part is always taken (see ShelfChange).
var partMoves = map[PartState][]PartState{
	PartNeeded:      {PartOrdered, PartPromised, PartBackOrdered, PartReceived, PartReserved, PartNotNeeded},
	PartOrdered:     onItsWay,
	PartPromised:    onItsWay,
	PartBackOrdered: onItsWay,
	PartReceived:    {PartNeeded, PartReserved, PartOnTruck, PartUsed, PartReturned, PartSentBack},
	PartReserved:    {PartNeeded, PartReceived, PartOnTruck, PartUsed, PartReturned, PartSentBack},
	PartOnTruck:     {PartReserved, PartUsed, PartReturned},
	PartUsed:        {PartOnTruck, PartReturned}, // noted by mistake, or left over
	PartReturned:    {PartNeeded, PartReserved},
	PartSentBack:    {PartReceived},
	PartNotNeeded:   {PartNeeded},
}

// MayBecome says whether a part may go from s to another state. Staying is
// always right.
func (s PartState) MayBecome(to PartState) bool { return s == to || slices.Contains(partMoves[s], to) }

// Next lists where a part may go from s.
func (s PartState) Next() []PartState {
	next := slices.Clone(partMoves[s])
	return slices.DeleteFunc(next, func(to PartState) bool { return to == s })
}

func (s PartState) nextWords() string {
	var words []string
	for _, next := range s.Next() {
		words = append(words, string(next))
	}
	return strings.Join(words, ", ")
}

// Open says that the job still has or expects the part.
func (s PartState) Open() bool {
	return s != PartReturned && s != PartSentBack && s != PartNotNeeded && s != PartUsed
}

// There says that the part is at hand for the job.
func (s PartState) There() bool {
	return s == PartReceived || s == PartReserved || s == PartOnTruck || s == PartUsed
}

// Awaited says that the part was ordered and has not come.
func (s PartState) Awaited() bool {
	return s == PartOrdered || s == PartPromised || s == PartBackOrdered
}

// ShelfChange is by how much the shelf's stock of a catalogue part changes when
// a job's part goes from one state to another: below zero is taken from the
// shelf. What comes in for a job is kept for it and never lies on the shelf;
// what was ordered may also come in for the shelf (returned).
func ShelfChange(from, to PartState, quantity int64) int64 {
	ours := from == PartNeeded || from == PartReturned || from == PartNotNeeded // nothing of the job's is anywhere but on the shelf
	switch {
	case from == to:
		return 0
	case ours && (to == PartReserved || to == PartOnTruck || to == PartUsed):
		return -quantity
	case to == PartReturned && !ours, to == PartNeeded && from.There():
		return quantity
	}
	return 0
}

// ShelfChange is by how much the shelf's stock changes when before becomes
// after: first the quantity, then the state. More of what is reserved is taken
// from the shelf, less of it goes back there.
func (d JobPartData) ShelfChange(after JobPartData) int64 {
	change := int64(0)
	if d.State == PartReserved || d.State == PartOnTruck || d.State == PartUsed {
		change = d.Quantity - after.Quantity
	}
	return change + ShelfChange(d.State, after.State, after.Quantity)
}
