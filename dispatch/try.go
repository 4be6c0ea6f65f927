package dispatch

import (
	"fmt"
	"slices"

	"ebbline/dispatch/search"
	"ebbline/dispatch/week"
)

// try answers a change. The numbers of the answer are those of s, which is laid out for the
// week with a job that was new; w is the changed week, nil: as it was.
func (a *Warm) try(c *Change) (t search.Tried, s *search.Warm, w *week.Week, err error) {
	s = a.s
	switch c.Kind {
	case ChangeVisit:
		t, w, err = a.tryVisit(c)
	case ChangeJobIn:
		return a.tryIn(c)
	default:
		if w, err = apply(a.w, c, ""); err != nil {
			return t, s, nil, err
		}
		t, err = a.tryWeek(c, w)
	}
	return t, s, w, err
}

// planned is a visit of the plan's jobs that has not begun.
func (a *Warm) planned(id, field string) (int, error) {
	v, ok := a.s.VisitNo(id)
	switch {
	case !ok:
		return 0, fault(field, id, "the id of a visit of the week")
	case a.s.Begun(v):
		return 0, fault(field, id, "a visit that has not begun; what has begun stays")
	case !a.s.Placed(a.s.JobOf(v)):
		return 0, fault(field, id, "a visit of a job in the plan; job "+a.w.Jobs[a.s.JobOf(v)].ID+" is left out (see job_in)")
	}
	return v, nil
}

func (a *Warm) tryVisit(c *Change) (t search.Tried, w *week.Week, err error) {
	v, err := a.planned(c.Visit, "visit")
	if err != nil {
		return t, nil, err
	}
	q := search.VisitAsk{Visit: v, Tour: a.s.TourOf(v), After: search.Anywhere}
	if c.Tour != "" {
		if q.Tour, err = tourIn(a.w, c.Tour, "tour"); err != nil {
			return t, nil, err
		}
	}
	if q.Tour < 0 {
		return t, nil, fault("tour", c.Tour, "the id of a tour: the visit is owed, and on none yet")
	}
	if c.After != nil {
		if q.After, err = a.after(q.Tour, v, *c.After); err != nil {
			return t, nil, err
		}
	}
	if c.Start != nil {
		if w, err = pinStart(a.w, c, ""); err != nil {
			return t, nil, err
		}
		q.Pinned = w
	}
	return a.s.Visit(q), w, nil
}

// after is the stop behind which a visit is to come.
func (a *Warm) after(tour, v int, id string) (int, error) {
	if id == "" {
		return search.First, nil
	}
	stops, begun := a.s.Stops(tour)
	u, ok := a.s.VisitNo(id)
	k := slices.Index(stops, u)
	switch {
	case !ok || k < 0:
		return 0, fault("after", id, "a stop of tour "+a.w.Tours[tour].ID+" in the plan, or empty: first of what has not begun")
	case u == v:
		return 0, fault("after", id, "another stop than the visit itself")
	case k < begun-1:
		return 0, fault("after", id, "a stop that has not begun, or the last that has")
	}
	return u, nil
}

// pinStart pins a visit's start in a copy of the week.
func pinStart(w *week.Week, c *Change, at string) (*week.Week, error) {
	j, n, err := visitIn(w, c.Visit, at+"visit")
	if err != nil {
		return nil, err
	}
	if *c.Start < max(0, w.T0) || *c.Start > w.End {
		return nil, fault(at+"start", *c.Start, fmt.Sprintf("%d (now) to %d (the end)", max(0, w.T0), w.End))
	}
	x := *w
	v := &ownJob(&x, j).Visits[n]
	p := week.Pin{}
	if v.Pin != nil {
		p = *v.Pin
	}
	start := *c.Start
	p.Start = &start
	v.Pin = &p
	return &x, nil
}

// tryIn puts a job in that is left out, or that is new.
func (a *Warm) tryIn(c *Change) (t search.Tried, s *search.Warm, w *week.Week, err error) {
	if c.New == nil {
		j, ok := a.ix.Job[c.Job]
		switch {
		case !ok:
			return t, a.s, nil, fault("job", c.Job, "the id of a job of the week")
		case a.s.Placed(j):
			return t, a.s, nil, fault("job", c.Job, "a job that is left out; it is in the plan")
		}
		return a.s.JobIn(j), a.s, nil, nil
	}
	if s, w, err = a.withNew(c.New, c.Job); err != nil {
		return t, a.s, nil, err
	}
	return s.JobIn(len(w.Jobs) - 1), s, w, nil
}

