package search

import "ebbline/dispatch/week"

// openGap is a place between two stops of a tour with the widest stretch of time that it
// can have: all other jobs as early before it and as late behind it as they can be at all.
type openGap struct {
	tour, pos int32
	p, q      int32 // places before and behind
	x         int64 // not sooner from p
	by        int64 // at q no later
}

// openGaps lists the gaps of a state in which nothing is held back, lunch is not asked for
// and no promise binds: no arrangement with these orders has wider ones.
func (st *state) openGaps() []openGap {
	g, ok := st.latestStarts()
	if !ok {
		return nil
	}
	var out []openGap
	for t := range st.m.tours {
		tr, stops := &st.m.tours[t], st.stops[t]
		if tr.returned {
			continue
		}
		for pos := len(tr.prefix); pos <= len(stops); pos++ {
			o := openGap{tour: int32(t), pos: int32(pos), p: tr.from, q: tr.end, x: tr.depart0, by: tr.o}
			if pos > len(tr.prefix) {
				u := stops[pos-1]
				o.p, o.x = st.m.visits[u].place, st.e[u]
			}
			if pos < len(stops) {
				u := stops[pos]
				o.q, o.by = st.m.visits[u].place, g.s[u]
			}
			out = append(out, o)
		}
	}
	return out
}

// choice is a gap that one visit of a job may have, with the starts that it allows.
type choice struct {
	tour, pos   int32
	early, late int64
	drop, take  int32 // what the morning load changes by if it drops or collects there
	alone       uint8 // whether the tour can really take the visit there
}

// What is known of a choice by itself.
const (
	aloneOpen = iota
	aloneYes
	aloneNo
)

// fitter looks for any spots at all for one job, with all other jobs' tours and orders
// kept: first it is tried whether the visits' times could go together if each visit had
// every gap to itself, which most often shows at once that they can't; then every
// combination of gaps that this leaves is tried exactly.
type fitter struct {
	st     *state   // what is tried first
	others []*state // the same plan with fewer things held, tried if that fails
	j      int32
	gaps   []openGap
	sets   [chainMax]starts   // by visit of the job: starts that some gap allows
	lists  [chainMax][]choice // by visit of the job
	owed   int32              // visits from this number on are owed
	// found are the spots, used the state into which they fit
	found   []spot
	used    *state
	movedAt bool
	// tries and steps that are left; gaveUp says that they did not do
	tries, steps int
	gaveUp       bool
}

// Tries and steps that looking for any spots may take: with more it is given up, and the
// job counts as not fitting.
const (
	fitTries = 2500
	fitSteps = 60_000
)

// any reports whether the job fits anywhere. quick is asked first once it is known that
// the times could go together; it finds spots that do for most jobs.
func (f *fitter) any(quick func() bool) bool {
	m, jb := f.st.m, &f.st.m.jobs[f.j]
	f.found, f.gaveUp, f.tries, f.steps = nil, false, fitTries, fitSteps
	for i := int32(0); i < jb.n; i++ {
		f.open(i)
	}
	asked, gives := false, jb.hasSent
	for v := jb.first; v < jb.first+jb.n; v++ {
		gives = gives || len(m.visits[v].promises) > 0
	}
	for _, moved := range []bool{false, true} {
		if moved && !gives {
			break
		}
		for owed := jb.n; owed >= 0; owed-- { // the last ones may be owed
			if owed < jb.n && !m.visits[jb.first+owed].owedFloor {
				break
			}
			f.owed = owed
			t := f.begin(moved)
			if !f.together(&t, moved) {
				continue
			}
			if !asked && quick() {
				return true
			}
			asked = true
			if f.grow(&t, 0, moved) {
				return true
			}
		}
	}
	return false
}

