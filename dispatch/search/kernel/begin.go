package kernel

// The ruins at the start: rounds for each client, and the heat, in units of
// distance, that they cool down from and to.
const (
	firstRuins = 100
	hot        = 100
	cold       = 1
)

// begin fills the population: what ruin and recreate finds, as it is and improved,
// then random routes, improved. Whatever the time, something is in it, and where
// routes that keep every rule were found these are.
func (s *strand) begin() {
	ready := true
	if s.p.first != nil {
		s.ruin.take(s.p.first)
		s.keep(s.p.first)
	} else {
		ready = s.ruin.begin()
	}
	if ready {
		routes := s.ruin.improve(firstRuins*s.p.Places(), hot, cold, s.stop)
		s.keep(routes)
		s.raise(routes, nil)
	}
	s.fill()
}

// keep takes routes in as they are.
func (s *strand) keep(routes [][]int32) {
	s.climb.take(routes)
	s.take(s.climb.member(s.pop.blank()))
}

// fill adds random routes.
func (s *strand) fill() {
	for i := 0; i < smallest && (i == 0 || !s.stop()); i++ {
		s.raise(s.random(), nil)
	}
}

// afresh begins anew and keeps only the best, outside of the population.
func (s *strand) afresh() {
	s.pop.clear()
	s.calm = 0
	s.fill()
}

// random deals the clients out in any order.
func (s *strand) random() [][]int32 {
	stops := make([]int32, 0, s.p.Places())
	for i := 1; i < s.p.Places(); i++ {
		stops = append(stops, int32(i))
	}
	s.dice.shuffle(stops)
	size := (len(stops) + s.p.Vehicles - 1) / s.p.Vehicles
	var list [][]int32
	for len(stops) > 0 {
		n := min(size, len(stops))
		list = append(list, stops[:n:n])
		stops = stops[n:]
	}
	return list
}
