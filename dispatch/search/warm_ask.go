package search

import (
	"fmt"

	"ebbline/dispatch/week"
)

// Warm is a plan laid out for questions. Each question is answered on a copy of its state,
// with a model of its own where the week changes; base is never touched. Not safe for
// concurrent use.
//
// Times for questions are the least that all rules allow for the orders, slid right as
// [state.settle] does, with what the plan holds back held back. A finished plan was timed
// once more ([state.polish]) and may cost a little less; both sides of an answer are timed
// alike, so that their difference is the change's.
type Warm struct {
	w    *week.Week
	m    *model
	base *state
	cost week.Cost
	// scratch states
	lifted, freed, best, fresh *state
	places                     map[string]int
	laxBase                    *model // m without upper limits on times; see [laxModel]
	finder, rough, wide        *inserter
	heads0                     headsKept
}

// NewWarm lays out a valid week and a plan of it.
func NewWarm(w *week.Week, p *week.Plan) (*Warm, error) {
	if len(w.Skills) > 64 {
		return nil, fmt.Errorf("week.skills: %d skills; 64 or fewer can be planned", len(w.Skills))
	}
	t := newTravel(w)
	return newWarm(compileWith(w, &t, make([]job, len(w.Jobs))), p)
}

func newWarm(m *model, p *week.Plan) (*Warm, error) {
	st, err := load(m, p)
	if err != nil {
		return nil, err
	}
	st.trail = st.trail[:0]
	st.changed.clear()
	a := &Warm{w: m.w, m: m, base: st, cost: st.heads()}
	a.lifted, a.freed, a.best, a.fresh = st.clone(), st.clone(), st.clone(), st.clone()
	a.places = index(len(m.w.Places), func(i int) string { return m.w.Places[i].ID })
	a.laxBase = laxModel(m, nil, nil)
	a.finder = newInserter(nil, 24, 24)
	a.finder.all, a.finder.perDay = true, 4
	a.rough, a.wide = newInserter(nil, 6, 2), newInserter(nil, 64, 64)
	a.wide.all, a.wide.perDay = true, 6
	return a, nil
}

// Cost is the plan's own cost by heads, timed as for questions.
func (a *Warm) Cost() week.Cost { return a.cost }

// Placed reports whether the plan has job j in it.
func (a *Warm) Placed(j int) bool { return a.base.in[j] }

// Begun reports whether visit v, counted through the week's jobs, has begun.
func (a *Warm) Begun(v int) bool { return a.m.visits[v].fixed }

// TourOf is the tour of visit v in the plan; -1: none.
func (a *Warm) TourOf(v int) int { return int(a.base.tourOf[v]) }

// Stops are the visits of a tour in the plan, begun ones first, and how many have begun.
func (a *Warm) Stops(t int) (visits []int, begun int) {
	for _, v := range a.base.stops[t] {
		visits = append(visits, int(v))
	}
	return visits, len(a.m.tours[t].prefix)
}

// VisitNo is the number of a visit; false if the week has none of that id.
func (a *Warm) VisitNo(id string) (int, bool) { v, ok := a.m.visitNo[id]; return v, ok }

// TourNo is the number of a tour; false if the week has none of that id.
func (a *Warm) TourNo(id string) (int, bool) { t, ok := a.m.tourNo[id]; return t, ok }

// JobOf is the number of a visit's job.
func (a *Warm) JobOf(v int) int { return int(a.m.visits[v].job) }

// recount finds rooms, morning loads and pumps on sites again from the lists.
func (st *state) recount() {
	clear(st.loads)
	clear(st.fresh)
	clear(st.out)
	m := st.m
	for j := range m.jobs {
		st.pumpNights(int32(j), 1)
	}
	for t := range m.tours {
		tr := &m.tours[t]
		if st.room[t] = 0; tr.room > 0 {
			for _, v := range st.stops[t] {
				st.room[t] += m.visits[v].room
			}
		}
		if tr.begun == nil {
			st.load[t] = 0
		} else if tr.home >= 0 {
			st.loads[int(tr.home)*m.days+int(tr.day)] += st.load[t]
		}
		st.reload(int32(t))
	}
}

// headsBut are the heads of the state without job skip, as if the week did not hold it.
func (st *state) headsBut(skip int32) week.Cost {
	if skip < 0 {
		return st.heads()
	}
	h := st.heads()
	x, exact := st.jobHeads(skip), int64(0)
	for _, p := range []struct {
		sum  *int64
		part int64
	}{{&h.Waiting, x.waiting}, {&h.Late, x.late}, {&h.LeftOut, x.leftOut}, {&h.Promises, x.promises}, {&h.Low, x.low}, {&h.Owed, x.owed}, {&h.RuleBreaks, x.breaks}} {
		if p.part == 0 {
			continue
		}
		exact = 0
		for j := range st.m.jobs {
			if int32(j) != skip {
				exact += headOf(st.jobHeads(int32(j)), p.sum, &h)
			}
		}
		if p.sum == &h.Promises {
			exact += st.worst * st.m.worstRate
		}
		if p.sum == &h.RuleBreaks {
			exact += st.tourBreaks()
		}
		exact = (exact + week.MoneyUnit/2) / week.MoneyUnit
		h.Total += exact - *p.sum
		*p.sum = exact
	}
	return h
}

// headOf picks the part of a job's heads that goes into one head of the cost.
func headOf(x jobHeads, of *int64, h *week.Cost) int64 {
	switch of {
	case &h.Waiting:
		return x.waiting
	case &h.Late:
		return x.late
	case &h.LeftOut:
		return x.leftOut
	case &h.Promises:
		return x.promises
	case &h.Low:
		return x.low
	case &h.Owed:
		return x.owed
	}
	return x.breaks
}

// tourBreaks is what tours pay for returning after their last overtime.
func (st *state) tourBreaks() int64 {
	sum := int64(0)
	for t := range st.m.tours {
		if tr := &st.m.tours[t]; len(st.stops[t]) > 0 && st.back[t] > tr.limit && !tr.returned {
			sum += st.m.w.Rates.BreakAvailabilityCents * week.MoneyUnit
		}
	}
	return sum
}

// Given is the week that was laid out.
func (a *Warm) Given() *week.Week { return a.w }

// VisitAt is the job of a visit and its number in the chain.
func (a *Warm) VisitAt(v int) (job, number int) {
	j := a.m.visits[v].job
	return int(j), v - int(a.m.jobs[j].first)
}
