package search

import "ebbline/dispatch/week"

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
