package search

import "ebbline/dispatch/week"

// greatest is the greatest solution of the rules on times, with all tours, orders and
// lunch places kept: for every visit the latest start with which some times of all the
// others still keep every rule, promises and told intervals that the plan keeps
// included. It is found from above as the least times are found from below: what is too
// late falls until nothing is.
type greatest struct {
	st         *state
	s          []int64 // by visit: start
	capS, capE []int64 // by visit: start and end may not lie after
	dep, ret   []int64 // by tour
	queue      []int32
	queued     []bool
	budget     int
}

// latestRounds is the number of updates per placed visit after which slack stays unsaid.
const latestRounds = 200

// latestStarts finds the greatest solution; ok is false if it did not settle, or if the
// plan's own times do not keep the rules.
func (st *state) latestStarts() (g *greatest, ok bool) {
	m := st.m
	g = &greatest{st: st, s: make([]int64, len(m.visits)), capS: make([]int64, len(m.visits)), capE: make([]int64, len(m.visits)),
		dep: make([]int64, len(m.tours)), ret: make([]int64, len(m.tours)), queued: make([]bool, len(m.tours)),
		budget: latestRounds*st.count + 64}
	for v := range m.visits {
		g.s[v], g.capS[v], g.capE[v] = never, never, never
		if m.visits[v].fixed {
			g.s[v] = st.s[v]
		}
		for _, k := range m.visits[v].promises {
			if p := &m.w.Promises[k]; st.placed[v] && p.From <= st.ss[v] && st.ss[v] <= p.To {
				g.capS[v] = min(g.capS[v], p.To)
			}
		}
	}
	for t := range m.tours {
		g.ret[t] = g.returnBy(int32(t))
		g.dep[t] = never
		if len(st.stops[t]) > 0 {
			g.enqueue(int32(t))
		}
	}
	for j := range m.jobs {
		if w := m.jobs[j].told; w >= 0 && st.placed[w] && !g.lowerTold(w) {
			return g, false
		}
		if !g.carry(int32(j)) {
			return g, false
		}
	}
	for n := 0; n < len(g.queue); n++ {
		t := g.queue[n]
		g.queued[t] = false
		if !g.walk(t) {
			return g, false
		}
	}
	return g, true
}

// returnBy is the latest return of a tour by its own rules; a tour that breaks its last
// return already may not come later still.
func (g *greatest) returnBy(t int32) int64 {
	st, tr := g.st, &g.st.m.tours[t]
	if tr.returned {
		return *tr.begun.Returned
	}
	r := max(tr.limit, st.back[t])
	if tr.begun != nil && tr.lunch != nil && st.lunch[t].kind == lunchNone {
		r = min(r, tr.begun.Depart+tr.lunch.DueAfter)
	}
	return r
}

func (g *greatest) enqueue(t int32) {
	if !g.queued[t] {
		g.queued[t] = true
		g.queue = append(g.queue, t)
	}
}

// secs is how long a visit lasts in the plan, lunch inside it included.
func (g *greatest) secs(v int32) int64 { return g.st.se[v] - g.st.ss[v] }

// walk goes through a tour from its return back to its departure.
func (g *greatest) walk(t int32) bool {
	st, m, tr := g.st, g.st.m, &g.st.m.tours[t]
	stops, lp, l, nb := st.stops[t], st.lunch[t], tr.lunch, len(tr.prefix)
	if tr.returned || len(stops) == nb {
		if tr.begun != nil {
			g.dep[t] = tr.begun.Depart
		}
		return g.rivals(t)
	}
	x := m.travel.leave(m.visits[stops[len(stops)-1]].place, tr.end, g.ret[t])
	if lp.kind == lunchBefore && int(lp.pos) == len(stops) {
		x = min(x-l.Seconds, l.To)
	}
	for i := len(stops) - 1; i >= nb; i-- {
		v := stops[i]
		d, free := g.secs(v), st.freeOf(v)
		hi := min(x-d, g.capS[v], g.capE[v]-d)
		if lp.kind == lunchInside && int(lp.pos) == i {
			free, hi = st.freeLunchOf(v, tr.lunchClass), min(hi, l.To)
		}
		s := free.prev(hi)
		if s < st.ss[v] {
			return false // the plan's own times are a solution
		}
		if s < g.s[v] {
			g.s[v] = s
			if g.budget--; g.budget < 0 || !g.carry(m.visits[v].job) {
				return false
			}
		}
		x = s
		if lp.kind == lunchAfter && int(lp.pos) == i {
			x = min(x-l.Seconds, l.To)
		}
		p := tr.from
		if i > nb {
			p = m.visits[stops[i-1]].place
		}
		x = m.travel.leave(p, m.visits[v].place, x)
		if lp.kind == lunchBefore && int(lp.pos) == i {
			x = min(x-l.Seconds, l.To)
		}
	}
	if tr.begun != nil {
		x = tr.begun.Depart
	}
	g.dep[t] = min(g.dep[t], x)
	if l != nil && lp.kind == lunchNone && g.dep[t]+l.DueAfter < g.ret[t] {
		g.ret[t] = g.dep[t] + l.DueAfter
		if g.budget--; g.budget < 0 {
			return false
		}
		g.enqueue(t)
	}
	return g.rivals(t)
}

