package search

// state is one arrangement of the week with its least times and its cost.
type state struct {
	m *model

	// what is decided
	stops  [][]int32 // by tour, begun prefix included
	lunch  []lunchAt // by tour
	in     []bool    // by job: placed
	tourOf []int32   // by visit: the tour, -1 none
	placed []bool    // by visit (told intervals too)
	owed   []bool    // by visit
	moved  []bool    // by job: a sent interval or promise is given up
	off    []uint8   // by job: rules it is let off

	// least solution
	ls, le []int64 // by visit: start and end may not lie before
	s, e   []int64 // by visit: least start and end
	dep    []int64 // by tour: least departure
	ret    []int64 // by tour: least return

	hold []int64 // by visit: a start that was chosen to be no earlier; see [state.slide]
	// slid right; what the plan shows and what is paid for
	ss, se   []int64 // by visit
	leave    []int64 // by tour: departure
	back     []int64 // by tour: return
	tourCost []int64
	jobCost  []int64
	total    int64

	// lateness past promised windows, in seconds; kept only where the largest is paid for
	tardy []int64 // by job: its largest
	worst int64   // the plan's
	peak  int64   // the largest that rose since the worst was found
	fell  bool    // the worst fell since then

	room []int64 // by tour: litres that its stops take

	// pumps
	load  []int32 // by tour
	loads []int32 // by home and day: sum of the morning loads
	fresh []int32 // the same, of tours that have not begun
	short []bool  // by tour: its pumps or berths do not do
	out   []int32 // by home and day: on sites at the day's start

	trail     []undo
	queue     []int32
	queued    []bool
	dirty     []int32 // tours to settle
	isDirty   []bool
	jdirty    []int32 // jobs to price again
	isJDirty  []bool
	budget    int
	count     int // placed visits
	undecided int64
	relunch   []int32 // tours whose lunch is to be chosen anew by the next rebuild
	lunchless []int32 // tours timed as if no lunch were due until it is chosen; see [state.lunchAnew]
	changed   touched // tours and jobs that differ since the last time somebody asked
	absent    []int32 // jobs that are not placed, in no order
	absentAt  []int32 // by job
	cuts      []cut   // where stops were taken out since the last rebuild
	// scratch of lower
	fallen, reopened     []int32
	isFallen, isReopened []bool
	// scratch of slide
	sliding []int32
	lax     []int64 // by visit: the latest start that its tour alone allows
	low     []int64 // scratch of settle, by visit: least start in the walk from the late departure
}

// lunchAt says where a tour's lunch lies.
type lunchAt struct {
	kind int8
	pos  int16 // number of the stop in the tour's list
}

const (
	lunchNone   = iota
	lunchBefore // before the drive to stop pos, or to the end place
	lunchAfter  // after the drive to stop pos
	lunchInside // inside stop pos
	lunchTaken  // a fact
)

// undo restores one value.
type undo struct {
	what uint8
	at   int32
	old  int64
}

const (
	undoLS = iota
	undoLE
	undoS
	undoE
	undoDep
	undoRet
	undoSS
	undoSE
	undoLeave
	undoBack
	undoTour
	undoJob
	undoLunch
	undoHold
	undoTardy
	undoWorst
)

func newState(m *model) *state {
	nv, nt, nj := len(m.visits), len(m.tours), len(m.jobs)
	st := &state{m: m,
		stops: make([][]int32, nt), lunch: make([]lunchAt, nt), in: make([]bool, nj), tourOf: make([]int32, nv),
		placed: make([]bool, nv), owed: make([]bool, nv), moved: make([]bool, nj), off: make([]uint8, nj),
		ls: make([]int64, nv), le: make([]int64, nv), hold: make([]int64, nv), s: make([]int64, nv), e: make([]int64, nv),
		dep: make([]int64, nt), ret: make([]int64, nt), ss: make([]int64, nv), se: make([]int64, nv),
		leave: make([]int64, nt), back: make([]int64, nt), tourCost: make([]int64, nt), jobCost: make([]int64, nj), tardy: make([]int64, nj), room: make([]int64, nt),
		load: make([]int32, nt), short: make([]bool, nt), loads: make([]int32, len(m.homes)*m.days), fresh: make([]int32, len(m.homes)*m.days), out: make([]int32, len(m.homes)*m.days),
		queued: make([]bool, nt), isDirty: make([]bool, nt), isJDirty: make([]bool, nj), lax: make([]int64, nv), low: make([]int64, nv),
		changed: newTouched(m), absentAt: make([]int32, nj), isFallen: make([]bool, nv), isReopened: make([]bool, nj)}
	for j := range nj {
		st.absentAt[j] = int32(j)
		st.absent = append(st.absent, int32(j))
	}
	for i := range st.tourOf {
		st.tourOf[i], st.hold[i] = -1, always
	}
	for t := range m.tours {
		st.stops[t] = append(make([]int32, 0, 12), m.tours[t].prefix...)
		for _, v := range m.tours[t].prefix {
			st.tourOf[v] = int32(t)
			st.room[t] += m.visits[v].room
		}
		if b := m.tours[t].begun; b != nil {
			st.load[t] = int32(b.Load)
			if m.tours[t].home >= 0 {
				st.loads[int(m.tours[t].home)*m.days+int(m.tours[t].day)] += int32(b.Load)
			}
			if b.LunchStart != nil {
				st.lunch[t].kind = lunchTaken
			}
		}
	}
	for v := range m.visits {
		if m.visits[v].fixed {
			st.placed[v] = true
			st.s[v], st.e[v] = m.visits[v].begun0, m.visits[v].begun1
			st.ss[v], st.se[v] = st.s[v], st.e[v]
		}
	}
	for j := range m.jobs {
		if m.jobs[j].must && !m.movable(int32(j)) {
			st.setIn(int32(j), true)
		}
		st.pumpNights(int32(j), 1)
	}
	st.rebuild()
	return st
}

