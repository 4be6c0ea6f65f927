package search

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
