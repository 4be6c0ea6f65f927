package kernel

import (
	"slices"
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
