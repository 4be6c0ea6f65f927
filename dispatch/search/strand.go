package search

import (
	"context"
	"math"
	"math/rand/v2"

	"ebbline/dispatch/week"
)

// strand is one logical search with its own random stream.
type strand struct {
	rng    *rand.Rand
	cur    *state // where it stands
	old    *state // before the present iteration
	best   *state
	far    touched // where cur differs from best
	in     *inserter
	ruin   *ruiner
	order  []int32
	key    []int64
	iters  int64
	unit   int64 // what a job costs on average in the best plan, money units
	afresh int64 // the iteration from which on candidates are looked for anew
}

func newStrand(st *state, seed uint64, number int) *strand {
	rng := rand.New(rand.NewPCG(seed, 0x9e3779b97f4a7c15*uint64(number+1)))
	width, exact := 16, 8
	if len(st.m.jobs) <= fewJobs {
		width, exact = 64, 64
	} else if len(st.m.tours) > 120 { // more tours cost more to look at
		width, exact = 8, 4
	}
	in := newInserter(rng, width, exact)
	if len(st.m.jobs) <= fewJobs {
		in.perDay, in.every = 12, true
	}
	return &strand{rng: rng, cur: st, in: in, ruin: newRuiner(st.m, rng), far: newTouched(st.m)}
}

// fewJobs is up to how many jobs every spot of each is looked at.
const fewJobs = 12

// round runs a fixed number of iterations of ruin and recreate: take some jobs out,
// put them back elsewhere, keep the result if it is not much dearer. The threshold
// falls with the fraction of all rounds that is done. It reports false if ctx ended.
func (s *strand) round(ctx context.Context, iters int, from, to float64) bool {
	s.level()
	for i := range iters {
		if ctx.Err() != nil {
			return false
		}
		frac := from + (to-from)*float64(i)/float64(iters)
		s.step(s.threshold(frac))
	}
	return true
}

// heat is the share of a job's mean cost by which the threshold begins and ends a
// cooling. In a week most of that cost can't be avoided (waiting, the visits' own
// time), so a small share is much; where only distance costs, all of it counts.
func (m *model) heat() (hot, cold float64) {
	if m.unpaid {
		return 1, 0.01
	}
	return 0.4, 0.004
}

// threshold is how much dearer than before an arrangement may be and still be kept.
func (s *strand) threshold(frac float64) int64 {
	hot, cold := s.cur.m.heat()
	t := float64(s.scale()) * hot * math.Pow(cold/hot, frac)
	return int64(-t * math.Log(1-s.rng.Float64()*0.999))
}

// scale is what a job costs on average, in money units.
func (s *strand) scale() int64 { return s.unit }

// level begins a round: all times are found from nothing, and what is before and
// best is copied whole. Within the round only what changes is copied.
func (s *strand) level() {
	if s.best == nil {
		s.old, s.best = s.cur.clone(), s.cur.clone()
	}
	if s.iters >= s.afresh { // look for candidate tours anew
		s.in.stamp++
		s.afresh = s.iters + int64(max(400, 8*len(s.cur.m.jobs)))
	}
	s.unit = max(1, s.best.heads().Total*week.MoneyUnit/int64(max(1, len(s.cur.m.jobs))))
	s.cur.rebuild()
	s.cur.changed.clear()
	s.old.copyFrom(s.cur)
	s.far.clear()
	if s.cur.total < s.best.total {
		s.best.copyFrom(s.cur)
		return
	}
	for t := range s.cur.m.tours {
		s.far.tour(int32(t))
	}
	for j := range s.cur.m.jobs {
		s.far.job(int32(j))
	}
}

func (s *strand) step(threshold int64) {
	s.iters++
	limit := s.old.total + threshold
	good := s.ruinAndRecreate(limit)
	if good {
		s.cur.slide()
	}
	if !good || s.cur.total >= limit || !s.cur.pumpsKept() {
		s.cur.take(s.old, &s.cur.changed)
		s.cur.changed.clear()
		return
	}
	s.old.take(s.cur, &s.cur.changed)
	s.far.add(&s.cur.changed)
	s.cur.changed.clear()
	if s.cur.total < s.best.total {
		s.best.take(s.cur, &s.far)
		s.far.clear()
	}
}

// ruinAndRecreate takes some jobs out and puts them back elsewhere. It reports false if
// the result is not going to be below the limit as far as the jobs' own costs tell.
func (s *strand) ruinAndRecreate(limit int64) bool {
	most := max(min(5, len(s.cur.m.jobs)), min(10, len(s.cur.m.jobs)/4))
	if s.rng.IntN(12) == 0 { // now and then a large piece
		most = max(most, min(24, len(s.cur.m.jobs)/2))
	}
	out := s.ruin.pick(s.cur, s.in, most)
	for _, j := range out {
		s.cur.remove(j)
	}
	return s.cur.lower() && s.recreate(out, limit)
}
