package search

// chooseLunch picks where a tour's lunch lies, given the bounds as they stand: none
// if the tour can be short enough, else the place with which it returns earliest.
// It reports false if no place is possible.
func (st *state) chooseLunch(t int32) bool {
	m, tr := st.m, &st.m.tours[t]
	l := tr.lunch
	if l == nil || st.lunch[t].kind == lunchTaken {
		return true
	}
	stops, nb := st.stops[t], len(tr.prefix)
	if len(stops) == 0 || tr.returned {
		st.setLunch(t, lunchAt{})
		return true
	}
	st.put(undoDep, t, always) // a bound of the choice before
	// x0: without lunch so far; x1: with it, at the earliest; place: where it was
	x0, x1, place := tr.depart0, never, lunchAt{}
	p := tr.from
	work := int64(0)
	for i := nb; i < len(stops); i++ {
		v := stops[i]
		vs := &m.visits[v]
		a0, a1, best := never, never, lunchAt{}
		if x0 < never {
			a0 = m.travel.arrive(p, vs.place, x0)
			if i > 0 { // before the first stop lunch is after the drive
				if y := max(x0, l.From); y <= l.To {
					a1, best = m.travel.arrive(p, vs.place, y+l.Seconds), lunchAt{lunchBefore, int16(i)}
				}
			}
			if y := max(a0, l.From); y <= l.To && y+l.Seconds < a1 {
				a1, best = y+l.Seconds, lunchAt{lunchAfter, int16(i)}
			}
		}
		if x1 < never {
			if a := m.travel.arrive(p, vs.place, x1); a <= a1 {
				a1, best = a, place
			}
		}
		d, free := vs.secs, st.freeOf(v)
		work += d
		e0, e1 := never, never
		if a0 < never {
			if s := free.next(max(a0, st.ls[v], st.le[v]-d)); s < never {
				e0 = s + d
			}
		}
		if a1 < never {
			if s := free.next(max(a1, st.ls[v], st.le[v]-d)); s < never {
				e1 = s + d
			}
		}
		if vs.interrupt && a0 < never {
			dl := d + l.Seconds
			s := st.freeLunchOf(v, tr.lunchClass).next(max(a0, st.ls[v], st.le[v]-dl, l.From-d))
			if s <= l.To && s+dl < e1 {
				e1, best = s+dl, lunchAt{lunchInside, int16(i)}
			}
		}
		x0, x1, place, p = e0, e1, best, vs.place
	}
	r0, r1 := never, never
	if x0 < never {
		r0 = m.travel.arrive(p, tr.end, x0)
		if y := max(x0, l.From); y <= l.To && len(stops) > 0 {
			r1 = m.travel.arrive(p, tr.end, y+l.Seconds)
			if x1 == never || r1 < m.travel.arrive(p, tr.end, x1) {
				place = lunchAt{lunchBefore, int16(len(stops))}
			}
		}
	}
	if x1 < never {
		r1 = min(r1, m.travel.arrive(p, tr.end, x1))
	}
	if r0 <= tr.o && st.shortEnough(t, r0) {
		st.setLunch(t, lunchAt{})
		return true
	}
	if r1 > tr.o {
		return false
	}
	st.setLunch(t, place)
	return true
}

// shortEnough reports whether a tour that returns at r without lunch can depart so
// late that none is due.
func (st *state) shortEnough(t int32, r int64) bool {
	m, tr := st.m, &st.m.tours[t]
	due := tr.lunch.DueAfter
	if tr.begun != nil {
		return r-tr.begun.Depart <= due
	}
	stops := st.stops[t]
	x, p := r, tr.end
	for i := len(stops) - 1; i >= 0; i-- {
		v := stops[i]
		vs := &m.visits[v]
		x = m.travel.leave(vs.place, p, x) - vs.secs
		if x = st.freeOf(v).prev(x); x <= always {
			return false
		}
		p = vs.place
	}
	return r-m.travel.leave(tr.start, p, x) <= due
}
