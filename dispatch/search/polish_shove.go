package search

import "slices"

// shoveMost bounds how many stops make way for one tour.
const shoveMost = 200

// shoves are how many distances a tour is shoved by, at most.
const shoves = 4

// shove times a tour as if the others would make way for what comes later (way 1) or
// earlier (-1), makes them, times all that moved anew, and keeps the result if it is
// cheaper. Several distances are tried: what the others lose is not foreseen.
func (p *polisher) shove(t int32, way int) bool {
	p.loose = way
	var far []int64
	if p.begin(t) {
		for i := range p.stop {
			for _, x := range p.steps(i) {
				if d := (x - p.st.ss[p.stop[i].v]) * int64(way); d > 0 {
					far = append(far, d)
				}
			}
		}
	}
	p.loose = 0
	slices.Sort(far)
	far = slices.Compact(far)
	better := false
	for k := range min(shoves, len(far)) {
		d := far[k]
		if len(far) > shoves { // the shortest, the longest and some between
			d = far[k*(len(far)-1)/(shoves-1)]
		}
		better = p.shoveBy(t, way, d) || better
	}
	return better
}

// retell tries to give a tour whose stops are those handed out the starts its crew was
// told.
func (p *polisher) retell(t int32) bool {
	p.told = true
	ok := p.shoveBy(t, 1, never) || p.shoveBy(t, -1, never)
	p.told = false
	return ok
}

// retellLunch does so with lunch at other places.
func (p *polisher) retellLunch(t int32) bool {
	st, tr, was := p.st, &p.st.m.tours[t], p.st.lunch[t]
	if tr.lunch == nil || was.kind == lunchNone || was.kind == lunchTaken {
		return false
	}
	stops := st.stops[t]
	lasts := func(i int, by int64) { st.put(undoSE, stops[i], st.se[stops[i]]+by) }
	for i := len(tr.prefix); i <= len(stops); i++ {
		for _, kind := range []int8{lunchBefore, lunchAfter, lunchInside} {
			l := lunchAt{kind, int16(i)}
			if l == was || kind != lunchBefore && i == len(stops) || kind == lunchInside && !st.m.visits[stops[i]].interrupt {
				continue
			}
			mark := len(st.trail)
			st.setLunch(t, l)
			if was.kind == lunchInside {
				lasts(int(was.pos), -tr.lunch.Seconds)
			}
			if kind == lunchInside {
				lasts(i, tr.lunch.Seconds)
			}
			if p.retell(t) {
				return true
			}
			st.rollback(mark)
		}
	}
	return false
}

// sameList reports whether a tour's stops still to be made are those handed out.
func (st *state) sameList(t int32) bool {
	tr := &st.m.tours[t]
	stops := st.stops[t][min(len(tr.prefix), len(st.stops[t])):]
	if len(stops) == 0 || len(stops) != len(tr.told) {
		return false
	}
	for i, h := range tr.told {
		if st.m.visitID(stops[i]) != h.Visit {
			return false
		}
	}
	return true
}

func (p *polisher) shoveBy(t int32, way int, most int64) bool {
	st := p.st
	mark, before := len(st.trail), st.total
	p.loose, p.most, p.moved = way, most, p.moved[:0]
	ok := p.begin(t)
	p.most = never
	if ok {
		p.eps = int64(-way)
		p.choices()
		ok = p.solve() && p.set()
	}
	p.loose = 0
	if !ok {
		st.rollback(mark)
		return false
	}
	ok = p.account() && p.makeWay(way)
	for i := 0; ok && i < len(p.moved); i++ {
		p.look(p.moved[i])
		ok = p.account()
	}
	if !ok || !st.jobsKept(append(p.moved, t)) {
		st.rollback(mark)
		return false
	}
	for range 2 {
		for _, u := range append([]int32{t}, p.moved...) {
			if p.begin(u) {
				p.better(int64(way))
			}
		}
	}
	if st.total >= before {
		st.rollback(mark)
		return false
	}
	for _, u := range append([]int32{t}, p.moved...) {
		p.touch(u)
	}
	return true
}

// set shows what was chosen; false if nothing changes.
func (p *polisher) set() bool {
	changed := false
	for i := range p.stop {
		s := &p.stop[i]
		changed = changed || p.st.ss[s.v] != s.early
		p.st.put(undoSS, s.v, s.early)
		p.st.put(undoSE, s.v, s.early+s.secs)
	}
	return changed
}

// makeWay moves the stops of other tours as far as the rules ask for with what was set:
// later if way is 1, earlier if it is -1.
func (p *polisher) makeWay(way int) bool {
	st, m := p.st, p.st.m
	queue := append([]int32(nil), p.stops...)
	for n := 0; n < len(queue); n++ {
		if n > shoveMost {
			return false
		}
		v := queue[n]
		j := m.visits[v].job
		jb := &m.jobs[j]
		for u := jb.first; u < jb.first+jb.n; u++ {
			if u == v || !st.placed[u] {
				continue
			}
			s := p.wayOf(v, u, way)
			if way > 0 && s <= st.ss[u] || way < 0 && s >= st.ss[u] {
				continue
			}
			if m.visits[u].fixed || !p.moveTo(u, s, way, &queue) {
				return false
			}
		}
	}
	return true
}

