package dispatch_test

import (
	"bytes"
	"context"
	"encoding/json"
	"runtime"
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// The same week, seed, strands and rounds give the same bytes on one core and on two,
// and another seed gives another plan.
func TestSameBytesOnAnyNumberOfCores(t *testing.T) {
	run := func(procs, cores int, seed int64) []byte {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(procs))
		w := weeks.Make(weeks.Shape{Seed: 5, Crews: 4, Days: 4, Jobs: 28})
		p, err := dispatch.Solve(context.Background(), w, dispatch.Options{Seed: seed, Strands: 3, Rounds: 2, Cores: cores})
		if err != nil {
			t.Fatal(err)
		}
		b, err := json.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	one := run(1, 1, 7)
	for _, c := range [][2]int{{1, 3}, {2, 2}, {2, 0}} {
		if two := run(c[0], c[1], 7); !bytes.Equal(one, two) {
			t.Fatalf("GOMAXPROCS %d, %d cores: another plan than on one core", c[0], c[1])
		}
	}
	if bytes.Equal(one, run(2, 2, 8)) {
		t.Error("another seed gave the same bytes: the seed is not used")
	}
}

// A run that its context ends keeps the best of the rounds that were finished, and is
// replayed by their number.
func TestEndedRunKeepsTheBest(t *testing.T) {
	w := weeks.Make(weeks.Shape{Seed: 6, Crews: 4, Days: 4, Jobs: 28})
	ctx, cancel := context.WithCancel(context.Background())
	var last dispatch.Progress
	p := solvedIn(ctx, t, w, dispatch.Options{Seed: 3, Strands: 2, Progress: func(x dispatch.Progress) {
		last = x
		if x.Round == 3 {
			cancel()
		}
	}})
	if p.Rounds != 3 || last.Round != 3 {
		t.Fatalf("stopped after round 3: the plan says %d rounds, progress %d", p.Rounds, last.Round)
	}
	first := solved(t, w, dispatch.Options{Seed: 3, Strands: 2, Rounds: -1})
	if p.Cost.Total >= first.Cost.Total {
		t.Errorf("three rounds cost %d, construction alone %d", p.Cost.Total, first.Cost.Total)
	}
	cancel()
	already := solvedIn(ctx, t, w, dispatch.Options{Seed: 3})
	if already.Rounds != 0 || already.Cost.Total < first.Cost.Total {
		t.Errorf("with an ended context: %d rounds and cost %d; construction in full gives %d", already.Rounds, already.Cost.Total, first.Cost.Total)
	}
	again := solved(t, w, dispatch.Options{Seed: 3, Strands: 2, Rounds: 3})
	if a, b := plain(t, p), plain(t, again); !bytes.Equal(a, b) {
		t.Error("three rounds replayed give another plan than the run that was stopped after three")
	}
}

func plain(t *testing.T, p *week.Plan) []byte {
	t.Helper()
	b, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	return b
}
