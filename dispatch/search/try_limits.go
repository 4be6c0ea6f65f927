package search

import (
	"cmp"
	"slices"

	"ebbline/dispatch/week"
)

// Names of rules, as the checker has them.
const (
	RuleHorizon  = "horizon"
	RuleShift    = "shift"
	RuleCrew     = "crew"
	RuleLunch    = "lunch"
	RuleSkills   = "skills"
	RulePeople   = "people"
	RuleAllowed  = "allowed"
	RuleNotAfter = "not_after"
	RulePin      = "pin"
	RuleChain    = "chain"
	RuleLink     = "link"
	RuleLow      = "low"
	RuleCovered  = "covered"
	RuleLowLimit = "low_limit"
	RuleArrival  = "arrival"
	RuleTold     = "told"
	RuleTruck    = "truck"
	RuleStock    = "stock"
	RuleRoom     = "room"
	RuleCollect  = "collect"
	RuleOwed     = "owed"
	RulePlaced   = "placed"
	RulePromise  = "promise" // of an offer: it moves no promise
)

// Limit is a rule that a change would break: with By more granted, in Unit, it holds.
// Numbers are -1 where none is meant. At is the limit's own instant; Kind tells limits of
// one rule apart. Home is of pumps; of links, the other visit. Until is before when Visit
// can't start, where it waits.
type Limit struct {
	Rule             string
	Visit, Tour, Job int
	By               int64
	Unit, Kind       string
	At               int64
	Skill            string
	Home, Day        int
	Until            int64
}

// waitsFor is the first stop of a tour that can't be over by an instant however early the
// crew is there; -1: none.
func (st *state) waitsFor(t int32, by int64) int32 {
	for _, v := range st.stops[t][len(st.m.tours[t].prefix):] {
		vs := &st.m.visits[v]
		b := max(st.ls[v], st.le[v]-vs.secs)
		if s := st.freeOf(v).next(b); s == st.s[v] && s+vs.secs > by {
			return v
		}
	}
	return -1
}

// Units of limits.
const (
	inSeconds = "s"
	inPumps   = "pumps"
	inPeople  = "people"
	inLitres  = "litres"
	inSkill   = "skill"
)

// mostLimits is how many limits are named.
const mostLimits = 6

// static are the limits that do not depend on times: whether a tour may make a visit.
func (a *Warm) static(m *model, v, t int32) []Limit {
	j := int(m.visits[v].job)
	y, tr := &m.w.Jobs[j].Visits[v-m.jobs[j].first], &m.tours[t]
	x := &m.w.Tours[t]
	var out []Limit
	add := func(l Limit) { l.Visit, l.Tour, l.Job = int(v), int(t), j; out = append(out, l) }
	for _, s := range y.Skills {
		if tr.skills&(1<<uint(m.skillNo[s]&63)) == 0 {
			add(Limit{Rule: RuleSkills, Unit: inSkill, Skill: s})
		}
	}
	if by := y.People - tr.people; by > 0 {
		add(Limit{Rule: RulePeople, By: int64(by), Unit: inPeople})
	}
	if by := y.Room - tr.room; tr.room > 0 && by > 0 {
		add(Limit{Rule: RuleRoom, By: by, Unit: inLitres})
	}
	vs := &m.visits[v]
	if vs.drop || vs.collect || vs.arrival {
		switch {
		case tr.home < 0:
			add(Limit{Rule: RuleTruck, By: 1, Unit: inPumps, Kind: "no home"})
		case tr.berths < 1:
			add(Limit{Rule: RuleTruck, By: 1, Unit: inPumps, Kind: "berths"})
		case vs.collect && m.jobs[j].pumpHome >= 0 && m.jobs[j].pumpHome != tr.home:
			add(Limit{Rule: RuleCollect, Unit: inPumps, Home: int(m.jobs[j].pumpHome)})
		}
	}
	if p := y.Pin; p != nil {
		if p.Tour != "" && p.Tour != x.ID || p.Day != nil && *p.Day != x.Day {
			add(Limit{Rule: RulePin, Unit: inSeconds, Kind: "tour"})
		}
	}
	if f := vs.frozenTour; f >= 0 && f != t {
		add(Limit{Rule: RulePin, Unit: inSeconds, Kind: "frozen"})
	}
	return out
}

