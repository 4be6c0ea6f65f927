package kernel

import (
	"fmt"
	"slices"
	"sync"
)

// Options say how a problem is searched.
type Options struct {
	Seed    uint64
	Strands int         // searches side by side, at least 1
	Rounds  int         // 0: until Stop says so
	Cores   int         // strands that run at once; the result does not depend on it
	Stop    func() bool // true once it is time to end; asked often, by strands at once; nil: never
	Fewest  bool        // as few routes as can be, then the least distance
	Whole   bool        // a round that Stop cuts short counts for nothing: the answer can be had again by its Rounds
	// Report is told of the rounds done, the children so far and the least distance, once
	// there are routes that keep every rule; nil: nobody is.
	Report func(rounds, children int, dist int64)
}

// Answer is what was found.
type Answer struct {
	Routes   [][]int32 // nil: none that keeps every rule
	Dist     int64
	Children int
	Rounds   int
}

const perRound = 20 // children of a strand between two looks at the others

// Solve searches until the rounds are over or Stop says so. Strands run rounds of
// fixed work and hear of each other's best in their order at the end of a round, so
// that the answer does not depend on how many cores there are. An error says what
// is wrong with the problem, or why no routes can keep its rules.
func Solve(p *Problem, o Options) (Answer, error) {
	if err := p.Check(); err != nil {
		return Answer{}, err
	}
	if p.Places() == 1 {
		return Answer{Routes: [][]int32{}}, nil
	}
	if o.Stop == nil {
		if o.Rounds < 1 {
			return Answer{}, fmt.Errorf("rounds is %d and nothing stops the search: at least 1 asked", o.Rounds)
		}
		o.Stop = func() bool { return false }
	}
	maps := newMaps(p)
	if o.Fewest {
		p = fewer(p, maps, o)
	}
	strands := make([]*strand, max(o.Strands, 1))
	for i := range strands {
		strands[i] = newStrand(p, maps, o.Seed, i, o.Stop)
	}
	each(strands, o.Cores, func(s *strand) { s.begin() })
	tell(strands)
	answer := best(strands, 0)
	for !o.Stop() && (o.Rounds < 1 || answer.Rounds < o.Rounds) {
		if o.Whole {
			answer.Routes = copied(answer.Routes) // the strands may write over theirs
		}
		each(strands, o.Cores, func(s *strand) { s.round(perRound) })
		if o.Whole && o.Stop() {
			break
		}
		tell(strands)
		answer = best(strands, answer.Rounds+1)
		if o.Report != nil && answer.Routes != nil {
			o.Report(answer.Rounds, answer.Children, answer.Dist)
		}
	}
	return answer, nil
}

func copied(routes [][]int32) [][]int32 {
	list := slices.Clone(routes)
	for i := range list {
		list[i] = slices.Clone(list[i])
	}
	return list
}

// best is the best of all strands.
func best(strands []*strand, rounds int) Answer {
	answer := Answer{Rounds: rounds}
	for _, s := range strands {
		answer.Children += s.born
		if b := s.pop.best; b != nil && (answer.Routes == nil || b.dist < answer.Dist) {
			answer.Routes, answer.Dist = b.routes, b.dist
		}
	}
	return answer
}

// tell gives the best member of each strand to the next one, where it is better
// than the best there.
func tell(strands []*strand) {
	bests := make([]*member, len(strands))
	for i, s := range strands {
		bests[i] = s.pop.best
	}
	for i, s := range strands {
		from := bests[(i+len(strands)-1)%len(strands)]
		if from != nil && (s.pop.best == nil || from.dist < s.pop.best.dist) {
			s.take(s.pop.blank().copy(from))
		}
	}
}

// each does something with every item, at most cores of them at once.
func each[T any](items []T, cores int, do func(T)) {
	gate := make(chan struct{}, max(cores, 1))
	var all sync.WaitGroup
	for _, item := range items {
		gate <- struct{}{}
		all.Go(func() {
			do(item)
			<-gate
		})
	}
	all.Wait()
}
