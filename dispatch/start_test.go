package dispatch_test

import (
	"context"
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/weeks"
)

// What is found from a plan is never dearer than it, and a plan of another week is told.
func TestStartsFromAPlan(t *testing.T) {
	for seed := range uint64(6) {
		w := weeks.Make(weeks.Shape{Seed: seed, Crews: 4, Days: 4, Jobs: 28})
		p := solved(t, w, dispatch.Options{Seed: 1, Strands: 2, Rounds: 4, NoReasons: true})
		q := solved(t, w, dispatch.Options{Seed: 2, Rounds: -1, NoReasons: true, Start: p})
		if cold := solved(t, w, dispatch.Options{Seed: 2, Rounds: -1, NoReasons: true}); q.Cost.Total > p.Cost.Total || cold.Cost.Total <= p.Cost.Total {
			t.Errorf("seed %d: %d from a plan of %d; without it %d", seed, q.Cost.Total, p.Cost.Total, cold.Cost.Total)
		}
		other := weeks.Make(weeks.Shape{Seed: seed, Crews: 2, Days: 2, Jobs: 4})
		if _, err := dispatch.Solve(context.Background(), other, dispatch.Options{Start: p, Rounds: -1}); err == nil {
			t.Errorf("seed %d: a plan of another week was taken", seed)
		}
	}
}
