package kernel

import "sync"

// Options say how a problem is searched.
type Options struct {
	Seed    uint64
	Strands int         // searches side by side, at least 1
	Rounds  int         // 0: until Stop says so
	Cores   int         // strands that run at once; the result does not depend on it
	Stop    func() bool // asked between rounds; nil: never
	Fewest  bool        // as few routes as can be, then the least distance
}

// Answer is what was found.
type Answer struct {
	Routes   [][]int32 // nil: none that keeps every rule
	Dist     int64
	Children int
	Rounds   int
}

const perRound = 20 // children of a strand between two looks at the others

// Solve searches. Strands run rounds of fixed work and hear of each other's best
// in their order at the end of a round, so that the answer does not depend on
// how many cores there are.
func Solve(p *Problem, o Options) (Answer, error) {
	if err := p.Check(); err != nil {
		return Answer{}, err
	}
	stopped := func() bool { return o.Stop != nil && o.Stop() }
	if o.Fewest {
		p = fewer(p, o, stopped)
	}
	near := nearest(p, usual.width)
	strands := make([]*strand, max(o.Strands, 1))
	for i := range strands {
		strands[i] = newStrand(p, near, o.Seed, i, usual)
	}
	each(strands, o.Cores, func(s *strand) { s.start() })
	var answer Answer
	for {
		tell(strands)
		if stopped() || o.Rounds > 0 && answer.Rounds >= o.Rounds {
			break
		}
		each(strands, o.Cores, func(s *strand) { s.round(perRound) })
		answer.Rounds++
	}
	for _, s := range strands {
		answer.Children += s.born
		if b := s.pop.best; b != nil && (answer.Routes == nil || b.dist < answer.Dist) {
			answer.Routes, answer.Dist = b.routes, b.dist
		}
	}
	return answer, nil
}

// fewer is the problem with as many vehicles as the strands' searches for fewer
// routes leave.
func fewer(p *Problem, o Options, stopped func() bool) *Problem {
	least := make([]int, max(o.Strands, 1))
	work := make([]*strand, len(least))
	for i := range work {
		work[i] = &strand{ruin: newRuiner(p, newDice(o.Seed*1_000_003+uint64(i)+500))}
	}
	each(work, o.Cores, func(s *strand) {
		if s.ruin.begin() {
			s.fleet = s.ruin.fewest(fleetRounds, stopped)
		}
	})
	q := *p
	for _, s := range work {
		if s.fleet != nil && len(s.fleet) < q.Vehicles {
			q.Vehicles = len(s.fleet)
			q.first = s.fleet
		}
	}
	return &q
}

const fleetRounds = 100_000

// tell gives the best member to the strand behind its own.
func tell(strands []*strand) {
	if len(strands) < 2 {
		return
	}
	bests := make([]*member, len(strands))
	for i, s := range strands {
		bests[i] = s.pop.best
	}
	for i, s := range strands {
		from := bests[(i+len(strands)-1)%len(strands)]
		if from == nil || s.pop.best != nil && s.pop.best.dist <= from.dist {
			continue
		}
		copied := *from
		copied.close = nil
		s.take(&copied)
	}
}

func each(strands []*strand, cores int, do func(*strand)) {
	if cores <= 1 || len(strands) == 1 {
		for _, s := range strands {
			do(s)
		}
		return
	}
	gate := make(chan struct{}, cores)
	var all sync.WaitGroup
	for _, s := range strands {
		gate <- struct{}{}
		all.Go(func() {
			do(s)
			<-gate
		})
	}
	all.Wait()
}
