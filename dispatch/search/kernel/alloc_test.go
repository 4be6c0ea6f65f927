package kernel

import "testing"

// TestHotLoopAllocatesNothing: once warm, a climb, a round of ruin and recreate and
// a whole child, from its parents to its place in the population, ask for no memory.
func TestHotLoopAllocatesNothing(t *testing.T) {
	p := scattered(5, 60, 30, false)
	s := newStrand(p, newMaps(p), 1, 0, never)
	s.begin()
	s.round(400)
	begins := make([][][]int32, 8)
	for i := range begins {
		begins[i] = s.random()
	}
	i := 0
	for _, hot := range []struct {
		name string
		do   func()
	}{
		{"a deep climb from random routes", func() {
			s.climb.take(begins[i%len(begins)])
			s.climb.climb(true)
			i++
		}},
		{"a round of ruin and recreate", func() {
			before := s.ruin.cost
			s.ruin.ruin()
			if s.ruin.recreate() && i%2 == 0 {
				s.ruin.keep()
			} else {
				s.ruin.undo(before)
			}
			i++
		}},
		{"a child", func() { s.round(1) }},
	} {
		for range 50 {
			hot.do()
		}
		if n := testing.AllocsPerRun(200, hot.do); n > 0 {
			t.Errorf("%s allocates %v times", hot.name, n)
		}
	}
}
