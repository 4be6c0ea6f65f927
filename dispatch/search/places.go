package search

import (
	"cmp"
	"slices"

	"ebbline/dispatch/week"
)

// Spot is a place for a visit: on Tour behind the stop After (-1: first of what has not
// begun), with what the plan costs more.
type Spot struct {
	Tour, After int
	Start       int64
	Delta       week.Cost
	exact       int64 // money units
}

// Places are all spots in which a visit of the plan fits, cheapest first. Each is timed and
// priced as [Warm.Visit] does.
func (a *Warm) Places(visit int) []Spot {
	v := int32(visit)
	e := &edit{m: a.m, gone: -1}
	found := map[[2]int32]Spot{}
	a.lifts(v, e, func(st *state) bool {
		a.heads0.of(st)
		for t := range a.m.tours {
			t := int32(t)
			if len(a.static(a.m, v, t)) > 0 || a.m.tours[t].returned {
				continue
			}
			first, last := st.mayTake(v, t)
			for pos := first; pos <= last; pos++ {
				if !st.mayFit(v, t, int(pos)) {
					continue
				}
				a.ways(st, v, t, int(pos), func() {
					key := [2]int32{t, pos}
					if s, ok := found[key]; ok && s.exact <= st.total {
						return
					}
					s := Spot{Tour: int(t), After: -1, Start: st.ss[v], exact: st.total}
					if pos > int32(len(a.m.tours[t].prefix)) {
						s.After = int(st.stops[t][pos-1])
					}
					s.Delta = less(a.heads0.after(st, t, v), a.cost)
					found[key] = s
				})
			}
		}
		return false
	})
	out := make([]Spot, 0, len(found))
	for _, s := range found {
		out = append(out, s)
	}
	slices.SortFunc(out, func(x, y Spot) int {
		return cmp.Or(cmp.Compare(x.Delta.Total, y.Delta.Total), cmp.Compare(x.Start, y.Start), cmp.Compare(x.Tour, y.Tour), cmp.Compare(x.After, y.After))
	})
	return out
}

// mayFit is false where a visit surely comes too late at a position of a tour, whatever
// becomes of lunch: behind the stop before it and its job, and with what comes after it.
func (st *state) mayFit(v, t int32, pos int) bool {
	m, tr, vs := st.m, &st.m.tours[t], &st.m.visits[v]
	if st.dep[t] > always || st.off[vs.job] != 0 {
		return true // times there are not the least
	}
	p, x := tr.from, tr.depart0
	if pos > len(tr.prefix) {
		u := st.stops[t][pos-1]
		p, x = m.visits[u].place, st.e[u]
		if st.lunch[t].kind != lunchNone && st.lunch[t].kind != lunchTaken && int(st.lunch[t].pos) <= pos-1 {
			return true // lunch before it may go elsewhere
		}
	}
	s := vs.free.next(m.travel.arrive(p, vs.place, x))
	if s >= never {
		return false
	}
	x, p = s+vs.secs, vs.place
	for _, u := range st.stops[t][pos:] {
		us := &m.visits[u]
		if st.off[us.job] != 0 {
			return true
		}
		s := us.free.next(m.travel.arrive(p, us.place, x))
		if s <= st.s[u] {
			return true
		}
		if s >= never || s+us.secs > tr.o {
			return false
		}
		x, p = s+us.secs, us.place
	}
	return m.travel.arrive(p, tr.end, x) <= tr.o
}

// raw are the heads of a cost in money units, in the order of [week.Cost].
type raw [11]int64

func (r *raw) add(o *raw, sign int64) {
	for i := range r {
		r[i] += sign * o[i]
	}
}

// cents rounds each head once.
func (r *raw) cents() week.Cost {
	var c [11]int64
	sum := int64(0)
	for i := range r {
		c[i] = (r[i] + week.MoneyUnit/2) / week.MoneyUnit
		sum += c[i]
	}
	return week.Cost{Driving: c[0], PaidTime: c[1], Overtime: c[2], Waiting: c[3], Late: c[4], LeftOut: c[5], Promises: c[6], ToldAnew: c[7], Low: c[8], Owed: c[9], RuleBreaks: c[10], Total: sum}
}