// open lists the gaps that visit i of the job may have.
func (f *fitter) open(i int32) {
	m, st := f.st.m, f.st
	v := m.jobs[f.j].first + i
	vs := &m.visits[v]
	list, set := f.lists[i][:0], starts(nil)
	may := make([]bool, len(m.tours))
	for _, t := range vs.tours {
		may[t] = true
	}
	empty := make([]bool, m.classes)
	for k := range f.gaps {
		g := &f.gaps[k]
		tr := &m.tours[g.tour]
		if !may[g.tour] || tr.room > 0 && st.room[g.tour]+vs.room > tr.room {
			continue
		}
		if first, last := st.mayTake(v, g.tour); g.pos < first || g.pos > last {
			continue
		}
		c := choice{tour: g.tour, pos: g.pos}
		c.early = vs.free.next(m.travel.arrive(g.p, vs.place, g.x))
		c.late = m.travel.leave(vs.place, g.q, g.by) - vs.secs
		if c.early > c.late || !f.pumps(vs, &c) {
			continue
		}
		list = append(list, c)
		if len(st.stops[g.tour]) == 0 { // equal empty tours allow equal starts
			if empty[tr.class] {
				continue
			}
			empty[tr.class] = true
		}
		set = append(set, span{c.early, c.late})
	}
	f.lists[i], f.sets[i] = list, meet(normal(set), vs.free)
}

// pumps finds what a drop or a collection does to the morning load; false if the truck
// can't do it.
func (f *fitter) pumps(vs *visit, c *choice) bool {
	if !vs.drop && !vs.collect {
		return true
	}
	m, st, tr := f.st.m, f.st, &f.st.m.tours[c.tour]
	nb := len(tr.prefix)
	on, before, behind := int32(0), int32(0), int32(1<<20)
	level := func(x int32, i int) {
		if i < nb {
			return
		}
		if i < int(c.pos) {
			before = min(before, x)
		} else {
			behind = min(behind, x)
		}
	}
	for i, u := range st.stops[c.tour] {
		if i == int(c.pos) {
			behind = min(behind, on)
		}
		us := &m.visits[u]
		if us.collect {
			on++
		}
		if us.arrival {
			level(on-1, i)
		}
		if us.drop {
			on--
		}
		level(on, i)
	}
	if int(c.pos) == len(st.stops[c.tour]) {
		behind = min(behind, on)
	}
	with := func(by int32) int32 { return -min(before, behind+by, 0) }
	c.drop, c.take = with(-1)-with(0), with(1)-with(0)
	if tr.begun != nil {
		if vs.drop && st.load[c.tour]+min(before, behind-1) < 0 {
			return false
		}
		c.drop, c.take = 0, 0
	}
	return true
}

// stock reports whether a home's pumps do for a drop and a collection.
func (f *fitter) stock(d, c *choice) bool {
	m, st := f.st.m, f.st
	a, b := &m.tours[d.tour], &m.tours[c.tour]
	if a.home != b.home {
		return false
	}
	if d.tour == c.tour {
		return true // it is tried
	}
	for day := a.day; day <= b.day; day++ {
		i := int(a.home)*m.days + int(day)
		more := int32(0)
		if day == a.day {
			more += d.drop
		}
		if day == b.day {
			more += c.take
		}
		fresh := st.fresh[i] + more
		if day > a.day {
			more++
		}
		if fresh > 0 && int(st.loads[i]+st.out[i]+more) > m.homes[a.home].pumps[day] {
			return false
		}
	}
	return true
}

// fitTimes are least times of the job's visits, the told interval behind them, with the
// gaps that are chosen so far. A visit that has none yet may have every gap to itself.
type fitTimes struct {
	s, ls, le [chainMax + 1]int64
	at        [chainMax]*choice
}

// node is the number of a visit of the job, or of its told interval, in fitTimes.
func (f *fitter) node(v int32) int32 {
	if jb := &f.st.m.jobs[f.j]; v != jb.told {
		return v - jb.first
	}
	return chainMax
}

// begin are the times before anything is raised.
func (f *fitter) begin(moved bool) (x fitTimes) {
	m, jb := f.st.m, &f.st.m.jobs[f.j]
	for i := range x.s {
		x.s[i], x.ls[i], x.le[i] = always, always, always
	}
	for i := int32(0); i < f.owed && !moved; i++ {
		for _, p := range m.visits[jb.first+i].promises {
			x.ls[i] = max(x.ls[i], m.w.Promises[p].From)
		}
	}
	for i := f.owed; i < jb.n; i++ { // what keeps an owed visit's latest start late enough
		for k := range m.visits[jb.first+i].out {
			a := &m.visits[jb.first+i].out[k]
			n := f.node(a.to)
			if a.fn != fnAdd || a.fromEnd || a.c > 0 || n >= f.owed {
				continue
			}
			if y := m.w.NextWorkday.End + a.c; a.toEnd {
				x.le[n] = max(x.le[n], y)
			} else {
				x.ls[n] = max(x.ls[n], y)
			}
		}
	}
	return x
}

