package search

import "ebbline/dispatch/week"

// Roll times plan p anew in the week as it stands now, tours and orders kept. Nothing
// starts before it was planned to. What must wait, for the road, the stop before, the
// water, a closure or another visit of its job, waits; what pushes the other way (a pool
// that may not be low too long, a visit that must follow soon enough) moves the earlier
// visit later, but for the jobs in free. Where the shift's end, allowed hours or the like
// leave no time they are passed over. So there are always times; whether they keep every
// rule is for the checker to say. The plan's cost is the search's own sum.
//
// Visits of p that the week does not hold are passed over; noCrew are those that it holds
// and whose tour it does not.
func Roll(w *week.Week, p *week.Plan, free map[string]bool) (q *week.Plan, noCrew []string) {
	m := compile(w)
	r := &roller{m: m, st: newState(m), floor: make([]int64, len(m.visits)), ls: make([]int64, len(m.visits)), le: make([]int64, len(m.visits)),
		depart: make([]int64, len(m.tours)), queued: make([]bool, len(m.tours)), free: make([]bool, len(m.jobs))}
	for j := range m.jobs {
		r.free[j] = free[w.Jobs[j].ID]
	}
	noCrew = r.read(p)
	if !r.settle() { // what pushes forward and backward goes round in a circle
		for j := range r.free {
			r.free[j] = true
		}
		r.settle()
	}
	q = r.st.plan()
	r.st.limits(q)
	q.Seed, q.Strands, q.Rounds = p.Seed, p.Strands, p.Rounds
	return q, noCrew
}

// roller finds the expected times of a plan: the least ones that its lower bounds allow.
type roller struct {
	m      *model
	st     *state
	floor  []int64 // by visit: its planned start
	ls, le []int64 // by visit: start and end may not lie before
	depart []int64 // by tour: its planned departure
	free   []bool  // by job: nothing later moves its earlier visits
	queue  []int32
	queued []bool
	budget int
}

func (r *roller) read(p *week.Plan) (noCrew []string) {
	m, st := r.m, r.st
	for v := range m.visits {
		r.floor[v], r.ls[v], r.le[v] = always, always, always
	}
	for i := range p.Tours {
		pt := &p.Tours[i]
		k, known := m.tourNo[pt.Tour]
		var shown []week.Stop
		for _, s := range pt.Stops {
			v, ok := m.visitNo[s.Visit]
			if !ok || m.visits[v].fixed || st.placed[v] {
				continue
			}
			if !known || m.tours[k].returned {
				noCrew = append(noCrew, s.Visit)
				continue
			}
			t := int32(k)
			st.stops[t] = append(st.stops[t], int32(v))
			st.tourOf[v], st.placed[v] = t, true
			st.room[t] += m.visits[v].room
			st.setIn(m.visits[v].job, true)
			r.floor[v] = s.Start
			shown = append(shown, s)
		}
		if !known {
			continue
		}
		r.depart[k] = pt.Depart
		if pt.Lunch != nil && st.lunch[k].kind != lunchTaken && m.tours[k].lunch != nil && len(shown) > 0 {
			at := lunchOf(&week.PlanTour{Lunch: pt.Lunch, Stops: shown}, 0)
			at.pos += int16(len(m.tours[k].prefix))
			st.lunch[k] = at
		}
	}
	for i := range p.Owed {
		if v, ok := m.visitNo[p.Owed[i].Visit]; ok && !st.placed[v] && !m.visits[v].fixed {
			st.owed[v] = true
			st.setIn(m.visits[v].job, true)
		}
	}
	r.readTold(p)
	for i := range st.out {
		st.out[i] = 0
	}
	for j := range m.jobs {
		st.pumpNights(int32(j), 1)
	}
	for t := range m.tours {
		st.reload(int32(t))
	}
	return noCrew
}

// readTold takes over what customers were told and what rules jobs were let off.
func (r *roller) readTold(p *week.Plan) {
	m, st := r.m, r.st
	jobs := index(len(m.w.Jobs), func(i int) string { return m.w.Jobs[i].ID })
	for _, t := range p.Told {
		j, ok := jobs[t.Job]
		if !ok || m.jobs[j].told < 0 || !st.in[j] {
			continue
		}
		v := m.jobs[j].told
		st.placed[v], st.ss[v], st.se[v] = true, t.Earliest, t.Latest
		st.moved[j] = m.jobs[j].hasSent && (t.Earliest != m.jobs[j].toldKeep.lo || t.Latest != m.jobs[j].toldKeep.hi)
	}
	for _, b := range p.RuleBreaks {
		j, ok := jobs[b.Job]
		if v, known := m.visitNo[b.Visit]; !ok && known {
			j, ok = int(m.visits[v].job), true
		}
		if ok {
			st.off[j] |= offOf(b.Rule)
		}
	}
}

