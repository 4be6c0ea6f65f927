package odds_test

import (
	"context"
	"testing"

	"ebbline/dispatch/odds"
	"ebbline/dispatch/search"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// planned makes a week and a quick plan of it.
func planned(t testing.TB, s weeks.Shape, rounds int) (*week.Week, *week.Plan) {
	t.Helper()
	w := weeks.Make(s)
	p, err := search.Run(context.Background(), w, search.Options{Seed: 1, Strands: 1, Rounds: rounds}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return w, p
}

// BenchmarkThousandWeeks is the size test: its goal is 0.1 s of processor time.
func BenchmarkThousandWeeks(b *testing.B) {
	w, p := planned(b, weeks.Shape{Seed: 1, Crews: 20, Days: 10, Jobs: 240, Load: weeks.Tight}, 2)
	for b.Loop() {
		if _, err := odds.Simulate(w, p, odds.Ask{Seed: 1}); err != nil {
			b.Fatal(err)
		}
	}
}