// next is the least start of node i at x or later, and how long it lasts.
func (f *fitter) next(t *fitTimes, i int32, x int64, moved bool) (s, d int64) {
	m, jb := f.st.m, &f.st.m.jobs[f.j]
	if i == chainMax {
		switch v := &m.visits[jb.told]; {
		case !jb.hasSent || moved:
			return v.free.next(x), v.secs
		case x <= jb.toldKeep.lo:
			return jb.toldKeep.lo, jb.toldKeep.hi - jb.toldKeep.lo
		}
		return never, 0
	}
	v := &m.visits[jb.first+i]
	c := t.at[i]
	if c == nil {
		return f.sets[i].next(x), v.secs
	}
	for n := int32(0); n < i; n++ { // what the chain has before it on the same tour
		if o := t.at[n]; o != nil && o.tour == c.tour {
			x = max(x, t.s[n]+m.visits[jb.first+n].secs)
		}
	}
	if s = v.free.next(max(x, c.early)); s > c.late {
		return never, 0
	}
	return s, v.secs
}

// together raises the times until the job's own rules hold; false if they can't.
func (f *fitter) together(t *fitTimes, moved bool) bool {
	m, st, jb := f.st.m, f.st, &f.st.m.jobs[f.j]
	last := int32(-1) // the told interval counts if a visit that needs low water is made
	if jb.told >= 0 && jb.firstLow-jb.first < f.owed {
		last = chainMax
	}
	for range 40 * (chainMax + 1) {
		settled := true
		for i := int32(0); i <= chainMax; i++ {
			if i >= f.owed && i != last {
				continue
			}
			v := jb.first + i
			if i == chainMax {
				v = jb.told
			}
			secs := m.visits[v].secs
			s, d := f.next(t, i, max(t.ls[i], t.le[i]-secs), moved)
			if s >= never {
				return false
			}
			if s == t.s[i] {
				continue
			}
			t.s[i], settled = s, false
			for k := range m.visits[v].out {
				a := &m.visits[v].out[k]
				n := f.node(a.to)
				if n >= f.owed && n != last {
					continue
				}
				y := s
				if a.fromEnd {
					y += d
				}
				if y = st.value(a, f.j, y); y >= never {
					return false
				}
				if a.toEnd {
					t.le[n] = max(t.le[n], y)
				} else {
					t.ls[n] = max(t.ls[n], y)
				}
			}
		}
		if settled {
			return true
		}
	}
	return true // not settled: it is tried
}

// grow gives the job's visits from number i on gaps in every way until one fits.
func (f *fitter) grow(t *fitTimes, i int32, moved bool) bool {
	if i == f.owed {
		return f.try(t, moved)
	}
	for k := range f.lists[i] {
		g := &f.lists[i][k]
		if g.late < t.s[i] || !f.follows(t, i, g) {
			continue
		}
		if f.steps--; f.steps < 0 || f.tries < 0 {
			f.gaveUp = true
			return false
		}
		o := *t
		o.at[i] = g
		if f.together(&o, moved) && f.taken(&o, i) && f.grow(&o, i+1, moved) {
			return true
		}
		if f.gaveUp {
			return false
		}
	}
	return false
}

