package kernel

import (
	"slices"
	"sync/atomic"
	"testing"
)

// TestSameBytes: seed, strands and rounds make the answer, not the cores.
func TestSameBytes(t *testing.T) {
	for seed := range uint64(scale(5, 10)) {
		p := scattered(seed+7, 60, 40, seed%2 == 1)
		o := Options{Seed: seed, Strands: 1 + int(seed%4), Rounds: 4, Fewest: seed%3 == 2}
		o.Cores = 1
		one, err := Solve(p, o)
		if err != nil {
			t.Fatal(err)
		}
		o.Cores = 2
		two, err := Solve(p, o)
		if err != nil {
			t.Fatal(err)
		}
		if one.Dist != two.Dist || one.Children != two.Children || one.Rounds != two.Rounds || !slices.EqualFunc(one.Routes, two.Routes, slices.Equal) {
			t.Errorf("seed %d: %d in %d children on one core, %d in %d on two", seed, one.Dist, one.Children, two.Dist, two.Children)
		}
		if one.Routes == nil {
			t.Errorf("seed %d: no routes", seed)
			continue
		}
		if dist, cost := byHand(p, one.Routes, 1, 1); one.Dist != dist || cost != dist {
			t.Errorf("seed %d: distance %d, by hand %d; broken rules cost %d", seed, one.Dist, dist, cost-dist)
		}
		whole(t, p, one.Routes)
	}
}

// TestStoppedIsReplayed: an answer of whole rounds, whenever it was stopped, is had again by
// the number of its rounds.
func TestStoppedIsReplayed(t *testing.T) {
	p := scattered(3, 40, 30, false)
	replayed := 0
	for _, after := range []int64{1, 10, 23, 30} { // looks at whether to stop, from the second round on
		var asked, rounds atomic.Int64
		o := Options{Seed: 5, Strands: 2, Cores: 1, Whole: true, Report: func(n, _ int, _ int64) { rounds.Store(int64(n)) },
			Stop: func() bool { return rounds.Load() > 0 && asked.Add(1) > after }}
		stopped, err := Solve(p, o)
		if err != nil {
			t.Fatal(err)
		}
		o.Stop, o.Rounds = nil, stopped.Rounds
		again, err := Solve(p, o)
		if err != nil {
			t.Fatal(err)
		}
		if stopped.Rounds == 1 {
			replayed++
		}
		if again.Dist != stopped.Dist || again.Children != stopped.Children || !slices.EqualFunc(again.Routes, stopped.Routes, slices.Equal) {
			t.Errorf("stopped after %d looks: %d in %d children, again %d in %d", after, stopped.Dist, stopped.Children, again.Dist, again.Children)
		}
	}
	if replayed < 2 {
		t.Errorf("only %d of the runs were stopped within their second round", replayed)
	}
}

// TestNewBeginningKeepsTheBest: a strand that begins anew loses no routes, and finds
// better ones from there.
func TestNewBeginningKeepsTheBest(t *testing.T) {
	p := scattered(21, 50, 30, false)
	s := newStrand(p, newMaps(p), 4, 0, never)
	s.begin()
	s.round(30)
	best := s.pop.best
	routes, dist := lines(best.routes), best.dist
	s.afresh()
	if s.pop.best.dist > dist {
		t.Errorf("%d before, %d after", dist, s.pop.best.dist)
	}
	s.round(300)
	if s.pop.best.dist > dist || best == s.pop.best && !slices.EqualFunc(routes, best.routes, slices.Equal) {
		t.Errorf("the best of before was written over")
	}
	if d, cost := byHand(p, s.pop.best.routes, 1, 1); d != s.pop.best.dist || cost != d {
		t.Errorf("best %d, by hand %d, %d with broken rules", s.pop.best.dist, d, cost)
	}
}

func lines(list [][]int32) [][]int32 {
	out := make([][]int32, len(list))
	for i := range list {
		out[i] = slices.Clone(list[i])
	}
	return out
}