// settle raises starts until every lower bound holds; false: they rise for ever.
func (r *roller) settle() bool {
	m, st := r.m, r.st
	r.budget = 200 * (m.real + 1)
	for v := range m.visits {
		r.ls[v], r.le[v] = always, always
	}
	for v := range m.visits {
		if st.placed[v] && (m.visits[v].fixed || m.visits[v].told) {
			r.fire(int32(v))
		}
	}
	for t := range m.tours {
		r.enqueue(int32(t))
	}
	for n := 0; n < len(r.queue); n++ {
		t := r.queue[n]
		r.queued[t] = false
		if r.walk(t); r.budget < 0 {
			r.queue, r.queued = r.queue[:0], make([]bool, len(m.tours))
			return false
		}
	}
	r.queue = r.queue[:0]
	for t := range m.tours {
		if m.tours[t].begun == nil && len(st.stops[t]) > 0 {
			st.leave[t] = r.departure(int32(t))
		}
	}
	return true
}

func (r *roller) enqueue(t int32) {
	if !r.queued[t] {
		r.queued[t] = true
		r.queue = append(r.queue, t)
	}
}

// departs is when a tour may leave at the earliest.
func (r *roller) departs(t int32) int64 {
	st, tr := r.st, &r.m.tours[t]
	x := tr.depart0
	if tr.begun == nil {
		x = max(x, r.depart[t])
	}
	for _, o := range tr.rivals { // its crew's earlier tour is over first
		if len(st.stops[o]) > 0 && len(st.stops[t]) > 0 && (r.depart[o] < r.depart[t] || r.m.tours[o].begun != nil && tr.begun == nil) {
			x = max(x, st.back[o])
		}
	}
	return x
}

// departure is when a tour leaves: as planned, or as much later as its first stop starts
// later, if nothing but the drive lies before it.
func (r *roller) departure(t int32) int64 {
	m, st, tr := r.m, r.st, &r.m.tours[t]
	x, lp := r.departs(t), st.lunch[t]
	v := st.stops[t][0]
	if first := lp.pos == 0 && (lp.kind == lunchBefore || lp.kind == lunchAfter || lp.kind == lunchInside); first || st.ss[v] <= r.floor[v] {
		return x
	}
	return max(x, m.travel.leave(tr.from, m.visits[v].place, st.ss[v]))
}

// walk times one tour, with lunch where it fits best if where it was planned does not do.
func (r *roller) walk(t int32) {
	m, st, tr := r.m, r.st, &r.m.tours[t]
	if len(st.stops[t]) == 0 {
		return
	}
	if tr.returned {
		st.leave[t], st.back[t] = tr.begun.Depart, *tr.begun.Returned
		return
	}
	best := st.lunch[t]
	if tr.lunch != nil && best.kind != lunchTaken {
		back, past := r.time(t, best, false)
		if past > 0 || best.kind == lunchNone && back-r.departs(t) > tr.lunch.DueAfter {
			best = r.betterLunch(t, back)
		}
	}
	st.lunch[t] = best
	back, _ := r.time(t, best, true)
	if tr.begun != nil {
		st.leave[t] = tr.begun.Depart
	} else {
		st.leave[t] = r.departs(t)
	}
	if back != st.back[t] {
		st.back[t] = back
		for _, o := range m.tours[t].rivals {
			r.enqueue(o)
		}
	}
}

// betterLunch is the place for lunch that lies least past its hours, then the one with the
// earliest return; none where a tour that left early enough needs none.
func (r *roller) betterLunch(t int32, back int64) lunchAt {
	m, st, tr := r.m, r.st, &r.m.tours[t]
	nb := len(tr.prefix)
	best, least, soonest := lunchAt{lunchBefore, int16(len(st.stops[t]))}, never, never
	for i := nb; i <= len(st.stops[t]); i++ {
		for _, kind := range []int8{lunchBefore, lunchAfter, lunchInside} {
			if i == len(st.stops[t]) && kind != lunchBefore || kind == lunchInside && !m.visits[st.stops[t][i]].interrupt {
				continue
			}
			at := lunchAt{kind, int16(i)}
			if x, past := r.time(t, at, false); past < least || past == least && x < soonest {
				best, least, soonest = at, past, x
			}
		}
	}
	return best
}