// rivals keeps a crew's tours apart, in the order of the plan.
func (g *greatest) rivals(t int32) bool {
	st := g.st
	for _, r := range st.m.tours[t].rivals {
		if len(st.stops[r]) > 0 && st.back[r] <= st.leave[t] && g.ret[r] > g.dep[t] {
			g.ret[r] = g.dep[t]
			if g.budget--; g.budget < 0 {
				return false
			}
			g.enqueue(r)
		}
	}
	return true
}

// carry lowers the caps of a job's visits to what its rules allow with the others at
// their latest, and lets them act.
func (g *greatest) carry(j int32) bool {
	st, m, jb := g.st, g.st.m, &g.st.m.jobs[j]
	lower := func(v int32) bool {
		vs := &m.visits[v]
		if !st.placed[v] || vs.fixed {
			return true
		}
		for i := range vs.out {
			a := &vs.out[i]
			off := st.off[j]
			if !st.placed[a.to] || g.s[a.to] >= never || off != 0 && (a.limit && off&offLow != 0 || a.comm && off&offCommission != 0) {
				continue
			}
			y := g.s[a.to]
			if a.toEnd {
				y += g.secs(a.to)
			}
			x := st.inverse(a, j, y)
			if a.fromEnd {
				g.capE[v] = min(g.capE[v], x)
			} else {
				g.capS[v] = min(g.capS[v], x)
			}
		}
		switch {
		case min(g.capS[v], g.capE[v]-g.secs(v)) >= g.s[v]:
		case vs.told:
			return g.lowerTold(v)
		default:
			g.enqueue(st.tourOf[v])
		}
		return true
	}
	for v := jb.first + jb.n - 1; v >= jb.first; v-- {
		if !lower(v) {
			return false
		}
	}
	return jb.told < 0 || lower(jb.told)
}

// lowerTold lets a told interval fall to its caps; one that was sent and is kept stays.
func (g *greatest) lowerTold(w int32) bool {
	st := g.st
	j := st.m.visits[w].job
	s := st.ss[w]
	if !st.m.jobs[j].hasSent || st.moved[j] {
		s = st.m.visits[w].free.prev(min(g.capS[w], g.capE[w]-g.secs(w)))
	}
	if s < st.ss[w] {
		return false
	}
	if s >= g.s[w] {
		return true
	}
	g.s[w] = s
	g.budget--
	return g.budget >= 0 && g.carry(j)
}

// limits writes into a plan of this state how much later each stop could start, and
// what keeps it from starting earlier. It reports whether slack could be said.
func (st *state) limits(p *week.Plan) bool {
	g, ok := st.latestStarts()
	n := 0
	for t := range st.m.tours {
		if len(st.stops[t]) == 0 {
			continue
		}
		pt := &p.Tours[n]
		n++
		for i := len(st.m.tours[t].prefix); i < len(st.stops[t]); i++ {
			if ok {
				slack := g.s[st.stops[t][i]] - st.ss[st.stops[t][i]]
				pt.Stops[i].Slack = &slack
			}
			pt.Stops[i].Binds = st.binds(int32(t), i, pt)
			pt.Stops[i].BindsKind = kindOf(pt.Stops[i].Binds)
		}
	}
	return ok
}
