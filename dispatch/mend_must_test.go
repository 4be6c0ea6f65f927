package dispatch_test

import (
	"context"
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/weeks"
)

// A job that has begun gets room at others' cost when its crew falls out of a full week:
// before that there was no plan at all.
func TestMendMakesRoomForWhatHasBegun(t *testing.T) {
	for _, seed := range []uint64{38, 81} {
		w := weeks.Make(weeks.Shape{Seed: seed, Crews: 3, Days: 3, Jobs: 20, Load: weeks.Over})
		p := solved(t, w, dispatch.Options{Seed: 1, Strands: 1, Rounds: 2, NoReasons: true})
		x := weeks.Later(w, p, 86400+10*3600)
		var out []string
		for i := range x.Tours {
			if b := x.Tours[i].Begun; x.Tours[i].Crew == x.Crews[seed%3].ID && (b == nil || b.Returned == nil) {
				out = append(out, x.Tours[i].ID)
			}
		}
		first := false
		m, err := dispatch.Mend(context.Background(), dispatch.MendAsk{Week: x, Before: p, Changes: []dispatch.Change{{Kind: dispatch.ChangeCrewOut, Tours: out}},
			First: func(*dispatch.Mended) { first = true }, Options: dispatch.Options{Seed: 1, Strands: 1, Rounds: -1, NoReasons: true}})
		if err != nil || !first {
			t.Fatalf("seed %d: first answer %v, %v", seed, first, err)
		}
		keepsBegun(t, m.Week, m)
	}
}
