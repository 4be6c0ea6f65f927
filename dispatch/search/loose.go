package search

import (
	"sort"

	"ebbline/dispatch/week"
)

// loadLoose makes the state that is left of a plan in a week that it need not fit: tours,
// visits and jobs that the week does not hold are passed over, and of the jobs that no
// longer fit together those stay out whose absence costs least. The begun part of every
// tour is as the week has it.
func loadLoose(m *model, p *week.Plan) *state {
	l := &loose{m: m, p: p, vis: m.visitNo, rank: map[int32]int{}, tour: map[int32]int32{}, owed: map[int32]bool{}, off: map[int32]uint8{}}
	l.read()
	st := l.all()
	if st == nil {
		st = l.oneByOne()
	}
	told := map[string]week.Told{}
	for _, t := range p.Told {
		told[t.Job] = t
	}
	st.holdBack(l.known(), l.vis, told)
	st.changed.clear()
	return st
}

// loose is what a plan says of the visits of a week that are still to be made.
type loose struct {
	m    *model
	p    *week.Plan
	vis  map[string]int
	rank map[int32]int   // by visit: its number among the stops of its tour
	tour map[int32]int32 // by visit
	owed map[int32]bool
	off  map[int32]uint8 // by job: what the plan lets it off
	jobs []int32         // those that are in the plan whole, dearest to leave out first
}

func (l *loose) read() {
	m := l.m
	l.readBreaks()
	for i := range l.p.Tours {
		t, ok := m.tourNo[l.p.Tours[i].Tour]
		if !ok || m.tours[t].returned {
			continue
		}
		for n, s := range l.p.Tours[i].Stops {
			if v, ok := l.vis[s.Visit]; ok && !m.visits[v].fixed && l.allows(int32(v), int32(t)) {
				l.rank[int32(v)], l.tour[int32(v)] = n, int32(t)
			}
		}
	}
	for i := range l.p.Owed {
		if v, ok := l.vis[l.p.Owed[i].Visit]; ok && m.visits[v].owedFloor {
			l.owed[int32(v)] = true
		}
	}
	for j := range m.jobs {
		jb, whole := &m.jobs[j], m.movable(int32(j))
		for v := jb.first; v < jb.first+jb.n; v++ {
			_, ok := l.tour[v]
			whole = whole && (ok || l.owed[v] || m.visits[v].fixed)
		}
		if whole {
			l.jobs = append(l.jobs, int32(j))
		}
	}
	sort.SliceStable(l.jobs, func(a, b int) bool { return l.price(l.jobs[a]) > l.price(l.jobs[b]) })
}

// readBreaks notes which rules the plan lets begun or pinned jobs off.
func (l *loose) readBreaks() {
	jobs := index(len(l.m.w.Jobs), func(i int) string { return l.m.w.Jobs[i].ID })
	for _, b := range l.p.RuleBreaks {
		j, ok := jobs[b.Job]
		if v, known := l.vis[b.Visit]; !ok && known {
			j, ok = int(l.m.visits[v].job), true
		}
		if ok {
			l.off[int32(j)] |= offOf(b.Rule)
		}
	}
}

func (l *loose) allows(v, t int32) bool {
	x := &l.m.visits[v]
	if l.off[x.job]&(offAvailability|offPin) == 0 {
		return allows(x, t)
	}
	for _, k := range x.anyTours {
		if k == t {
			return true
		}
	}
	return false
}

// price is what it costs to leave a job out, money units.
func (l *loose) price(j int32) int64 {
	m, jb := l.m, &l.m.jobs[j]
	x := m.leftOutPrice(j)
	if jb.must {
		x += missing
	}
	broken := int64(0)
	if jb.hasSent {
		broken++
	}
	for v := jb.first; v < jb.first+jb.n; v++ {
		broken += int64(len(m.visits[v].promises))
	}
	return x + broken*m.w.Rates.PromiseCents*week.MoneyUnit
}

// all takes every job at once; nil if they do not fit together.
func (l *loose) all() *state {
	m, st := l.m, newState(l.m)
	for i := range l.p.Tours {
		pt := &l.p.Tours[i]
		k, ok := m.tourNo[pt.Tour]
		if !ok || m.tours[k].returned {
			continue
		}
		t := int32(k)
		var shown []week.Stop // those that count, as lunch is found by them
		for n, s := range pt.Stops {
			v, ok := l.vis[s.Visit]
			if ok && l.takes(int32(v)) && l.tour[int32(v)] == t && l.rank[int32(v)] == n {
				st.stops[t] = append(st.stops[t], int32(v))
				st.tourOf[v], st.placed[v] = t, true
				st.room[t] += m.visits[v].room
				shown = append(shown, s)
			}
		}
		if nb := len(m.tours[t].prefix); pt.Lunch != nil && st.lunch[t].kind != lunchTaken && m.tours[t].lunch != nil && len(shown) > 0 {
			at := lunchOf(&week.PlanTour{Lunch: pt.Lunch, Stops: shown}, 0)
			at.pos += int16(nb)
			st.lunch[t] = at
		}
	}
	for v := range l.owed {
		st.owed[v] = l.takes(v)
	}
	for _, j := range l.jobs {
		st.setIn(j, true)
		st.off[j] = l.off[j]
		jb := &m.jobs[j]
		if jb.told >= 0 {
			st.placed[jb.told] = st.placed[jb.firstLow]
			st.moved[j] = jb.hasSent && !l.tells(j, jb.toldKeep)
		}
		for v := jb.first; v < jb.first+jb.n; v++ {
			st.moved[j] = st.moved[j] || st.placed[v] && !m.visits[v].fixed && l.early(v)
		}
	}
	for i := range st.out {
		st.out[i] = 0
	}
	for j := range m.jobs {
		st.pumpNights(int32(j), 1)
	}
	good := true
	for t := range m.tours {
		good = st.reload(int32(t)) && good
		good = good && (m.tours[t].room == 0 || st.room[t] <= m.tours[t].room) && st.frozenKept(int32(t))
	}
	for _, j := range l.jobs {
		good = good && st.homesAgree(j)
	}
	if !good || !st.stocked() || !st.rebuild() || !st.separate() {
		return nil
	}
	return st
}

