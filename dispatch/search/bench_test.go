package search

import (
	"fmt"
	"testing"

	"ebbline/dispatch/weeks"
)

// One iteration of ruin and recreate at several sizes: its cost must not grow with the
// number of jobs.
func BenchmarkStep(b *testing.B) {
	for _, jobs := range []int{50, 100, 240, 1000} {
		b.Run(fmt.Sprint(jobs), func(b *testing.B) {
			m := compile(weeks.Make(weeks.Shape{Seed: 1, Crews: jobs / 5, Days: 5, Jobs: jobs}))
			st := newState(m)
			construct(b.Context(), st, newInserter(nil, 8, 4), m.byHardness, nil)
			s := newStrand(st, 1, 0)
			b.ResetTimer()
			for n := 0; n < b.N; n += 100 {
				s.round(b.Context(), 100, 0.5, 0.5)
			}
		})
	}
}
