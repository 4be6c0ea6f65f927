package search

import (
	"slices"

	"ebbline/dispatch/week"
)

// WeekAsk asks what a changed week does to the plan. Week holds the same tours, visits,
// homes and places in the same order as the week that was laid out.
type WeekAsk struct {
	Week  *week.Week
	Jobs  []int // changed
	Tours []int // changed
	Homes bool  // changed
	// Closed is the last of Week's closures, and new.
	Closed bool
	// Home are tours whose crews stay at home, or go there as soon as they are free.
	Home []int
	// Gone is a job that the week does not hold any more; -1: none.
	Gone int
}

// Week tries a change of the week.
func (a *Warm) Week(q WeekAsk) Tried {
	e := &edit{gone: int32(q.Gone), whole: len(q.Tours) > 0 && slices.ContainsFunc(q.Tours, func(t int) bool { return q.Week.Tours[t].Begun != nil })}
	jobs := slices.Clone(q.Jobs)
	if q.Closed {
		jobs = a.shutJobs(q.Week, jobs)
	}
	e.m = a.m.patched(&q, jobs)
	for _, j := range jobs {
		e.jobs = append(e.jobs, int32(j))
		for v := a.m.jobs[j].first; v < a.m.jobs[j].first+a.m.jobs[j].n; v++ {
			e.touch(a.base.tourOf[v])
		}
	}
	for _, t := range q.Tours {
		e.touch(int32(t))
	}
	if q.Gone >= 0 {
		e.out = append(e.out, int32(q.Gone))
	}
	begun := a.fallOut(e, q.Home)
	for _, j := range e.out {
		for v := a.m.jobs[j].first; v < a.m.jobs[j].first+a.m.jobs[j].n; v++ {
			e.touch(a.base.tourOf[v])
		}
	}
	for _, v := range e.owe {
		if e.touch(a.base.tourOf[v]); !e.m.visits[v].owedFloor {
			return Tried{Limits: []Limit{{Rule: RuleOwed, Visit: int(v), Tour: int(a.base.tourOf[v]), Job: int(e.m.visits[v].job), Unit: inSeconds, Kind: "begun"}}}
		}
	}
	r := a.try(e)
	if !r.Fits && len(begun) > 0 {
		e.off = begun // priced where the rules let that be
		if again := a.try(e); again.Fits {
			return again
		}
	}
	return r
}

// touch notes a tour once; -1 is none.
func (e *edit) touch(t int32) {
	if t >= 0 && !slices.Contains(e.tours, t) {
		e.tours = append(e.tours, t)
	}
}

// fallOut notes which jobs fall out with tours that stay at home: those that have not
// begun as a whole. Of the others the visits that such a tour would have made, and what
// comes behind them, are owed; their jobs are returned.
func (a *Warm) fallOut(e *edit, home []int) (begun []int32) {
	for _, t := range home {
		e.touch(int32(t))
		for _, v := range a.base.stops[t][len(a.m.tours[t].prefix):] {
			j := a.m.visits[v].job
			if !a.m.jobs[j].must {
				if !slices.Contains(e.out, j) {
					e.out = append(e.out, j)
				}
				continue
			}
			for u := v; u < a.m.jobs[j].first+a.m.jobs[j].n; u++ {
				if !a.m.visits[u].fixed && !slices.Contains(e.owe, u) {
					e.owe = append(e.owe, u)
				}
			}
			if !slices.Contains(begun, j) {
				begun, e.jobs = append(begun, j), append(e.jobs, j)
			}
		}
	}
	return begun
}

// shutJobs adds the jobs with a stop at a place that the last closure shuts.
func (a *Warm) shutJobs(w *week.Week, jobs []int) []int {
	c := &w.Closures[len(w.Closures)-1]
	for j := range a.m.jobs {
		if !a.base.in[j] || slices.Contains(jobs, j) {
			continue
		}
		for v := a.m.jobs[j].first; v < a.m.jobs[j].first+a.m.jobs[j].n; v++ {
			if !a.m.visits[v].fixed && a.m.shuts(c, a.m.visits[v].place) {
				jobs = append(jobs, j)
				break
			}
		}
	}
	return jobs
}

