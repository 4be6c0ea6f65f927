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
	calm  int // children since the best improved
	born  int
	opts  tuning
	fleet [][]int32 // fewest routes found
}

// tuning are the search's own figures.
type tuning struct {
	width    int // neighbours of a stop
	ruins    int // rounds of ruin and recreate, per stop, at the start
	deep     float64
	repair   float64
	patience int
}

var usual = tuning{width: 40, ruins: 100, deep: .15, repair: .5, patience: 10_000}

func newStrand(p *Problem, near [][]int32, seed uint64, number int, opts tuning) *strand {
	d := newDice(seed*1_000_003 + uint64(number))
	s := &strand{p: p, dice: d, climb: newClimber(p, near, d), ruin: newRuiner(p, d), cross: newCrosser(p, d), opts: opts}
	s.pop.late, s.pop.over = 6, s.firstOver()
	return s
}

// firstOver prices a unit of load at about a trip of its own.
func (s *strand) firstOver() int64 {
	far, big := int32(1), int32(1)
	for i := range s.p.Places() {
		far, big = max(far, s.p.Dist[i]), max(big, s.p.Demand[i])
	}
	return max(min(int64(far/big), 1000), 1)
}

// round brings the given number of children up.
func (s *strand) round(children int) {
	for range children {
		s.child()
	}
}

// child joins two members, improves what comes of it and takes it in.
func (s *strand) child() {
	order(s.pop.halves[0])
	order(s.pop.halves[1])
	a, b := s.pop.pick(s.dice), s.pop.pick(s.dice)
	for try := 0; a == b && try < 10; try++ {
		b = s.pop.pick(s.dice)
	}
	s.cross.lateFee = s.pop.late
	s.raise(s.cross.cross(a, b))
	s.born++
	if s.born%50 == 0 {
		s.pop.adapt()
	}
	if s.calm++; s.calm > s.opts.patience {
		s.afresh()
	}
}

// raise improves routes and takes them in, repaired too where they break a rule.
func (s *strand) raise(routes [][]int32, whole []int8) {
	c := s.climb
	c.late, c.over = s.pop.late, s.pop.over
	c.take(routes)
	c.settle(whole)
	c.climb(s.dice.unit() < s.opts.deep)
	m := c.member()
	s.pop.note(m)
	s.take(m)
	if m.good() || s.dice.unit() >= s.opts.repair {
		return
	}
	c.late, c.over = c.late*10, c.over*10
	c.take(m.routes)
	c.climb(s.dice.unit() < s.opts.deep)
	if m := c.member(); m.good() {
		s.take(m)
	}
}

func (s *strand) take(m *member) {
	if s.pop.add(m) {
		s.calm = 0
	}
}

// start fills the population: random routes, improved, and what ruin and
// recreate finds.
func (s *strand) start() {
	ready := s.p.first != nil
	if ready {
		s.ruin.take(s.p.first)
		s.raise(s.p.first, nil)
	} else {
		ready = s.ruin.begin()
	}
	if ready && s.opts.ruins > 0 {
		routes, _ := s.ruin.improve(s.opts.ruins*s.p.Places(), 100, 1, nil)
		s.raise(routes, nil)
	}
	s.fill()
}

func (s *strand) fill() {
	for range smallest {
		s.raise(s.random(), nil)
	}
}

// afresh begins anew with the best kept.
func (s *strand) afresh() {
	best := s.pop.best
	s.pop.halves, s.calm = [2][]*member{}, 0
	s.fill()
	s.pop.best = best
}

// random deals the stops out in any order.
func (s *strand) random() [][]int32 {
	stops := make([]int32, 0, s.p.Places())
	load := int64(0)
	for i := 1; i < s.p.Places(); i++ {
		stops = append(stops, int32(i))
		load += int64(s.p.Demand[i])
	}
	s.dice.shuffle(stops)
	count := s.p.Vehicles
	each := max((len(stops)+count-1)/count, 1)
	var list [][]int32
	for len(stops) > 0 {
		n := min(each, len(stops))
		list = append(list, stops[:n:n])
		stops = stops[n:]
	}
	return list
}