// takes reports whether the visit's job is taken over.
func (l *loose) takes(v int32) bool {
	jb := &l.m.jobs[l.m.visits[v].job]
	for u := jb.first; u < jb.first+jb.n; u++ {
		if _, ok := l.tour[u]; !ok && !l.owed[u] && !l.m.visits[u].fixed {
			return false
		}
	}
	return true
}

// tells reports whether the plan tells a job's customer this interval.
func (l *loose) tells(j int32, is span) bool {
	for _, t := range l.p.Told {
		if t.Job == l.m.w.Jobs[j].ID {
			return t.Earliest == is.lo && t.Latest == is.hi
		}
	}
	return false
}

// early reports whether the plan starts a visit before a window promised for it.
func (l *loose) early(v int32) bool {
	for _, k := range l.m.visits[v].promises {
		for i := range l.p.Tours {
			for _, s := range l.p.Tours[i].Stops {
				if s.Visit == l.m.visitID(v) && s.Start < l.m.w.Promises[k].From {
					return true
				}
			}
		}
	}
	return false
}

// separate reports whether no crew is on two tours at once and no begun job that owes what
// needs low water lies low too long.
func (st *state) separate() bool {
	for t := range st.m.tours {
		for _, r := range st.m.tours[t].rivals {
			if len(st.stops[t]) > 0 && len(st.stops[r]) > 0 && st.leave[t] < st.back[r] && st.leave[r] < st.back[t] {
				return false
			}
		}
	}
	for j := range st.m.jobs {
		if jb := &st.m.jobs[j]; st.in[j] && jb.water != nil && st.off[j]&offLow == 0 && st.owesLow(int32(j)) && !st.lowKept(int32(j)) {
			return false
		}
	}
	return true
}

// frozenKept reports whether a tour's frozen stops come first and in their order.
func (st *state) frozenKept(t int32) bool {
	rank, free := int32(-1), false
	for _, v := range st.stops[t][len(st.m.tours[t].prefix):] {
		x := &st.m.visits[v]
		if x.frozenTour != t {
			free = true
			continue
		}
		if free || x.frozenRank < rank {
			return false
		}
		rank = x.frozenRank
	}
	return true
}

// oneByOne puts the jobs in one after the other, dearest first, each between the stops
// that it lay between; those that do not fit are tried once more when all others are in,
// because what brings a pump may have come after them.
func (l *loose) oneByOne() *state {
	st := newState(l.m)
	left := l.jobs
	for range 2 {
		var failed []int32
		for _, j := range left {
			if !l.put(st, j) {
				failed = append(failed, j)
			}
		}
		left = failed
	}
	st.rebuild()
	return st
}

// put places one job where the plan has it.
func (l *loose) put(st *state, j int32) bool {
	m, jb := l.m, &l.m.jobs[j]
	var spots []spot
	for v := jb.first; v < jb.first+jb.n; v++ {
		t, on := l.tour[v]
		switch {
		case m.visits[v].fixed:
		case on:
			pos := len(m.tours[t].prefix)
			for pos < len(st.stops[t]) && l.rank[st.stops[t][pos]] < l.rank[v] {
				pos++
			}
			if first, last := st.mayTake(v, t); int32(pos) < first || int32(pos) > last {
				return false
			}
			spots = append(spots, spot{v, t, int32(pos)})
		default:
			spots = append(spots, spot{v, -1, 0})
		}
	}
	for _, off := range []uint8{0, l.off[j]} {
		for _, moved := range []bool{false, true} {
			if moved && !jb.gives {
				break
			}
			st.moved[j], st.off[j] = moved, off
			if _, ok := st.place(j, spots); ok {
				st.trail = st.trail[:0]
				return true
			}
		}
	}
	st.moved[j], st.off[j] = false, 0
	return false
}

// known is the plan with only what the week holds.
func (l *loose) known() *week.Plan {
	q := &week.Plan{}
	for i := range l.p.Tours {
		pt := week.PlanTour{}
		for _, s := range l.p.Tours[i].Stops {
			if _, ok := l.vis[s.Visit]; ok {
				pt.Stops = append(pt.Stops, s)
			}
		}
		q.Tours = append(q.Tours, pt)
	}
	return q
}