// time walks a tour with lunch at a place; it returns when the tour is back and by how
// much lunch begins past its hours. If keep is set the times are kept and carried on.
func (r *roller) time(t int32, lp lunchAt, keep bool) (back, past int64) {
	m, st, tr := r.m, r.st, &r.m.tours[t]
	l, stops := tr.lunch, st.stops[t]
	x, p := r.departs(t), tr.from
	eat := func() {
		x = max(x, l.From)
		past = max(0, x-l.To)
		x += l.Seconds
	}
	for i := len(tr.prefix); i < len(stops); i++ {
		v := stops[i]
		if lp.kind == lunchBefore && int(lp.pos) == i {
			eat()
		}
		x = m.travel.arrive(p, m.visits[v].place, x)
		if lp.kind == lunchAfter && int(lp.pos) == i {
			eat()
		}
		d := m.visits[v].secs
		s := max(x, r.floor[v], r.ls[v])
		if lp.kind == lunchInside && int(lp.pos) == i {
			s, d = max(s, l.From-d), d+l.Seconds
			past = max(0, s-l.To)
		}
		s = r.start(v, t, max(s, r.le[v]-d), d)
		x, p = s+d, m.visits[v].place
		if keep && (st.ss[v] != s || st.se[v] != x) {
			st.ss[v], st.se[v] = s, x
			st.s[v], st.e[v] = s, x
			r.budget--
			r.fire(v)
		}
	}
	if lp.kind == lunchBefore && int(lp.pos) == len(stops) {
		eat()
	}
	return m.travel.arrive(p, tr.end, x), past
}

// start is when a visit that lasts d may start at x or later: at its allowed hours if its
// tour has time for them, else when what can't be passed over allows.
func (r *roller) start(v, t int32, x, d int64) int64 {
	m := r.m
	tr, free := &m.tours[t], r.st.freeOf(v)
	if d > m.visits[v].secs {
		free = r.st.freeLunchOf(v, tr.lunchClass)
	}
	if s := free.next(x); s == x || s < never && s+d <= tr.o {
		return s
	}
	if s := m.possible(v, d).next(x); s < never {
		return s
	}
	return x
}

// possible are the starts of a visit that the world leaves, whatever was agreed.
func (m *model) possible(v int32, d int64) starts {
	j := m.visits[v].job
	x, jb := &m.w.Jobs[j], &m.jobs[j]
	y := &x.Visits[v-jb.first]
	s := starts{{m.w.T0, never - 1}}
	from := func(lo int64) { s = meet(s, starts{{lo, never}}) }
	if x.NotBefore != nil {
		from(*x.NotBefore)
	}
	for c := range m.w.Closures {
		if k := &m.w.Closures[c]; m.shuts(k, m.visits[v].place) {
			s = s.without(k.From-d+1, k.To-1)
		}
	}
	wt := x.Water
	if wt == nil {
		return s
	}
	low, covered := y.Water == week.NeedLow, y.Water == week.NeedCovered
	switch {
	case wt.Way == week.WayWindow && wt.Window != nil && low:
		from(wt.Window.From)
	case wt.Way == week.WayWindow && wt.Window != nil && covered && len(wt.Covered) == 0:
		from(wt.Window.To)
	case low && wt.DrainedAt != nil && wt.Way != week.WayArrival:
		if z, ok := at(wt.LowLate, *wt.DrainedAt); ok {
			from(z)
		}
	case covered && wt.FillFrom != nil:
		if z, ok := at(wt.Covered, *wt.FillFrom); ok {
			from(z)
		}
	}
	if m.visits[v].arrival {
		var h starts
		for _, p := range m.w.WaterHours {
			h = append(h, span{p.From, p.To - wt.ArrivalSeconds})
		}
		s = meet(s, normal(h))
	}
	return s
}

// fire carries a visit's times along its rules.
func (r *roller) fire(v int32) {
	m, st := r.m, r.st
	vs := &m.visits[v]
	for i := range vs.out {
		a := &vs.out[i]
		w := a.to
		back := a.limit || w < v && !vs.told
		if !st.placed[w] || m.visits[w].fixed || m.visits[w].told || back && r.free[vs.job] {
			continue
		}
		if off := st.off[vs.job]; a.limit && off&offLow != 0 || a.comm && off&offCommission != 0 {
			continue
		}
		x := st.ss[v]
		if a.fromEnd {
			x = st.se[v]
		}
		y := st.value(a, vs.job, x)
		switch {
		case y >= never:
		case a.toEnd && y > r.le[w]:
			r.le[w] = y
			r.enqueue(st.tourOf[w])
		case !a.toEnd && y > r.ls[w]:
			r.ls[w] = y
			r.enqueue(st.tourOf[w])
		}
	}
}
