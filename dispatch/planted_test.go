package dispatch_test

import (
	"os"
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/check"
	"ebbline/dispatch/weeks"
)

// Planted plans keep every rule of the week that is made around them, so the search
// has no excuse to be dearer; on small ones it is soon cheaper. (The reference size is
// measured by weekbench.)
func TestPlantedPlansPassTheChecker(t *testing.T) {
	seeds := uint64(3)
	if os.Getenv("EBBLINE_LONG") != "" {
		seeds = 20
	} else if testing.Short() {
		seeds = 1
	}
	for seed := range seeds {
		for _, s := range []weeks.Shape{{Crews: 20, Days: 5}, {Crews: 3, Days: 4}, {Crews: 6, Days: 10, Plain: true}} {
			s.Seed = seed
			w, p := weeks.Planted(s)
			if err := w.Validate(); err != nil {
				t.Fatalf("%+v: %v", s, err)
			}
			p.Cost = check.Plan(w, p).Cost
			if r := check.Plan(w, p); !r.OK() {
				t.Fatalf("%+v: %d rules broken, first %+v", s, len(r.Broken), r.Broken[0])
			}
			if s.Crews != 3 {
				continue
			}
			if q := solved(t, w, dispatch.Options{Seed: 1, Strands: 4, Rounds: 60, NoReasons: true}); q.Cost.Total > p.Cost.Total {
				t.Errorf("%+v: search finds %d, the planted plan costs %d", s, q.Cost.Total, p.Cost.Total)
			}
		}
	}
}