// wayOf is how early (late, if way is -1) u may be with v where it is shown.
func (p *polisher) wayOf(v, u int32, way int) int64 {
	st, m := p.st, p.st.m
	j, d := m.visits[v].job, st.se[u]-st.ss[u]
	from, to := v, u
	bound := always
	if way < 0 {
		from, to, bound = u, v, never
	}
	for k := range m.visits[from].out {
		a := &m.visits[from].out[k]
		off := st.off[j]
		if a.to != to || off != 0 && (a.limit && off&offLow != 0 || a.comm && off&offCommission != 0) {
			continue
		}
		if way > 0 {
			x := st.ss[v]
			if a.fromEnd {
				x = st.se[v]
			}
			y := st.value(a, j, x)
			if a.toEnd {
				y -= d
			}
			bound = max(bound, y)
			continue
		}
		y := st.ss[v]
		if a.toEnd {
			y = st.se[v]
		}
		x := st.inverse(a, j, y)
		if a.fromEnd {
			x -= d
		}
		bound = min(bound, x)
	}
	return bound
}

// moveTo moves a stop and what is in its way on its tour.
func (p *polisher) moveTo(u int32, s int64, way int, queue *[]int32) bool {
	st := p.st
	t := st.tourOf[u]
	p.look(t)
	if !slices.Contains(p.moved, t) {
		p.moved = append(p.moved, t)
	}
	i := slices.Index(p.stops, u)
	for ; i >= 0 && i < len(p.stop); i += way {
		q := &p.stop[i]
		if way > 0 {
			if s = q.free.next(max(s, q.lo)); s <= st.ss[q.v] {
				return true
			}
			if s > min(q.hi, p.last.s[q.v]) {
				return false
			}
		} else {
			if s = q.free.prev(min(s, q.hi)); s >= st.ss[q.v] {
				return true
			}
			if s < max(q.lo, st.s[q.v]) {
				return false
			}
		}
		st.put(undoSS, q.v, s)
		st.put(undoSE, q.v, s+q.secs)
		*queue = append(*queue, q.v)
		if way > 0 && i+1 < len(p.stop) {
			s = p.ride(i+1, s+q.secs)
		} else if way < 0 && i > 0 {
			s = p.unride(i, s) - p.stop[i-1].secs
		}
	}
	return true
}

// jobsKept reports whether the jobs with a stop on one of the tours keep their rules as
// shown.
func (st *state) jobsKept(tours []int32) bool {
	for _, t := range tours {
		for _, v := range st.stops[t] {
			if !st.jobKept(st.m.visits[v].job) {
				return false
			}
		}
	}
	return true
}

// jobKept reports whether the rules between the visits of a job hold as shown.
func (st *state) jobKept(j int32) bool {
	m, jb := st.m, &st.m.jobs[j]
	off := st.off[j]
	holds := func(u int32) bool {
		if !st.placed[u] {
			return true
		}
		for k := range m.visits[u].out {
			a := &m.visits[u].out[k]
			if !st.placed[a.to] || m.visits[u].fixed && m.visits[a.to].fixed || off != 0 && (a.limit && off&offLow != 0 || a.comm && off&offCommission != 0) {
				continue
			}
			x, y := st.ss[u], st.ss[a.to]
			if a.fromEnd {
				x = st.se[u]
			}
			if a.toEnd {
				y = st.se[a.to]
			}
			if st.value(a, j, x) > y {
				return false
			}
		}
		return true
	}
	for v := jb.first; v < jb.first+jb.n; v++ {
		if !holds(v) || st.owed[v] && off&offCommission == 0 && !st.owedKept(j, v) {
			return false
		}
	}
	if jb.water != nil && off&offLow == 0 && st.owesLow(j) && !st.lowKept(j) {
		return false
	}
	return jb.told < 0 || holds(jb.told)
}

// owedKept reports whether an owed visit's latest start lies late enough.
func (st *state) owedKept(j, v int32) bool {
	l := st.owedLatest(j, v)
	return l == nil || *l >= st.m.w.NextWorkday.End
}

// shownKept reports whether the shown times keep every rule on instants.
func (st *state) shownKept() bool {
	p := &polisher{st: st}
	for j := range st.m.jobs {
		if !st.jobKept(int32(j)) {
			return false
		}
	}
	for t := range st.m.tours {
		p.look(int32(t))
		for i := range p.stop {
			s := &p.stop[i]
			x := st.leave[t]
			if i > 0 {
				x = st.se[p.stop[i-1].v]
			} else if tr := &st.m.tours[t]; tr.begun != nil {
				x = tr.depart0
			}
			if p.ride(i, x) > st.ss[s.v] || !s.free.has(st.ss[s.v]) || st.ss[s.v] < s.lo || st.ss[s.v] > s.hi {
				return false
			}
		}
		if n := len(p.stop); n > 0 && p.ride(n, st.se[p.stop[n-1].v]) > st.back[t] {
			return false
		}
	}
	return true
}
