package search

import (
	"sort"

	"ebbline/dispatch/week"
)

// recreate puts the jobs back in, in an order drawn anew each time, and tries some of
// those that were left out as well.
func (s *strand) recreate(out []int32, limit int64) bool {
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
	if s.rng.IntN(5) == 0 {
		limit = never
	}
	hope := int64(0) // what those that are still out can save at the most
	for _, j := range s.order {
		hope += s.hope(j)
	}
	good := true
	for _, j := range s.order {
		if st.total-hope >= limit {
			good = false
			break
		}
		s.in.insert(st, j)
		hope -= s.hope(j)
	}
	s.in.generous, s.in.noise = false, 0
	return good
}

// hope is what placing a job can save at the most, but for what crews told anew cost; of those that were left out before
// nothing is hoped.
func (s *strand) hope(j int32) int64 {
	if j != s.ruin.wanted && !s.ruin.is[j] {
		return 0
	}
	return s.cur.m.jobs[j].hope
}

// leftOutMost is how many jobs that are left out an iteration tries as well.
const leftOutMost = 2

// addLeftOut adds some jobs that are not in the plan, from a random one on.
func (s *strand) addLeftOut() {
	st := s.cur
	n, all := 0, len(st.absent)
	if all == 0 {
		return
	}
	start := s.rng.IntN(all)
	for i := 0; i < all && n < leftOutMost; i++ {
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

// compileHopes finds what placing each job can save at the most: what it costs while it is
// out, less the least pay for its work.
func (m *model) compileHopes() {
	promised, pay := m.w.Rates.PromiseCents*week.MoneyUnit, never
	for t := range m.tours {
		pay = min(pay, m.tours[t].pay, m.tours[t].over)
	}
	for j := range m.jobs {
		jb := &m.jobs[j]
		jb.hope = m.leftOutPrice(int32(j))
		work := int64(1)
		for v := jb.first; v < jb.first+jb.n; v++ {
			work += m.visits[v].secs
		}
		jb.worth = jb.hope / work
		if jb.must {
			jb.hope += missing
		}
		if jb.hasSent {
			jb.hope += promised
		}
		for v := jb.first; v < jb.first+jb.n; v++ {
			x := &m.visits[v]
			jb.hope += promised * int64(len(x.promises))
			if !x.fixed && !x.mayOwe && pay < never {
				jb.hope -= pay * x.secs
			}
		}
		jb.hope = max(0, jb.hope)
	}
}
