package search

import "slices"

// withoutBack is m without the rules by which later visits of jobs hold earlier ones back:
// that they must follow soon enough, and low limits.
func withoutBack(m *model, jobs []int32) *model {
	c := *m
	c.visits = slices.Clone(m.visits)
	for _, j := range jobs {
		jb := &c.jobs[j]
		for v := jb.first; v < jb.first+jb.n; v++ {
			c.visits[v].out = slices.DeleteFunc(slices.Clone(c.visits[v].out), func(x arc) bool { return back(v, &x) })
		}
	}
	return &c
}

func back(v int32, x *arc) bool { return x.limit || x.to < v }

// links are the rules that later visits must follow soon enough, where nothing but they
// is in the way: by how much the later one comes too late.
func (a *Warm) links(e *edit, jobs []int32, try timing) []Limit {
	st, undo, ok := try(withoutBack(e.m, jobs), laxCap)
	if !ok {
		return nil
	}
	var list []brokenBack
	for _, j := range jobs {
		jb := &e.m.jobs[j]
		most := brokenBack{n: -1}
		for v := jb.first; v < jb.first+jb.n; v++ {
			for n := range e.m.visits[v].out {
				x := &e.m.visits[v].out[n]
				by := st.backBy(e.m, j, v, x)
				switch {
				case by > 0 && x.fn == fnLimit: // one limit, whatever visit comes last
					if by > most.by {
						most = brokenBack{v, int32(n), by}
					}
				case by > 0:
					list = append(list, brokenBack{v, int32(n), by})
				}
			}
			if st.owed[v] && len(list) == 0 {
				if l := st.owedLatest(j, v); l != nil && *l < e.m.w.NextWorkday.End {
					undo()
					return []Limit{{Rule: RuleOwed, Visit: int(v), Tour: -1, Job: int(j), By: e.m.w.NextWorkday.End - *l, Unit: inSeconds, At: *l}}
				}
			}
		}
		if most.n >= 0 {
			list = append(list, most)
		}
	}
	undo()
	var out []Limit
	for _, b := range list {
		lo, hi := int64(0), b.by // hi does, lo may not
		m := granting1(e.m, b, list)
		for lo < hi {
			mid := (lo + hi) / 2
			m.give(e.m, b.v, b.n, mid)
			if _, undo, ok := try(m, laxCap); ok {
				undo()
				hi = mid
			} else {
				lo = mid + 1
			}
		}
		if hi == 0 {
			continue // the others are in the way
		}
		x := &e.m.visits[b.v].out[b.n]
		other := int(x.to)
		if e.m.visits[x.to].told {
			other = -1
		}
		l := Limit{Rule: ruleOf(x), Visit: int(b.v), Tour: -1, Job: int(e.m.visits[b.v].job), By: hi, Unit: inSeconds, Kind: "back", Home: other}
		if x.fn == fnAdd {
			l.Rule = RuleLink
		}
		out = append(out, l)
	}
	return out
}

// brokenBack is rule n from visit v, broken by so much.
type brokenBack struct {
	v, n int32
	by   int64
}

// backBy is by how much a rule from v to an earlier visit is broken as times stand.
func (st *state) backBy(m *model, j, v int32, x *arc) int64 {
	off := st.off[j]
	if !back(v, x) || !st.placed[v] || !st.placed[x.to] || off != 0 && (x.limit && off&offLow != 0 || x.comm && off&offCommission != 0) {
		return 0
	}
	from := st.s[v]
	if x.fromEnd {
		from = st.e[v]
	}
	if x.fn == fnLimit {
		begin := st.s[x.to]
		if x.toEnd {
			begin = st.e[x.to]
		}
		wt := m.jobs[j].water
		y, ok1 := at(wt.Covered, from)
		lim, ok2 := limitOf(wt, begin)
		if !ok1 || !ok2 {
			return 0
		}
		return y - lim
	}
	to := st.s[x.to]
	if x.toEnd {
		to = st.e[x.to]
	}
	return from + x.c - to
}

// granting1 is m to have one broken rule give way in, without the other broken ones.
func granting1(m *model, b brokenBack, list []brokenBack) *model {
	c := *m
	c.visits, c.jobs = slices.Clone(m.visits), slices.Clone(m.jobs)
	c.visits[b.v].out = slices.Clone(m.visits[b.v].out)
	limit := m.visits[b.v].out[b.n].fn == fnLimit
	for _, o := range list {
		if o == b {
			continue
		}
		out := slices.Clone(c.visits[o.v].out)
		out[o.n] = arc{to: out[o.n].to, c: always} // asks for nothing
		c.visits[o.v].out = out
	}
	if !limit { // low limits of all visits go with the one that is named
		for _, o := range list {
			if m.visits[o.v].out[o.n].fn == fnLimit {
				c.dropLimits(m.visits[o.v].job)
			}
		}
	}
	return &c
}

// dropLimits lets a job's pool be low as long as need be.
func (c *model) dropLimits(j int32) {
	jb := &c.jobs[j]
	for v := jb.first; v < jb.first+jb.n; v++ {
		c.visits[v].out = slices.Clone(c.visits[v].out)
		for n := range c.visits[v].out {
			if x := &c.visits[v].out[n]; x.fn == fnLimit {
				*x = arc{to: x.to, c: always}
			}
		}
	}
}

// give has rule n from v give way by some seconds more than in m.
func (c *model) give(m *model, v, n int32, by int64) {
	x := &c.visits[v].out[n]
	if x.fn != fnLimit {
		x.c = m.visits[v].out[n].c - by
		return
	}
	wt := *m.jobs[m.visits[v].job].water
	wt.LowLimit = slices.Clone(wt.LowLimit)
	for i := range wt.LowLimit {
		wt.LowLimit[i].Y += by
	}
	c.jobs[m.visits[v].job].water = &wt
}

// order says which rule between a visit and the others of its job its spot goes against,
// whatever the times.
func (a *Warm) order(e *edit, lax *model, v int32, try timing) []Limit {
	c := *lax
	c.visits = slices.Clone(lax.visits)
	j := lax.visits[v].job
	jb := &lax.jobs[j]
	each := func(u int32) {
		c.visits[u].out = slices.DeleteFunc(slices.Clone(c.visits[u].out), func(x arc) bool { return u == v || x.to == v })
	}
	for u := jb.first; u < jb.first+jb.n; u++ {
		each(u)
	}
	if jb.told >= 0 {
		each(jb.told)
	}
	st, undo, ok := try(&c, laxCap)
	defer c.closeAll()
	if !ok {
		return []Limit{a.undecided(j)}
	}
	var out []Limit
	for u := jb.first; u < jb.first+jb.n; u++ {
		for n := range e.m.visits[u].out {
			x := &e.m.visits[u].out[n]
			if u != v && x.to != v || !st.placed[u] || !st.placed[x.to] {
				continue
			}
			from, to := st.s[u], st.s[x.to]
			if x.fromEnd {
				from = st.e[u]
			}
			if x.toEnd {
				to = st.e[x.to]
			}
			if by := st.value(x, j, from) - to; by > 0 && by < never/2 {
				other := x.to
				if other == v {
					other = u
				}
				out = append(out, Limit{Rule: ruleOf(x), Visit: int(v), Tour: int(st.tourOf[v]), Job: int(j), By: by, Unit: inSeconds, Kind: "order", Home: int(other)})
			}
		}
	}
	undo()
	if len(out) == 0 {
		return []Limit{a.undecided(j)}
	}
	return cut6(out)
}