// patched is the model of a changed week with the same numbers; jobs are laid out anew.
func (m *model) patched(q *WeekAsk, jobs []int) *model {
	c := *m
	c.w = q.Week
	c.visits, c.jobs = slices.Clone(m.visits), slices.Clone(m.jobs)
	c.tours = slices.Clone(m.tours)
	if q.Homes {
		c.homes = nil
		for _, h := range q.Week.Homes {
			c.homes = append(c.homes, home{pumps: h.Pumps})
		}
	}
	places := map[string]int(nil)
	for _, t := range q.Tours {
		if places == nil {
			places = index(len(c.w.Places), func(i int) string { return c.w.Places[i].ID })
		}
		c.patchTour(t, places)
	}
	for _, t := range q.Home {
		if x := &c.tours[t]; x.begun == nil {
			x.told = nil
		}
		for v := range c.visits {
			if x := &c.visits[v]; !x.fixed && x.frozenTour == int32(t) {
				x.frozenTour = -1
			}
		}
	}
	c.lists = map[tourNeed][]int32{}
	for _, j := range jobs {
		c.layJob(j)
	}
	return &c
}

// patchTour takes over what may change of a tour.
func (m *model) patchTour(t int, places map[string]int) {
	x, c := &m.w.Tours[t], &m.tours[t]
	c.skills, c.people, c.b, c.o, c.limit, c.lunch, c.begun = bitsOf(x.Skills, m.skillNo), x.People, x.ShiftTo, x.OvertimeTo, x.OvertimeTo, x.Lunch, x.Begun
	if x.Lunch == nil {
		c.lunchClass = -1
	}
	b := x.Begun
	if b == nil || b.Returned != nil {
		return
	}
	for _, s := range b.Stops {
		v := &m.visits[m.visitNo[s.Visit]]
		v.begun0, v.begun1 = s.Start, s.End
	}
	c.from, c.depart0 = int32(places[b.Place]), max(b.FreeAt, m.w.T0)
	at := c.depart0
	if l := c.lunch; l != nil && b.LunchStart == nil && at <= l.To {
		at = max(at, l.From) + l.Seconds
	}
	c.o = max(c.o, m.travel.arrive(c.from, c.end, at))
}

// layJob lays out anew what rules of times a job's visits have.
func (m *model) layJob(j int) {
	jb, given := &m.jobs[j], &m.w.Jobs[j]
	jb.water, jb.hard, jb.room, jb.far = given.Water, 0, 0, 0
	if jb.told >= 0 {
		m.visits[jb.told].out = nil
		if c := given.Water.Customer; c != nil {
			m.visits[jb.told].secs = c.Width
		}
	}
	for i := range given.Visits {
		v := &m.visits[jb.first+int32(i)]
		v.out, v.secs = nil, given.Visits[i].Seconds
	}
	m.compileSets(j)
	m.compileArcs(j)
	m.compileTourLists(j)
}

// JobIn tries to put a job in where it is cheapest.
func (a *Warm) JobIn(job int) Tried {
	j := int32(job)
	e := &edit{m: a.m, gone: -1, jobs: []int32{j}}
	for v := a.m.jobs[j].first; v < a.m.jobs[j].first+a.m.jobs[j].n; v++ {
		if l := a.noTour(v); len(l) > 0 {
			return Tried{Limits: l}
		}
	}
	st := a.fresh
	st.copyWith(a.base, a.m)
	in := a.finder
	in.stamp++
	if spots, _, moved, ok := in.find(st, j); ok {
		st.moved[j] = moved
		if st.easeAll(spots) {
			if _, ok := st.place(j, spots); ok {
				return a.answer(st, e)
			}
		}
		st.copyWith(a.base, a.m)
		st.moved[j] = moved
		if _, ok := st.place(j, spots); ok {
			return a.answer(st, e)
		}
	}
	st.copyWith(a.base, a.laxBase)
	in = a.rough
	in.stamp++
	spots, _, moved, ok := in.find(st, j)
	st.moved[j] = moved
	if ok {
		if _, ok := st.place(j, spots); ok {
			if l := a.excess(st, a.m); len(l) > 0 {
				return Tried{Limits: cut6(l)}
			}
		}
	}
	return Tried{Limits: []Limit{{Rule: RulePlaced, Visit: -1, Tour: -1, Job: job, Unit: inSeconds}}}
}

// noTour says what no tour has that a visit needs: of the tour that lacks least.
func (a *Warm) noTour(v int32) []Limit {
	if a.m.visits[v].fixed || len(a.m.visits[v].tours) > 0 {
		return nil
	}
	var best []Limit
	for t := range a.m.tours {
		if a.m.tours[t].returned {
			continue
		}
		l := a.static(a.m, v, int32(t))
		if len(l) == 0 {
			return nil // only hours are lacking
		}
		if best == nil || len(l) < len(best) || len(l) == len(best) && sumBy(l) < sumBy(best) {
			best = l
		}
	}
	return best
}