// taken reports whether there are times for what the chain has so far, lunches included.
func (f *fitter) taken(t *fitTimes, i int32) bool {
	jb, c := &f.st.m.jobs[f.j], t.at[i]
	var spots [chainMax]spot
	var from [chainMax]int64
	for k := int32(0); k <= i; k++ {
		spots[k], from[k] = spot{jb.first + k, t.at[k].tour, t.at[k].pos}, t.s[k]
	}
	st := f.st
	if len(f.others) > 0 {
		st = f.others[len(f.others)-1]
	}
	was := st.m
	st.m = f.st.m
	defer func() { st.m = was }()
	if c.alone == aloneOpen {
		c.alone = aloneNo
		if st.takes(f.j, spots[i:i+1], []int64{c.early}) {
			c.alone = aloneYes
		}
	}
	if c.alone == aloneNo {
		return false
	}
	return i == 0 && from[0] == c.early || st.takes(f.j, spots[:i+1], from[:i+1])
}

// takes reports whether there are times with some visits of a job added, each from an
// instant on, whatever becomes of its others.
func (st *state) takes(j int32, spots []spot, from []int64) bool {
	var old [chainMax][]int32
	jb, mark := &st.m.jobs[j], len(st.trail)
	for i := len(spots) - 1; i >= 0; i-- {
		sp := spots[i]
		pos := sp.pos
		for _, o := range spots[:i] {
			if o.tour == sp.tour && o.pos > pos {
				pos = o.pos
			}
		}
		l := st.stops[sp.tour]
		old[i] = l
		l = append(append(make([]int32, 0, len(l)+2), l[:pos]...), sp.visit)
		st.stops[sp.tour] = append(l, old[i][pos:]...)
		st.shiftLunch(sp.tour, int(pos), 1)
		st.tourOf[sp.visit], st.placed[sp.visit] = sp.tour, true
		st.count++
	}
	for i, sp := range spots {
		st.clear(sp.visit)
		st.set(undoLS, sp.visit, from[i])
		if sp.visit == jb.firstLow && jb.told >= 0 {
			st.placed[jb.told] = true
		}
	}
	st.allow(roundCap)
	ok := true
	if jb.told >= 0 && st.placed[jb.told] {
		st.clear(jb.told)
		ok = st.touch(jb.told)
	}
	ok = ok && st.lunches(spots) && st.propagate()
	st.drain()
	st.rollback(mark)
	st.wipe()
	for i, sp := range spots {
		st.stops[sp.tour] = old[i]
		st.tourOf[sp.visit], st.placed[sp.visit] = -1, false
		st.count--
	}
	if jb.told >= 0 {
		st.placed[jb.told] = false
	}
	return ok
}

// follows reports whether visit i may have a gap behind those that the visits before it
// have: on one tour it comes later, and the pump that was dropped can be had back there.
func (f *fitter) follows(t *fitTimes, i int32, g *choice) bool {
	m, jb := f.st.m, &f.st.m.jobs[f.j]
	for n := int32(0); n < i; n++ {
		o := t.at[n]
		if o.tour == g.tour && o.pos > g.pos {
			return false
		}
		if m.visits[jb.first+n].drop && m.visits[jb.first+i].collect && !f.stock(o, g) {
			return false
		}
	}
	return true
}

// try places the job exactly, if need be into what is held less.
func (f *fitter) try(t *fitTimes, moved bool) bool {
	f.tries--
	jb := &f.st.m.jobs[f.j]
	var spots []spot
	for i := int32(0); i < jb.n; i++ {
		if i < f.owed {
			spots = append(spots, spot{jb.first + i, t.at[i].tour, t.at[i].pos})
		} else {
			spots = append(spots, spot{jb.first + i, -1, 0})
		}
	}
	for i := -1; i < len(f.others); i++ {
		st := f.st
		if i >= 0 {
			st = f.others[i]
		}
		was := st.m
		st.m, st.moved[f.j] = f.st.m, moved
		mark, ok := st.place(f.j, spots)
		if ok {
			st.unplace(f.j, spots, mark)
			f.found, f.used, f.movedAt = spots, st, moved
		}
		st.m, st.moved[f.j] = was, false
		if ok {
			return true
		}
	}
	return false
}

// withoutPromises is the week as its gaps are widest: no promise binds and no lunch is due.
func withoutPromises(w *week.Week) *week.Week {
	x := *w
	x.Promises = nil
	x.Tours = append([]week.Tour(nil), w.Tours...)
	for i := range x.Tours {
		x.Tours[i].Lunch = nil
	}
	return &x
}
