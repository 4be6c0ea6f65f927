package dispatch

import (
	"context"
	"slices"

	"ebbline/dispatch/check"
	"ebbline/dispatch/search"
	"ebbline/dispatch/week"
)

// MendAsk asks for a new plan after something has happened.
type MendAsk struct {
	// Week as things stand: T0 is now, tours that have begun hold their real times, and
	// HandedOut is what crews were told. Changes are not made in it yet.
	Week *week.Week
	// Before is the plan that holds until now: what crews and customers were told. It may
	// name tours, jobs and visits that the week does not hold any more.
	Before *week.Plan
	// Changes that are made to the week before it is planned (see [Apply]); may be none. A
	// change of kind [ChangeVisit] pins the visit to its tour, and to its start if given; one
	// of kind [ChangeJobIn] without New says nothing, as what is left out is tried anyway.
	Changes []Change
	// Early are the ids of jobs whose customers can come early: the standby list, in the
	// order in which they are tried for gaps.
	Early []string
	// First, if given, gets the first whole answer while the search goes on.
	First func(*Mended)
	// Options of the search; Start is not read, the search starts from Before.
	Options Options
}

// Mended is the plan after the changes, and what it means against the plan before.
type Mended struct {
	// Week is the week with the changes made; Plan is a plan of it.
	Week *week.Week `json:"-"`
	Plan *week.Plan `json:"plan"`
	// Told lists who must be told what; nothing has been sent.
	Told []Difference `json:"told"`
	// Out are the jobs that were in the plan before and are left out now; In those that are
	// in now and were not. Jobs that the changes took out of the week are in neither.
	Out []string `json:"out"`
	In  []string `json:"in"`
	// Standby are the jobs of the standby list that come sooner than before, or at all.
	Standby []string `json:"standby"`
	// Late are the promises that the plan does not keep, in the order of the week's promises.
	Late []LatePromise `json:"late"`
	// CostBefore is what the plan before cost as it claimed; CostStood what it costs in
	// the changed week where what no longer fits is left out; CostAfter what the new plan
	// costs.
	CostBefore week.Cost `json:"cost_before"`
	CostStood  week.Cost `json:"cost_stood"`
	CostAfter  week.Cost `json:"cost_after"`
}

// Mend plans a week anew after something has happened, from the plan that holds until now:
// what of it no longer fits is taken out, dearest kept first, and the search looks for a
// cheaper plan from there. What has begun stays; promises and crews told anew weigh what
// the week's rates say. The context bounds the search as it does in [Solve], and like there
// the plan depends on the ask, Seed, Strands and Rounds only. Every plan that is returned,
// the first one too, has passed the checker.
func Mend(ctx context.Context, ask MendAsk) (*Mended, error) {
	w, err := mendWeek(&ask)
	if err != nil {
		return nil, err
	}
	if err := w.Validate(); err != nil {
		return nil, err
	}
	var stood week.Cost
	o := ask.Options
	so := search.Options{Seed: o.Seed, Strands: o.Strands, Rounds: o.Rounds, Cores: o.Cores, Start: ask.Before, Loose: true,
		Early: ask.Early, Stood: func(c week.Cost) { stood = c }}
	if ask.First != nil {
		so.First = func(p *week.Plan) {
			if check.Plan(w, p).OK() {
				ask.First(mended(&ask, w, p, stood))
			}
		}
	}
	p, err := search.Run(ctx, w, so, o.Progress)
	if err != nil {
		return nil, err
	}
	if r := check.Plan(w, p); !r.OK() {
		return nil, &RefusedError{Broken: r.Broken}
	}
	if !o.NoReasons {
		Explain(ctx, w, p)
	}
	return mended(&ask, w, p, stood), nil
}

// mendWeek is the week with the changes made.
func mendWeek(ask *MendAsk) (*week.Week, error) {
	w, err := Apply(ask.Week, ask.Changes...)
	if err != nil {
		return nil, err
	}
	for i := range ask.Changes {
		if c := &ask.Changes[i]; c.Kind == ChangeVisit {
			pinTo(w, c)
		}
	}
	return w, nil
}

// pinTo pins a visit where a change has it; the week is a copy whose jobs may be shared.
func pinTo(w *week.Week, c *Change) {
	at, ok := week.NewIndex(w).Visit[c.Visit]
	if !ok || c.Tour == "" && c.Start == nil {
		return
	}
	w.Jobs = slices.Clone(w.Jobs)
	job := &w.Jobs[at.Job]
	job.Visits = slices.Clone(job.Visits)
	job.Visits[at.Number].Pin = &week.Pin{Tour: c.Tour, Start: c.Start}
}

// mended says what a plan means against the one before.
func mended(ask *MendAsk, w *week.Week, p *week.Plan, stood week.Cost) *Mended {
	m := &Mended{Week: w, Plan: p, Told: ToldSince(ask.Week, ask.Before, p), Out: []string{}, In: []string{}, Standby: []string{},
		Late: []LatePromise{}, CostStood: stood, CostAfter: p.Cost}
	if m.Told == nil {
		m.Told = []Difference{}
	}
	before := ask.Before
	if before == nil {
		before = &week.Plan{}
	}
	m.CostBefore = before.Cost
	was, is := stopsOf(before), stopsOf(p)
	begun := begunStops(w)
	for j := range w.Jobs {
		job := &w.Jobs[j]
		switch a, b := converts(job, was, begun), converts(job, is, begun); {
		case a != nil && b == nil:
			m.Out = append(m.Out, job.ID)
		case a == nil && b != nil:
			m.In = append(m.In, job.ID)
		}
	}
	for _, id := range ask.Early {
		for j := range w.Jobs {
			job := &w.Jobs[j]
			if job.ID != id {
				continue
			}
			a, b := converts(job, was, begun), converts(job, is, begun)
			if b != nil && (a == nil || b.start < a.start-MovedSeconds) {
				m.Standby = append(m.Standby, id)
			}
		}
	}
	for i := range w.Promises {
		if l := brokenBy(&w.Promises[i], is); l != nil {
			m.Late = append(m.Late, *l)
		}
	}
	return m
}

// converts is the stop that ends a job's conversion; nil: it is not in the plan.
func converts(job *week.Job, at map[string]*planned, begun map[string]int64) *planned {
	var last *planned
	must := func(v week.Visit) bool { return !v.MayOwe }
	all := !slices.ContainsFunc(job.Visits, must)
	for i := range job.Visits {
		v := &job.Visits[i]
		if v.MayOwe && !all {
			continue
		}
		s := at[v.ID]
		if x, ok := begun[v.ID]; ok && s == nil {
			s = &planned{start: x}
		}
		if s == nil {
			return nil
		}
		if last == nil || s.start > last.start {
			last = s
		}
	}
	return last
}

// brokenBy is a promise that a plan does not keep; nil: it keeps it.
func brokenBy(pr *week.Promise, at map[string]*planned) *LatePromise {
	s := at[pr.Visit]
	switch {
	case s == nil:
		return &LatePromise{Promise: pr.ID, Visit: pr.Visit}
	case s.start < pr.From:
		by := s.start - pr.From
		return &LatePromise{Promise: pr.ID, Visit: pr.Visit, By: &by}
	case s.start > pr.To:
		by := s.start - pr.To
		return &LatePromise{Promise: pr.ID, Visit: pr.Visit, By: &by}
	}
	return nil
}
