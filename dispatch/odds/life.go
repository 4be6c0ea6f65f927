package odds

// life is one run: the random numbers of it and what has happened so far. It is used
// again for the next run without anything allocated.
type life struct {
	m   *model
	s   *stream
	run uint64
	// Standard normal numbers that all of a day shares.
	dayWork, dayWay, dayWater []float64
	order                     []int32
	visits                    []lived
	tours                     []livedTour
	pools                     []livedPool
	groups                    []livedGroup
	failed, calls             int64
}

type state uint8

const (
	toCome state = iota
	waits        // at the place, for the other crew
	done
	failed
)

type lived struct {
	state              state
	swapped, called    bool
	arrive, start, end int64
	looked             int64 // when it was first seen whether the pool is low; 0: never
}

type livedTour struct {
	next   int32 // slot
	place  int32
	free   int64
	back   int64
	drove  bool
	lunchd bool
}

type livedPool struct {
	low, covered int64 // instants; unknown: not yet
	lows         int32 // visits to come that need it low
	fill         int64
}

type livedGroup struct {
	missing int32
	latest  int64 // arrival or what is waited for
	failed  bool
}

// unknown is an instant that nobody knows yet.
const unknown = never + 1

func newLife(m *model) *life {
	n := len(m.days)
	l := &life{m: m, s: newStream(), dayWork: make([]float64, n), dayWay: make([]float64, n), dayWater: make([]float64, n),
		order: make([]int32, len(m.order)), visits: make([]lived, len(m.visits)), tours: make([]livedTour, len(m.tours)),
		pools: make([]livedPool, len(m.pools)), groups: make([]livedGroup, len(m.groups))}
	return l
}

// begin forgets the last run and sets what is a fact in this one.
func (l *life) begin(run uint64) {
	m := l.m
	l.run, l.failed, l.calls = run, 0, 0
	for d := range m.days {
		l.dayWork[d], l.dayWay[d], l.dayWater[d] = l.s.normal(run, m.days[d].work), l.s.normal(run, m.days[d].way), l.s.normal(run, m.days[d].pool)
	}
	copy(l.order, m.order)
	clear(l.groups)
	for i := range m.visits {
		v := &m.visits[i]
		l.visits[i] = lived{}
		if v.group >= 0 {
			l.groups[v.group].missing++
		}
		if v.begun {
			l.visits[i] = lived{state: done, arrive: v.start, start: v.start, end: v.end}
			if v.underWay && v.work.known() { // what is left of it is as uncertain as all of it
				left := float64(v.end - m.w.T0)
				l.visits[i].end = m.w.T0 + int64(left*v.work.factor(l.s, run, l.dayWork[m.tours[v.tour].day]))
			}
		}
	}
	for i := range m.tours {
		t := &m.tours[i]
		l.tours[i] = livedTour{place: t.from, free: t.freeAt}
		if t.underWay >= 0 {
			late := l.visits[t.underWay].end - m.visits[t.underWay].end
			l.tours[i].free = max(m.w.T0, t.freeAt+late)
		}
	}
	l.beginPools()
}

func (l *life) beginPools() {
	m := l.m
	for i := range m.pools {
		p := &m.pools[i]
		x := &l.pools[i]
		*x = livedPool{low: unknown, covered: unknown, lows: p.lows, fill: -never}
		switch {
		case p.window != nil:
			x.low = p.window.From
		case p.drainedAt != nil && len(p.late) == 0:
			x.low = *p.drainedAt
		case p.drainedAt != nil:
			x.low = m.isLow(p, *p.drainedAt, l)
		case p.customer != nil:
			at := p.customer.Earliest + l.s.within(l.run, p.startKey, p.customer.Latest-p.customer.Earliest)
			x.low = m.isLow(p, at, l)
		}
		if p.fillFrom != nil {
			x.covered = m.isCovered(p, *p.fillFrom, l)
		}
	}
	for i := range m.visits {
		if m.visits[i].begun {
			l.ended(int32(i))
		}
	}
}

// ended passes on what follows for a pool from the end of a visit, done or failed.
func (l *life) ended(i int32) {
	v, m := &l.m.visits[i], l.m
	if v.pool < 0 {
		return
	}
	x, p := &l.pools[v.pool], &m.pools[v.pool]
	ok := l.visits[i].state == done
	if v.begins {
		if x.low = never; ok {
			x.low = m.isLow(p, l.visits[i].end, l)
		}
	}
	if !v.lows || p.fillFrom != nil {
		return
	}
	if x.lows--; !ok {
		x.covered = never
	} else if x.fill = max(x.fill, l.visits[i].end); x.lows == 0 && x.covered == unknown && !p.owed {
		x.covered = m.isCovered(p, x.fill, l)
	}
}
