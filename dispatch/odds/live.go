package odds

// live goes through a run: the crews make their stops in the order in which the plan has
// all stops follow each other, so what a stop waits for has been lived through before it.
func (l *life) live(run uint64) {
	l.begin(run)
	for _, t := range l.m.events {
		l.step(t)
	}
	for i := range l.m.tours {
		l.goHome(int32(i))
	}
}

// step has a crew make its next stop, or fail at it.
func (l *life) step(ti int32) {
	t, x := &l.m.tours[ti], &l.tours[ti]
	slot := x.next
	x.next++
	i := l.order[t.first+slot]
	v, a := &l.m.visits[i], &l.visits[i]
	ready := l.ready(v)
	group := v.group >= 0
	if ready == never || group && l.groups[v.group].failed { // nobody drives to what can't be done
		l.fail(i, x.free)
		return
	}
	if ready == unknown { // it waits for a stop that was put off
		if group || !l.swap(ti, slot) {
			l.fail(i, x.free)
		}
		return
	}
	l.arrive(ti, slot, i)
	if a.arrive >= t.overtimeTo {
		l.fail(i, x.free)
		return
	}
	if v.pool >= 0 && a.looked == 0 {
		a.looked = max(a.arrive, v.start)
	}
	if group {
		l.meet(i, ready)
		return
	}
	patience := max(x.free, v.start) + l.m.policy.WaitSeconds
	start := l.opens(v, max(x.free, ready))
	if start <= patience && start < t.overtimeTo {
		l.work(i, slot, start)
		return
	}
	if l.opens(v, x.free) < never { // waited in vain; else it is turned away at once
		x.free = max(x.free, min(patience, t.overtimeTo))
	}
	if !l.swap(ti, slot) {
		l.fail(i, x.free)
	}
}

// arrive drives a crew to the visit of a slot, with lunch where it lies before the work.
func (l *life) arrive(ti, slot, i int32) {
	t, x, v := &l.m.tours[ti], &l.tours[ti], &l.m.visits[i]
	due := !x.lunchd && t.lunchAt >= 0 && slot >= t.lunchAt
	if due && (t.lunchHow == lunchBeforeDrive || slot > t.lunchAt) {
		l.eat(ti)
		due = false
	}
	if !x.drove {
		x.free = max(x.free, t.leave)
	}
	secs := l.m.roads.drawn(x.place, v.place, v.driveKey, l, l.dayWay[t.day])
	for _, by := range v.promised {
		if max(l.m.roads.arrive(x.free, l.m.roads.seconds[x.place][v.place]), v.floor) > by+l.m.policy.CallSeconds {
			l.call(i)
		}
	}
	x.free, x.place, x.drove = l.m.roads.arrive(x.free, secs), v.place, true
	l.visits[i].arrive = x.free
	if due && t.lunchHow == lunchAfterDrive {
		l.eat(ti)
	}
}

func (l *life) eat(ti int32) {
	t, x := &l.m.tours[ti], &l.tours[ti]
	x.free, x.lunchd = max(x.free, t.lunchFrom)+t.lunchSeconds, true
}

// call tells each customer once.
func (l *life) call(i int32) {
	if !l.visits[i].called {
		l.visits[i].called = true
		l.calls++
	}
}

// work makes a visit.
func (l *life) work(i, slot int32, start int64) {
	v, a := &l.m.visits[i], &l.visits[i]
	t, x := &l.m.tours[v.tour], &l.tours[v.tour]
	secs := max(v.work.draw(l.s, l.run, l.dayWork[t.day]), 1)
	if v.arrives {
		p := &l.m.pools[v.pool]
		secs += p.drain.draw(l.s, l.run, l.dayWater[l.m.day(start)])
	}
	if t.lunchAt == slot && t.lunchHow == lunchInside && !x.lunchd {
		secs += t.lunchSeconds
		x.lunchd = true
	}
	a.state, a.start, a.end = done, start, start+secs
	x.free = a.end
	l.ended(i)
}

// fail gives a visit up for the day; the crew is free at an instant.
func (l *life) fail(i int32, free int64) {
	v := &l.m.visits[i]
	l.visits[i].state, l.tours[v.tour].free = failed, free
	l.failed++
	if len(v.promised) > 0 {
		l.call(i)
	}
	if v.group >= 0 {
		l.failGroup(v.group)
	}
	l.ended(i)
}

// goHome drives a crew to the end of its tour.
func (l *life) goHome(ti int32) {
	t, x := &l.m.tours[ti], &l.tours[ti]
	if t.over {
		x.back = t.back
		return
	}
	if x.drove && t.lunchAt >= 0 && !x.lunchd {
		l.eat(ti)
	}
	x.back = x.free
	if x.place != t.home {
		x.back = l.m.roads.arrive(x.free, l.m.roads.drawn(x.place, t.home, t.returnKey, l, l.dayWay[t.day]))
	}
}

// ready is when all that a visit waits for is there; unknown: nobody knows yet, never: it
// is not to be.
func (l *life) ready(v *visit) int64 {
	at := v.floor
	for _, f := range v.after {
		switch o := &l.visits[f.visit]; o.state {
		case failed:
			return never
		case done:
			if f.fromEnd {
				at = max(at, o.end+f.seconds)
			} else {
				at = max(at, o.start+f.seconds)
			}
		default:
			at = unknown
		}
	}
	if v.needs == needsNothing {
		return at
	}
	p := &l.pools[v.pool]
	water := p.covered
	if v.needs == needsLow {
		if water = p.low; l.m.pools[v.pool].arrival > 0 {
			return at
		}
	}
	if water == never {
		return never
	}
	return max(at, water)
}

// opens is the first instant at x or later at which a visit's place and hours let it
// start; never if there is none.
func (l *life) opens(v *visit, x int64) int64 {
	if x >= never {
		return x
	}
	grace := l.m.policy.GraceSeconds
	for before := int64(-1); before != x; {
		before = x
		if len(v.allowed) > 0 {
			x = allowed(v, x, grace)
		}
		for k := range v.shut {
			if c := &v.shut[k]; x < c.To && x+v.seconds > c.From+grace {
				x = c.To
			}
		}
		if v.arrives {
			p := &l.m.pools[v.pool]
			x = p.hours.room(x, p.arrival, grace)
		}
		if x >= never {
			return never
		}
	}
	if v.last < never && x+v.seconds > v.last+grace {
		return never
	}
	return x
}

func allowed(v *visit, x, grace int64) int64 {
	for k := range v.allowed {
		s := &v.allowed[k]
		if at := max(x, s.From); at <= s.To+grace && (!v.endInside || at+v.seconds <= s.To+grace) {
			return at
		}
	}
	return never
}
