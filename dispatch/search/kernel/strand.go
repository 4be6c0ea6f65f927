package kernel

// strand is one search of several: it has its own random stream and population
// and hears of the others' best between rounds.
type strand struct {
	p     *Problem
	dice  *dice
	climb *climber
	ruin  *ruiner
	cross *crosser
	pop   population
	stop  func() bool
	born  int
	calm  int // children since the best improved

	patience int // children without a better best until the strand begins anew
}

const (
	deep     = .15 // part of climbs that also swap without place
	repair   = .50 // part of members with a broken rule that are climbed again at ten times the price
	adaptAll = 50  // children between two looks at the prices
)

func newStrand(p *Problem, maps *maps, seed uint64, number int, stop func() bool) *strand {
	d := newDice(seed*1_000_003 + uint64(number))
	n := p.Places()
	return &strand{p: p, dice: d, stop: stop, patience: max(n*n/5, 1000), pop: newPopulation(p), climb: newClimber(p, maps.near, d, stop),
		ruin: newRuiner(p, maps.by, d), cross: newCrosser(p, d)}
}

// round brings a number of children up: two parents are drawn and crossed, the
// child is improved and taken in, prices follow how many children keep the rules,
// and a strand that finds nothing better for long begins anew (Vidal et al. 2012,
// algorithm 1).
func (s *strand) round(children int) {
	for range children {
		if s.stop() {
			return
		}
		a, b := s.pop.parents(s.dice)
		s.raise(s.cross.cross(a, b, s.pop.late, s.pop.over))
		s.born++
		s.calm++
		if s.born%adaptAll == 0 {
			s.pop.adapt()
		}
		if s.calm > s.patience {
			s.afresh()
		}
	}
}

// raise improves routes and takes them in; where they break a rule, a part of them
// is repaired and taken in too. whole says which routes come whole from a parent.
func (s *strand) raise(routes [][]int32, whole []int8) {
	c := s.climb
	c.late, c.over = s.pop.late, s.pop.over
	c.take(routes)
	c.settle(whole)
	c.climb(s.dice.unit() < deep)
	m := c.member(s.pop.blank())
	s.pop.note(m)
	s.take(m)
	if m.good() || s.dice.unit() >= repair {
		return
	}
	c.late, c.over = c.late*10, c.over*10
	c.take(m.routes) // also where the population has already let go of m: nobody has had it since
	c.climb(s.dice.unit() < deep)
	if m := c.member(s.pop.blank()); m.good() {
		s.take(m)
	} else {
		s.pop.forget(m)
	}
}

func (s *strand) take(m *member) {
	if s.pop.add(m) {
		s.calm = 0
	}
}