// notKept are the rules that timing does not look at and that a timed state breaks where
// the base does not.
func (a *Warm) notKept(st *state) []Limit {
	m, b := st.m, a.base
	var out []Limit
	for t := range m.tours {
		tr := &m.tours[t]
		if st.short[t] && !b.short[t] {
			out = append(out, st.truck(int32(t)))
		}
		if tr.room > 0 && st.room[t] > max(tr.room, b.room[t]) {
			out = append(out, Limit{Rule: RuleRoom, Visit: -1, Tour: t, Job: -1, By: st.room[t] - tr.room, Unit: inLitres})
		}
		for _, r := range tr.rivals {
			if int(r) > t && st.together(int32(t), r) > 0 && b.together(int32(t), r) == 0 {
				out = append(out, Limit{Rule: RuleCrew, Visit: -1, Tour: t, Job: -1, By: st.together(int32(t), r), Unit: inSeconds})
			}
		}
		if m != a.m && (tr.skills != a.m.tours[t].skills || tr.people != a.m.tours[t].people) {
			for _, v := range st.stops[t][len(tr.prefix):] {
				out = append(out, a.static(m, v, int32(t))...)
			}
		}
	}
	out = append(out, st.stock()...)
	for j := range m.jobs {
		if !st.in[j] {
			continue
		}
		if !st.homesAgree(int32(j)) && b.homesAgree(int32(j)) {
			out = append(out, Limit{Rule: RuleCollect, Visit: -1, Tour: -1, Job: j, Unit: inPumps})
		}
		if st.m.jobs[j].water != nil && st.off[j]&offLow == 0 && st.owesLow(int32(j)) && !st.lowKept(int32(j)) {
			out = append(out, Limit{Rule: RuleLowLimit, Visit: -1, Tour: -1, Job: j, Unit: inSeconds, Kind: "owed"})
		}
	}
	return out
}

// together is for how long a crew would be on two tours at once.
func (st *state) together(t, r int32) int64 {
	if len(st.stops[t]) == 0 || len(st.stops[r]) == 0 {
		return 0
	}
	return max(0, min(st.back[t], st.back[r])-max(st.leave[t], st.leave[r]))
}

// truck is the limit of a tour's berths, or of what left with a begun one.
func (st *state) truck(t int32) Limit {
	m, tr := st.m, &st.m.tours[t]
	on, most, short := st.load[t], int32(0), int32(0)
	for i, v := range st.stops[t] {
		x := &m.visits[v]
		begun := i < len(tr.prefix)
		if x.collect {
			on++
		}
		if !begun {
			most = max(most, on)
			if x.arrival {
				short = max(short, 1-on)
			}
		}
		if x.drop {
			if on--; !begun {
				short = max(short, -on)
			}
		}
	}
	most = max(most, st.load[t])
	if short > 0 {
		return Limit{Rule: RuleTruck, Visit: -1, Tour: int(t), Job: -1, By: int64(short), Unit: inPumps, Kind: "loaded"}
	}
	return Limit{Rule: RuleTruck, Visit: -1, Tour: int(t), Job: -1, By: int64(int(most) - tr.berths), Unit: inPumps, Kind: "berths"}
}

// stock are the days on which homes lack pumps.
func (st *state) stock() []Limit {
	var out []Limit
	for h := range st.m.homes {
		for d, n := range st.m.homes[h].pumps {
			if i := h*st.m.days + d; st.fresh[i] > 0 && int(st.loads[i]+st.out[i]) > n {
				out = append(out, Limit{Rule: RuleStock, Visit: -1, Tour: -1, Job: -1, By: int64(int(st.loads[i]+st.out[i]) - n), Unit: inPumps, Home: h, Day: d})
			}
		}
	}
	return out
}

// excess are the upper limits that times without them go beyond: the least times that all
// other rules allow, so by so much each has to give way in any case, and with all of them
// given so much the change fits.
func (a *Warm) excess(st *state, m *model) []Limit {
	var out []Limit
	for t := range m.tours {
		tr := &m.tours[t]
		if tr.returned || len(st.stops[t]) == len(tr.prefix) {
			continue
		}
		if by := st.ret[t] - tr.o; by > 0 {
			l := Limit{Rule: RuleShift, Visit: int(st.stops[t][len(st.stops[t])-1]), Tour: t, Job: -1, By: by, Unit: inSeconds, At: tr.o}
			if v := st.waitsFor(int32(t), tr.o); v >= 0 {
				l.Visit, l.Job, l.Kind, l.Until = int(v), int(m.visits[v].job), "waits", st.s[v]
			}
			out = append(out, l)
		}
	}
	for v := range m.visits {
		vs := &m.visits[v]
		j := int(vs.job)
		if vs.fixed || !st.placed[v] || st.off[j] != 0 {
			continue
		}
		if vs.told {
			if by := st.s[v] - m.toldBy(j, st.moved[j]); by > 0 {
				out = append(out, Limit{Rule: RuleTold, Visit: -1, Tour: -1, Job: j, By: by, Unit: inSeconds, At: st.s[v] - by})
			}
			continue
		}
		d, free := st.e[v]-st.s[v], vs.free
		if c := m.tours[st.tourOf[v]].lunchClass; d != vs.secs && c >= 0 {
			free = vs.freeLunch[c]
		}
		if len(free) > 0 && st.s[v] <= free[len(free)-1].hi {
			continue
		}
		for _, u := range m.laxStarts(j, v-int(m.jobs[j].first), d).uppers {
			by := st.s[v] - u.at
			if u.rule == RuleLowLimit && by > 0 {
				by = st.pastLow(m, j, int32(v), by)
			}
			if by > 0 {
				out = append(out, Limit{Rule: u.rule, Visit: v, Tour: int(st.tourOf[v]), Job: j, By: by, Unit: inSeconds, At: u.at})
			}
		}
	}
	out = oneOfJob(append(out, st.pastFacts(m)...))
	slices.SortStableFunc(out, func(x, y Limit) int { return cmp.Compare(x.At, y.At) })
	return out
}

