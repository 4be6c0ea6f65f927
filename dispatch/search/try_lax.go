package search

import (
	"ebbline/dispatch/week"
)

// upper is a limit on a visit's start: it may not lie after at.
type upper struct {
	rule string
	at   int64
}

// laxSet are the starts of a visit with every upper limit taken away, and these limits.
// Hours that come again (allowed spans, water hours) go on without end from the last.
type laxSet struct {
	free   starts
	uppers []upper
}

// openEnd lets the last span of a set go on without end; at is where it ended.
func openEnd(s starts) (open starts, at int64) {
	if len(s) == 0 {
		return nil, always
	}
	open = append(starts(nil), s...)
	at = open[len(open)-1].hi
	open[len(open)-1].hi = never - 1
	return open, at
}

// laxStarts is [model.allowed] with the upper limits apart; a visit that would last secs.
func (m *model) laxStarts(j, i int, secs int64) laxSet {
	x := &m.w.Jobs[j]
	y, jb := &x.Visits[i], &m.jobs[j]
	n := jb.first + int32(i)
	l := laxSet{free: starts{{max(m.w.T0, 0), never - 1}}}
	from := func(lo int64) { l.free = meet(l.free, starts{{lo, never - 1}}) }
	upTo := func(rule string, at int64) { l.uppers = append(l.uppers, upper{rule, at}) }
	within := func(rule string, s starts) {
		open, at := openEnd(s)
		l.free = meet(l.free, open)
		upTo(rule, at)
	}
	upTo(RuleHorizon, m.w.End-secs)
	if x.NotBefore != nil {
		from(*x.NotBefore)
	}
	if x.NotAfter != nil {
		upTo(RuleNotAfter, *x.NotAfter-secs)
	}
	if len(y.Allowed) > 0 {
		var a starts
		for _, p := range y.Allowed {
			if y.EndInside {
				p.To -= secs
			}
			a = append(a, span{p.From, p.To})
		}
		if s := normal(a); len(s) > 0 {
			within(RuleAllowed, s)
		} else { // lunch inside makes it too long
			last := a[len(a)-1]
			from(last.lo)
			upTo(RuleAllowed, last.hi)
		}
	}
	for c := range m.w.Closures {
		if k := &m.w.Closures[c]; m.shuts(k, m.visits[n].place) {
			l.free = l.free.without(k.From-secs+1, k.To-1)
		}
	}
	if p := y.Pin; p != nil && p.Start != nil {
		from(*p.Start)
		upTo(RulePin, *p.Start)
	}
	if wt := x.Water; wt != nil {
		m.laxWater(&l, wt, jb, n, secs, y)
	}
	return l
}

