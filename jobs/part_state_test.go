package jobs

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestPartMoves(t *testing.T) {
	for _, c := range []struct {
		from, to PartState
		may      bool
		shelf    int64 // change by 3 of the part
	}{
		{PartNeeded, PartReserved, true, -3},
		{PartNeeded, PartReceived, true, 0}, // came for the job
		{PartNeeded, PartUsed, false, -3},   // only a crew's report does
		{PartNeeded, PartNotNeeded, true, 0},
		{PartOrdered, PartPromised, true, 0},
		{PartPromised, PartBackOrdered, true, 0},
		{PartBackOrdered, PartReserved, true, 0}, // came, and is kept
		{PartOrdered, PartReturned, true, 3},     // came, and goes on the shelf
		{PartOrdered, PartNotNeeded, true, 0},    // cancelled
		{PartReceived, PartReserved, true, 0},
		{PartReceived, PartSentBack, true, 0},
		{PartReceived, PartNeeded, true, 3},
		{PartReserved, PartNeeded, true, 3},
		{PartReserved, PartReturned, true, 3},
		{PartReserved, PartOnTruck, true, 0},
		{PartOnTruck, PartUsed, true, 0},
		{PartOnTruck, PartReturned, true, 3},
		{PartOnTruck, PartSentBack, false, 0},
		{PartUsed, PartNeeded, false, 3},
		{PartUsed, PartReturned, true, 3},
		{PartReturned, PartReserved, true, -3},
		{PartReturned, PartNeeded, true, 0},
		{PartSentBack, PartReserved, false, 0},
		{PartNotNeeded, PartOrdered, false, 0},
		{PartUsed, PartUsed, true, 0},
	} {
		if got := c.from.MayBecome(c.to); got != c.may {
			t.Errorf("%s to %s: %v", c.from, c.to, got)
		}
		if got := ShelfChange(c.from, c.to, 3); got != c.shelf {
			t.Errorf("%s to %s: the shelf changes by %d, want %d", c.from, c.to, got, c.shelf)
		}
	}
	for _, s := range PartStates {
		if len(s.Next()) == 0 || slices.Contains(s.Next(), s) {
			t.Errorf("from %s to %v", s, s.Next())
		}
	}
	_, err := JobPartChange{State: ptr(PartUsed)}.Apply(JobPartData{Name: "Seal", Quantity: 1, StockUnit: "piece", State: PartNeeded})
	if CodeOf(err) != CodeInvalid {
		t.Errorf("needed to used at the desk: %v", err)
	}
}

// Goods are neither made nor lost on the way: whatever is done to a part, what
// lies on the shelf and what the job holds change only by what comes in from
// outside or leaves for good.
func TestGoodsAreNotLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := PartNeeded
		quantity := rapid.Int64Range(1, 5).Draw(t, "quantity")
		shelf, bought, gone := int64(100), int64(0), int64(0)
		held := func(s PartState) int64 {
			if s == PartReceived || s == PartReserved || s == PartOnTruck {
				return quantity
			}
			return 0
		}
		used := func(s PartState) int64 {
			if s == PartUsed || s == PartSentBack {
				return quantity
			}
			return 0
		}
		for range rapid.IntRange(1, 12).Draw(t, "steps") {
			to := rapid.SampledFrom(at.Next()).Draw(t, "to")
			change := ShelfChange(at, to, quantity)
			// from a supplier: into the job's hands or onto the shelf without having been in either
			in := change + held(to) - held(at) + used(to) - used(at)
			switch {
			case in == quantity && (at == PartNeeded && to == PartReceived || at.Awaited()):
				bought += quantity
			case in != 0:
				t.Fatalf("%s to %s makes %d out of nothing", at, to, in)
			}
			shelf += change
			gone += used(to) - used(at)
			at = to
		}
		if shelf+held(at)+gone != 100+bought {
			t.Fatalf("shelf %d, held %d, gone %d; there were 100 and %d came", shelf, held(at), gone, bought)
		}
	})
}