// pastLow is by how much a pool whose draining is a fact would be covered after its limit;
// by, if that can't be read.
func (st *state) pastLow(m *model, j int, v int32, by int64) int64 {
	jb := &m.jobs[j]
	d := m.drainFact(jb)
	if d == nil || !m.visits[v].low {
		return by
	}
	lim, ok1 := limitOf(jb.water, *d)
	y, ok2 := at(jb.water.Covered, st.e[v])
	if !ok1 || !ok2 {
		return by
	}
	return y - lim
}

// oneOfJob keeps of limits that a job has as a whole only the one that is broken most.
func oneOfJob(l []Limit) []Limit {
	var out []Limit
	for i, x := range l {
		keep := x.Rule != RuleNotAfter && x.Rule != RuleLowLimit || !slices.ContainsFunc(l, func(y Limit) bool {
			return y.Rule == x.Rule && y.Job == x.Job && y.By > x.By
		}) && !slices.ContainsFunc(l[:i], func(y Limit) bool { return y.Rule == x.Rule && y.Job == x.Job && y.By == x.By })
		if keep {
			out = append(out, x)
		}
	}
	return out
}

// toldBy is the latest begin of an interval that a job's customer can be told.
func (m *model) toldBy(j int, moved bool) int64 {
	jb := &m.jobs[j]
	if jb.hasSent && !moved {
		return jb.toldKeep.lo
	}
	if f := m.visits[jb.told].free; len(f) > 0 {
		return f[len(f)-1].hi
	}
	return always
}

// pastFacts are the rules that ask of what has begun, or of a table, more than there is.
func (st *state) pastFacts(m *model) []Limit {
	var out []Limit
	for j := range m.jobs {
		jb := &m.jobs[j]
		if !st.in[j] && !jb.must {
			continue
		}
		each := func(v int32) {
			for i := range m.visits[v].out {
				a := &m.visits[v].out[i]
				off := st.off[j]
				if !st.placed[v] || !st.placed[a.to] || m.visits[v].fixed || off != 0 && (a.limit && off&offLow != 0 || a.comm && off&offCommission != 0) {
					continue
				}
				x := st.s[v]
				if a.fromEnd {
					x = st.e[v]
				}
				if t := tableOf(jb.water, a.fn); len(t) > 0 && x > t[len(t)-1].X {
					out = append(out, Limit{Rule: ruleOf(a), Visit: int(v), Tour: int(st.tourOf[v]), Job: j, By: x - t[len(t)-1].X, Unit: inSeconds, At: t[len(t)-1].X, Kind: "table"})
					continue
				}
				if u := &m.visits[a.to]; u.fixed {
					fact := u.begun0
					if a.toEnd {
						fact = u.begun1
					}
					if by := st.value(a, int32(j), x) - fact; by > 0 {
						out = append(out, Limit{Rule: ruleOf(a), Visit: int(v), Tour: int(st.tourOf[v]), Job: j, By: by, Unit: inSeconds, At: x - by, Kind: "begun"})
					}
				}
			}
		}
		for v := jb.first; v < jb.first+jb.n; v++ {
			each(v)
		}
		if jb.told >= 0 {
			each(jb.told)
		}
	}
	return out
}

func tableOf(wt *week.Water, fn uint8) week.Table {
	switch {
	case wt == nil:
		return nil
	case fn == fnLowLate:
		return wt.LowLate
	case fn == fnCovered, fn == fnLimit:
		return wt.Covered
	}
	return nil
}

// ruleOf names the rule that an arc stands for.
func ruleOf(a *arc) string {
	switch {
	case a.fn == fnLowLate:
		return RuleLow
	case a.fn == fnCovered:
		return RuleCovered
	case a.fn == fnLimit:
		return RuleLowLimit
	case a.c != 0 || !a.fromEnd:
		return RuleLink
	}
	return RuleChain
}