// laxWater is [model.waterStarts] for it.
func (m *model) laxWater(l *laxSet, wt *week.Water, jb *job, n int32, secs int64, y *week.Visit) {
	from := func(lo int64) { l.free = meet(l.free, starts{{lo, never - 1}}) }
	upTo := func(rule string, at int64) { l.uppers = append(l.uppers, upper{rule, at}) }
	within := func(rule string, s starts, less int64) {
		if len(s) > 0 {
			from(s[0].lo - less)
			upTo(rule, s[len(s)-1].hi-less)
		}
	}
	low, covered := y.Water == week.NeedLow, y.Water == week.NeedCovered
	limited := wt.Way != week.WayWindow && len(wt.LowLimit) > 0
	if wt.Way == week.WayWindow && wt.Window != nil {
		if low {
			from(wt.Window.From)
			upTo(RuleLow, wt.Window.To-secs)
		}
		if covered && len(wt.Covered) == 0 {
			from(wt.Window.To)
		}
	}
	if m.visits[n].arrival {
		var h starts
		for _, p := range m.w.WaterHours {
			h = append(h, span{p.From, p.To - wt.ArrivalSeconds})
		}
		open, at := openEnd(normal(h))
		l.free = meet(l.free, open)
		upTo(RuleArrival, at)
		for c := range m.w.Closures {
			if k := &m.w.Closures[c]; k.StopsPumping && m.shuts(k, m.visits[n].place) {
				l.free = l.free.without(k.From-wt.ArrivalSeconds+1, k.To-1)
			}
		}
		within(RuleLowLimit, m.beginRange(wt, limited), 0)
	}
	if n == jb.drain {
		within(RuleLowLimit, m.beginRange(wt, limited), secs)
	}
	if low && wt.DrainedAt != nil && wt.Way != week.WayWindow && wt.Way != week.WayArrival {
		if s, ok := at(wt.LowLate, *wt.DrainedAt); ok {
			from(s)
		} else {
			l.free = nil
		}
	}
	if low && len(wt.Covered) > 0 {
		from(wt.Covered[0].X - secs)
		upTo(RuleCovered, wt.Covered[len(wt.Covered)-1].X-secs)
		if d := m.drainFact(jb); limited && d != nil {
			if lim, ok := limitOf(wt, *d); ok {
				upTo(RuleLowLimit, greatestX(wt.Covered, lim)-secs)
			} else {
				upTo(RuleLowLimit, always)
			}
		}
	}
	if covered && wt.FillFrom != nil && len(wt.Covered) > 0 {
		if s, ok := at(wt.Covered, *wt.FillFrom); ok {
			from(s)
		} else {
			l.free = nil
		}
	}
}

// openTour is a tour whose last return was taken away.
type openTour struct {
	tour int32
	o    int64
}

// open takes a tour's last return away; false if it was already, or may not be.
func (m *model) open(t int32) bool {
	if m.opened == nil || m.tours[t].o == never-1 {
		return false
	}
	*m.opened = append(*m.opened, openTour{t, m.tours[t].o})
	m.tours[t].o = never - 1
	return true
}

// closeAll gives all tours their last returns back.
func (m *model) closeAll() {
	if m.opened == nil {
		return
	}
	for _, x := range *m.opened {
		m.tours[x.tour].o = x.o
	}
	*m.opened = (*m.opened)[:0]
}

// propagateOpen is [state.propagate] where a model lets tours return later: those that
// can't keep their last return whatever becomes of lunch are opened.
func (st *state) propagateOpen() bool {
	ok := true
	for n := 0; n < len(st.queue); n++ {
		t := st.queue[n]
		st.queued[t] = false
		if !ok {
			continue
		}
		mark := len(st.trail)
		if st.walk(t) {
			continue
		}
		st.rollback(mark)
		if ok = st.budget >= 0; !ok {
			continue
		}
		if ok = st.chooseLunch(t) && st.walk(t); !ok && st.budget >= 0 && st.m.open(t) {
			st.rollback(mark)
			ok = st.chooseLunch(t) && st.walk(t)
		}
	}
	st.queue = st.queue[:0]
	if st.budget < 0 {
		st.undecided++
	}
	return ok && st.openLunches()
}

// openLunches chooses lunch again for tours that were opened, now that all else is timed:
// they return as early as they can. What does not return earlier stays.
func (st *state) openLunches() bool {
	opened := *st.m.opened
	for _, x := range opened {
		t := x.tour
		was, back, mark := st.lunch[t], st.ret[t], len(st.trail)
		if was.kind == lunchTaken || len(st.stops[t]) == 0 || st.m.tours[t].lunch == nil {
			continue
		}
		budget := st.budget
		st.setLunch(t, lunchAt{kind: lunchTaken})
		st.put(undoDep, t, always)
		for k := len(st.m.tours[t].prefix); k < len(st.stops[t]); k++ {
			st.cuts = append(st.cuts, cut{t, int32(k), true})
		}
		model := st.m
		closed := *model
		closed.opened = nil // nothing more is opened for it
		st.m = &closed
		ok := st.sink()
		st.setLunch(t, lunchAt{})
		if ok = ok && st.chooseLunch(t); ok {
			st.enqueue(t)
			ok = st.propagate()
		}
		st.m = model
		if !ok || st.ret[t] >= back {
			st.drain()
			st.rollback(mark)
		}
		st.budget = budget
	}
	return true
}