// less is a cost less another, head by head.
func less(a, b week.Cost) week.Cost {
	return week.Cost{Driving: a.Driving - b.Driving, PaidTime: a.PaidTime - b.PaidTime, Overtime: a.Overtime - b.Overtime, Waiting: a.Waiting - b.Waiting,
		Late: a.Late - b.Late, LeftOut: a.LeftOut - b.LeftOut, Promises: a.Promises - b.Promises, ToldAnew: a.ToldAnew - b.ToldAnew, Low: a.Low - b.Low,
		Owed: a.Owed - b.Owed, RuleBreaks: a.RuleBreaks - b.RuleBreaks, Total: a.Total - b.Total}
}

func (st *state) rawTour(t int32) (r raw) {
	if len(st.stops[t]) > 0 {
		r[0], r[1], r[2] = st.tourHeads(t, st.leave[t], st.back[t])
		if tr := &st.m.tours[t]; st.back[t] > tr.limit && !tr.returned {
			r[10] = st.m.w.Rates.BreakAvailabilityCents * week.MoneyUnit
		}
	}
	r[7] = st.anewCost(t, len(st.stops[t]))
	return r
}

func (st *state) rawJob(j int32) raw {
	x := st.jobHeads(j)
	return raw{3: x.waiting, 4: x.late, 5: x.leftOut, 6: x.promises, 8: x.low, 9: x.owed, 10: x.breaks}
}

// headsKept are the heads of a state, kept apart, so that those of a step from it cost what
// the step touches.
type headsKept struct {
	sum           raw
	tours, jobs   []raw
	isTour        []bool
	isJob         []bool
	tourAt, jobs0 []int32
}

// of keeps the heads of a state.
func (h *headsKept) of(st *state) {
	m := st.m
	if h.tours == nil {
		h.tours, h.jobs = make([]raw, len(m.tours)), make([]raw, len(m.jobs))
		h.isTour, h.isJob = make([]bool, len(m.tours)), make([]bool, len(m.jobs))
	}
	h.sum = raw{}
	for t := range m.tours {
		h.tours[t] = st.rawTour(int32(t))
		h.sum.add(&h.tours[t], 1)
	}
	for j := range m.jobs {
		h.jobs[j] = st.rawJob(int32(j))
		h.sum.add(&h.jobs[j], 1)
	}
}

// after is the cost of the state after a step that its trail logs, on tour t (-1: none), of
// visit v.
func (h *headsKept) after(st *state, t, v int32) week.Cost {
	h.tour(t)
	h.job(st.m.visits[v].job)
	h.trail(st)
	return h.stepped(st)
}

// afterChain is the cost of the state after a job was put into spots.
func (h *headsKept) afterChain(st *state, spots []spot) week.Cost {
	for _, s := range spots {
		h.tour(s.tour)
		h.job(st.m.visits[s.visit].job)
	}
	h.trail(st)
	return h.stepped(st)
}

// trail notes what a state's trail says was touched.
func (h *headsKept) trail(st *state) {
	for i := range st.trail {
		switch u := &st.trail[i]; u.what {
		case undoSS, undoSE:
			h.tour(st.tourOf[u.at])
			h.job(st.m.visits[u.at].job)
		case undoLeave, undoBack, undoTour, undoLunch:
			h.tour(u.at)
		case undoJob:
			h.job(u.at)
		}
	}
}

func (h *headsKept) tour(t int32) {
	if t >= 0 && !h.isTour[t] {
		h.isTour[t] = true
		h.tourAt = append(h.tourAt, t)
	}
}

func (h *headsKept) job(j int32) {
	if !h.isJob[j] {
		h.isJob[j] = true
		h.jobs0 = append(h.jobs0, j)
	}
}

// stepped adds up the heads of the state with what was noted counted anew.
func (h *headsKept) stepped(st *state) week.Cost {
	sum := h.sum
	for _, t := range h.tourAt {
		r := st.rawTour(t)
		sum.add(&r, 1)
		sum.add(&h.tours[t], -1)
		h.isTour[t] = false
	}
	for _, j := range h.jobs0 {
		r := st.rawJob(j)
		sum.add(&r, 1)
		sum.add(&h.jobs[j], -1)
		h.isJob[j] = false
	}
	h.tourAt, h.jobs0 = h.tourAt[:0], h.jobs0[:0]
	sum[6] += st.worst * st.m.worstRate
	return sum.cents()
}
