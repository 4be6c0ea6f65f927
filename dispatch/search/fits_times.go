package search

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