// lunchOpen chooses lunch on a tour that may be opened for it.
func (st *state) lunchOpen(t int32) bool {
	return st.chooseLunch(t) || st.m.open(t) && st.chooseLunch(t)
}

// laxModel is m without upper limits on times: tours may return later (see
// [state.propagateOpen]), starts may be as late as need be, told intervals too, tables go
// on, and what has begun is asked nothing. What is
// as in base is taken from its lax model; nil: there is none.
func laxModel(m, base, lax *model) *model {
	c := *m
	c.tours, c.opened = append([]tour(nil), m.tours...), new([]openTour)
	if lax != nil {
		c.visits, c.jobs = append([]visit(nil), lax.visits...), append([]job(nil), lax.jobs...)
	} else {
		c.visits, c.jobs = append([]visit(nil), m.visits...), append([]job(nil), m.jobs...)
	}
	for j := range m.jobs {
		if lax == nil || !sameJob(m, base, j) {
			c.laxJob(m, j)
		}
	}
	return &c
}

// sameJob reports whether a job's visits have the same starts and rules in both models.
func sameJob(a, b *model, j int) bool {
	x, y := &a.jobs[j], &b.jobs[j]
	if x.water != y.water || x.told >= 0 && !sameVisit(&a.visits[x.told], &b.visits[y.told]) {
		return false
	}
	for v := x.first; v < x.first+x.n; v++ {
		if !sameVisit(&a.visits[v], &b.visits[v]) {
			return false
		}
	}
	return true
}

func sameVisit(x, y *visit) bool {
	return x.secs == y.secs && x.fixed == y.fixed && sameSlice(x.free, y.free) && sameSlice(x.out, y.out)
}

// sameSlice reports whether two slices are the same memory.
func sameSlice[T any](a, b []T) bool {
	return len(a) == len(b) && (len(a) == 0 || &a[0] == &b[0])
}

// laxJob lays out job j of m without upper limits.
func (c *model) laxJob(m *model, j int) {
	jb := &c.jobs[j]
	*jb = m.jobs[j]
	jb.water = laxTables(jb.water)
	for i := int32(0); i < jb.n; i++ {
		v := &c.visits[jb.first+i]
		*v = m.visits[jb.first+i]
		v.out = toFuture(m, v.out)
		if v.fixed {
			continue
		}
		v.free = m.laxStarts(j, int(i), v.secs).free
		v.freeLunch = make([]starts, len(m.lunch))
		if v.interrupt {
			for k, l := range m.lunch {
				v.freeLunch[k] = m.laxStarts(j, int(i), v.secs+l).free
			}
		}
	}
	if jb.told < 0 {
		return
	}
	v := &c.visits[jb.told]
	*v = m.visits[jb.told]
	v.out = toFuture(m, v.out)
	v.free, _ = openEnd(v.free)
	if jb.hasSent {
		jb.hasSent = false
		v.free, v.secs = starts{{jb.toldKeep.lo, never - 1}}, jb.toldKeep.hi-jb.toldKeep.lo
	}
}

// toFuture are the rules that bind what has not begun.
func toFuture(m *model, out []arc) []arc {
	var list []arc
	for _, a := range out {
		if !m.visits[a.to].fixed {
			list = append(list, a)
		}
	}
	return list
}

// laxTables lets water tables go on second by second behind their last points.
func laxTables(wt *week.Water) *week.Water {
	if wt == nil {
		return nil
	}
	x := *wt
	for _, t := range []*week.Table{&x.LowLate, &x.LowEarly, &x.Covered, &x.LowLimit} {
		if n := len(*t); n > 0 {
			p := (*t)[n-1]
			*t = append(append(week.Table(nil), *t...), week.Point{X: p.X + 1000*86400, Y: p.Y + 1000*86400})
		}
	}
	return &x
}