// copyFrom makes st equal to o, without allocating once it has grown.
func (st *state) copyFrom(o *state) {
	for t := range o.stops {
		st.stops[t] = append(st.stops[t][:0], o.stops[t]...)
	}
	copy(st.lunch, o.lunch)
	copy(st.in, o.in)
	copy(st.tourOf, o.tourOf)
	copy(st.placed, o.placed)
	copy(st.owed, o.owed)
	copy(st.moved, o.moved)
	copy(st.off, o.off)
	copy(st.ls, o.ls)
	copy(st.le, o.le)
	copy(st.hold, o.hold)
	copy(st.s, o.s)
	copy(st.e, o.e)
	copy(st.dep, o.dep)
	copy(st.ret, o.ret)
	copy(st.ss, o.ss)
	copy(st.se, o.se)
	copy(st.leave, o.leave)
	copy(st.back, o.back)
	copy(st.tourCost, o.tourCost)
	copy(st.jobCost, o.jobCost)
	copy(st.tardy, o.tardy)
	copy(st.room, o.room)
	copy(st.load, o.load)
	copy(st.short, o.short)
	copy(st.loads, o.loads)
	copy(st.fresh, o.fresh)
	copy(st.out, o.out)
	st.total, st.count, st.worst = o.total, o.count, o.worst
	st.trail, st.relunch, st.cuts = st.trail[:0], st.relunch[:0], st.cuts[:0]
	st.absent = append(st.absent[:0], o.absent...)
	copy(st.absentAt, o.absentAt)
}

func (st *state) clone() *state {
	c := newState(st.m)
	c.copyFrom(st)
	return c
}

// set changes one logged value.
func (st *state) set(what uint8, i int32, x int64) {
	p := st.slot(what, i)
	st.trail = append(st.trail, undo{what, i, *p})
	*p = x
}

func (st *state) slot(what uint8, i int32) *int64 {
	switch what {
	case undoLS:
		return &st.ls[i]
	case undoLE:
		return &st.le[i]
	case undoS:
		return &st.s[i]
	case undoE:
		return &st.e[i]
	case undoDep:
		return &st.dep[i]
	case undoRet:
		return &st.ret[i]
	case undoSS:
		return &st.ss[i]
	case undoSE:
		return &st.se[i]
	case undoLeave:
		return &st.leave[i]
	case undoBack:
		return &st.back[i]
	case undoTour:
		return &st.tourCost[i]
	case undoHold:
		return &st.hold[i]
	case undoTardy:
		return &st.tardy[i]
	case undoWorst:
		return &st.worst
	default:
		return &st.jobCost[i]
	}
}

func (st *state) setLunch(t int32, l lunchAt) {
	o := st.lunch[t]
	if o == l {
		return
	}
	st.trail = append(st.trail, undo{undoLunch, t, int64(o.kind)<<16 | int64(o.pos)})
	st.lunch[t] = l
}

// rollback undoes what was logged since the trail was mark long.
func (st *state) rollback(mark int) {
	for i := len(st.trail) - 1; i >= mark; i-- {
		u := st.trail[i]
		switch u.what {
		case undoLunch:
			st.lunch[u.at] = lunchAt{int8(u.old >> 16), int16(u.old & 0xffff)}
		case undoTour:
			st.total += u.old - st.tourCost[u.at]
			st.tourCost[u.at] = u.old
		case undoJob:
			st.total += u.old - st.jobCost[u.at]
			st.jobCost[u.at] = u.old
		case undoWorst:
			st.total += (u.old - st.worst) * st.m.worstRate
			st.worst = u.old
		default:
			*st.slot(u.what, u.at) = u.old
		}
	}
	st.trail = st.trail[:mark]
}
