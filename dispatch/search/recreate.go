package search

import "sort"

// recreate puts the jobs back in, in an order drawn anew each time, and tries some of
// those that were left out as well.
func (s *strand) recreate(out []int32) {
	st, m := s.cur, s.cur.m
	s.order = append(s.order[:0], out...)
	if s.ruin.wanted >= 0 {
		s.order = append(s.order, s.ruin.wanted)
	}
	s.addLeftOut()
	key := s.key[:0]
	how := s.rng.IntN(10)
	for _, j := range s.order {
		k := int64(0)
		switch {
		case how < 4:
			k = int64(s.rng.Uint64() >> 1)
		case how < 6:
			k = m.byHardness(j) + int64(s.rng.IntN(3_000_000))
		case how < 7:
			k = m.byValue(j)
		case how < 8:
			k = -m.jobs[j].far
		case how < 9:
			k = m.jobs[j].room
		default:
			k = int64(len(m.visits[m.jobs[j].conv].tours))
		}
		if j == s.ruin.wanted {
			k = -1 << 60
		}
		if m.jobs[j].must {
			k -= 1 << 61
		}
		key = append(key, k)
	}
	s.key = key
	sort.Stable(byKey{s.order, key})
	// two jobs may pay together that do not pay alone: now and then all go in
	s.in.generous, s.in.noise = s.rng.IntN(8) == 0, 0
	if s.rng.IntN(5) == 0 {
		s.in.noise = 1 + s.scale()/3
		if s.rng.IntN(3) == 0 {
			s.in.noise *= 8
		}
	}
	for _, j := range s.order {
		s.in.insert(st, j)
	}
	s.in.generous, s.in.noise = false, 0
}

// addLeftOut adds up to four jobs that are not in the plan, from a random one on.
func (s *strand) addLeftOut() {
	st := s.cur
	n, all := 0, len(st.absent)
	if all == 0 {
		return
	}
	start := s.rng.IntN(all)
	for i := 0; i < all && n < 4; i++ {
		j := st.absent[(start+i)%all]
		if st.in[j] || s.ruin.is[j] || j == s.ruin.wanted {
			continue
		}
		s.order = append(s.order, j)
		n++
	}
}

type byKey struct {
	j []int32
	k []int64
}

func (b byKey) Len() int           { return len(b.j) }
func (b byKey) Less(x, y int) bool { return b.k[x] < b.k[y] }
func (b byKey) Swap(x, y int) {
	b.j[x], b.j[y] = b.j[y], b.j[x]
	b.k[x], b.k[y] = b.k[y], b.k[x]
}
