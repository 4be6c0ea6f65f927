package odds

// swap has a crew that waited in vain make a later stop of its day in place of the one
// of a slot, which comes in that one's turn. It does so once for each stop.
func (l *life) swap(ti, slot int32) bool {
	t, x := &l.m.tours[ti], &l.tours[ti]
	here := l.order[t.first+slot]
	if l.m.policy.NoSwaps || l.visits[here].swapped {
		return false
	}
	for k := slot + 1; k < t.count; k++ {
		i := l.order[t.first+k]
		v := &l.m.visits[i]
		if v.group >= 0 || l.visits[i].swapped {
			continue
		}
		at := l.m.roads.arrive(x.free, l.m.roads.seconds[x.place][v.place])
		if ready := l.ready(v); at >= t.overtimeTo || ready > at || l.opens(v, at) != at {
			continue
		}
		l.visits[here].swapped, l.visits[i].swapped = true, true
		l.order[t.first+slot], l.order[t.first+k] = i, here
		x.next = slot
		l.step(ti)
		return true
	}
	return false
}

// meet has a crew wait for the other that must start with it.
func (l *life) meet(i int32, ready int64) {
	v := &l.m.visits[i]
	g := &l.groups[v.group]
	l.visits[i].state = waits
	g.missing--
	g.latest = max(g.latest, l.tours[v.tour].free, min(ready, unknown))
	if g.missing > 0 {
		return
	}
	patience, start := int64(never), g.latest
	for _, k := range l.m.groups[v.group] {
		o := &l.m.visits[k]
		patience = min(patience, max(l.tours[o.tour].free, o.start)+l.m.policy.WaitSeconds)
		start = max(start, l.opens(o, start))
	}
	if start > patience {
		l.failGroup(v.group)
		return
	}
	for _, k := range l.m.groups[v.group] {
		l.work(k, l.tours[l.m.visits[k].tour].next-1, start)
	}
}

// failGroup gives up what waits for another crew that does not come.
func (l *life) failGroup(group int32) {
	g := &l.groups[group]
	if g.failed {
		return
	}
	g.failed = true
	for _, k := range l.m.groups[group] {
		if o := &l.m.visits[k]; l.visits[k].state == waits {
			l.fail(k, max(l.tours[o.tour].free, o.start)+l.m.policy.WaitSeconds)
		}
	}
}