// withNew lays the plan out in the week with a new job.
func (a *Warm) withNew(n *NewJob, id string) (*search.Warm, *week.Week, error) {
	w, err := apply(a.w, &Change{Kind: ChangeJobIn, Job: id, New: n}, "")
	if err != nil {
		return nil, nil, err
	}
	if err := w.Validate(); err != nil {
		return nil, nil, err
	}
	s, err := search.NewWarm(w, a.p)
	return s, w, err
}

// tryWeek answers what changes the week; w is the week as changed.
func (a *Warm) tryWeek(c *Change, w *week.Week) (t search.Tried, err error) {
	q := search.WeekAsk{Week: w, Gone: -1}
	switch c.Kind {
	case ChangeCrewOut:
		a.stayHome(&q, c, w)
	case ChangeCrew:
		for _, k := range c.Crews {
			q.Tours = append(q.Tours, a.ix.Tour[k.Tour])
		}
	case ChangePumps:
		q.Homes = true
	case ChangeClosed:
		q.Closed = true
	case ChangeJobOut:
		if q.Gone = a.ix.Job[c.Job]; !a.s.Placed(q.Gone) {
			return t, fault("job", c.Job, "a job in the plan; it is left out")
		}
		q.Week = a.w
	case ChangeJobEarlier, ChangeWater:
		if q.Jobs = []int{a.ix.Job[c.Job]}; !a.s.Placed(q.Jobs[0]) {
			return t, fault("job", c.Job, "a job in the plan; it is left out (see job_in)")
		}
	case ChangeLonger:
		v, _ := a.s.VisitNo(c.Visit)
		q.Jobs = []int{a.s.JobOf(v)}
		if a.s.Begun(v) {
			q.Tours = []int{a.s.TourOf(v)}
		} else if _, err := a.planned(c.Visit, "visit"); err != nil {
			return t, err
		}
	}
	return a.s.Week(q), nil
}

// stayHome asks for the tours of w in the week that still holds those that w lacks.
func (a *Warm) stayHome(q *search.WeekAsk, c *Change, w *week.Week) {
	x := *w
	x.Tours = slices.Clone(a.w.Tours)
	for _, id := range c.Tours {
		t := a.ix.Tour[id]
		q.Home = append(q.Home, t)
		for i := range w.Tours {
			if w.Tours[i].ID == id {
				x.Tours[t] = w.Tours[i]
				q.Tours = append(q.Tours, t)
			}
		}
	}
	for j := range w.Jobs { // pins on these tours are gone
		for n := range w.Jobs[j].Visits {
			if w.Jobs[j].Visits[n].Pin != a.w.Jobs[j].Visits[n].Pin && !slices.Contains(q.Jobs, j) {
				q.Jobs = append(q.Jobs, j)
			}
		}
	}
	q.Week = &x
}

// tried says an answer in the week's own names.
func (a *Warm) tried(t search.Tried, s *search.Warm) Tried {
	w := s.Given()
	say := &speaker{w: w, s: s}
	r := Tried{Fits: t.Fits, Before: a.s.Cost(), After: t.Cost, Moved: []MovedVisit{}, Out: []string{}, In: []string{}, Late: []LatePromise{}, Limits: []Limit{}}
	for _, m := range t.Moved {
		x := MovedVisit{Visit: say.visitID(m.Visit), Before: m.Before, Start: m.Start}
		if m.TourBefore >= 0 {
			x.TourBefore = w.Tours[m.TourBefore].ID
		}
		if m.Tour >= 0 {
			x.Tour = w.Tours[m.Tour].ID
		}
		r.Moved = append(r.Moved, x)
	}
	for _, j := range t.Out {
		r.Out = append(r.Out, w.Jobs[j].ID)
	}
	for _, j := range t.In {
		r.In = append(r.In, w.Jobs[j].ID)
	}
	for _, l := range t.Late {
		p := LatePromise{Promise: w.Promises[l.Promise].ID, Visit: w.Promises[l.Promise].Visit}
		if by := l.By; !l.Unmade {
			p.By = &by
		}
		r.Late = append(r.Late, p)
	}
	for i := range t.Limits {
		r.Limits = append(r.Limits, say.limit(&t.Limits[i]))
	}
	return r
}
