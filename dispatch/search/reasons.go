package search

import (
	"context"
	"sort"

	"ebbline/dispatch/week"
)

// Fact is a kind of fact that may keep a job out.
type Fact string

// The kinds of facts.
const (
	FactSkill      Fact = "skill"            // a skill that few or no crews have
	FactPeople     Fact = "people"           // crews with so many people
	FactHours      Fact = "crew_hours"       // the crews' hours are full
	FactPumps      Fact = "pumps"            // pumps in stock or on the truck, room for material on it
	FactDrain      Fact = "drain_time"       // the time that draining takes
	FactLowLimit   Fact = "low_limit"        // how long the pool may stay low
	FactNotBefore  Fact = "not_before"       // parts, permit: not before
	FactAllowed    Fact = "allowed_hours"    // hours in which visits may start, and not after
	FactClosure    Fact = "closure"          // storms and shut places
	FactNotice     Fact = "customer_notice"  // hours and lead of the customer's drain
	FactCommission Fact = "commission_limit" // limits between the job's visits
	FactPins       Fact = "pins"             // what the dispatcher fixed
)

var facts = []Fact{FactSkill, FactPeople, FactPumps, FactDrain, FactNotBefore, FactLowLimit, FactNotice,
	FactAllowed, FactClosure, FactCommission, FactPins, FactHours}

// Fit is where a job would go and what the plan's cost would change by.
type Fit struct {
	// Facts that would have to be granted; none: it fits as things are.
	Facts []Fact
	// Tour and Start are of the visit that ends the conversion.
	Tour       string
	Start      int64
	DeltaCents int64 // against leaving the job out
}

// Why finds for each job that p leaves out how it fits into p with all other jobs'
// tours and orders kept, or which facts keep it out: up to three smallest sets of one
// or two facts with which it fits. Facts are granted for that job only, or for the
// crews and pumps as if there were one more. The dearest jobs come first; those that are
// not looked into before ctx ends, or past the first few of a very large week (see
// [whyMost]), have no entry.
func Why(ctx context.Context, w *week.Week, p *week.Plan) map[string][]Fit {
	out := map[string][]Fit{}
	if ctx.Err() != nil {
		return out
	}
	g := &granting{w: w, p: p, in: newInserter(nil, 24, 24)}
	g.in.all = true
	plain := g.with(false, false)
	if plain == nil {
		return out
	}
	in := newInserter(nil, 48, 60)
	in.all = true
	in.perDay = 5
	order := append([]int32(nil), plain.absent...)
	sort.Slice(order, func(a, b int) bool {
		x, y := plain.m.leftOutPrice(order[a]), plain.m.leftOutPrice(order[b])
		return x > y || x == y && order[a] < order[b]
	})
	for _, j := range order[:min(len(order), whyMost(w))] {
		if ctx.Err() != nil {
			break
		}
		if f, ok := in.fit(plain, j); ok {
			out[w.Jobs[j].ID] = []Fit{f}
		} else if fits := g.whyNot(ctx, int(j)); ctx.Err() == nil {
			out[w.Jobs[j].ID] = fits
		}
	}
	return out
}

// whyMost is how many jobs left out are looked into: looking takes longer the larger
// the week is, and a plan is waited for.
func whyMost(w *week.Week) int { return max(20, 200_000/max(1, len(w.Jobs))) }

// fit tries a job where it fits best.
func (in *inserter) fit(st *state, j int32) (Fit, bool) {
	spots, delta, moved, ok := in.find(st, j)
	if !ok {
		return Fit{}, false
	}
	st.moved[j] = moved
	mark, ok := st.place(j, spots)
	if !ok {
		return Fit{}, false
	}
	f := Fit{DeltaCents: delta / week.MoneyUnit}
	if t := st.tourOf[st.m.jobs[j].conv]; t >= 0 {
		f.Tour, f.Start = st.m.w.Tours[t].ID, st.ss[st.m.jobs[j].conv]
	}
	st.unplace(j, spots, mark)
	st.moved[j] = false
	return f, true
}

// whyNot grants facts to a job that does not fit: each alone, then pairs until three fit.
// If ctx ends it returns what it has.
func (g *granting) whyNot(ctx context.Context, j int) []Fit {
	var fits []Fit
	try := func(set ...Fact) {
		if f, ok := g.try(j, set); ok {
			f.Facts = set
			fits = append(fits, f)
		}
	}
	for _, f := range facts {
		try(f)
	}
	if len(fits) > 0 {
		return fits[:min(len(fits), 3)]
	}
	for i, f := range facts {
		for _, h := range facts[i+1:] {
			if len(fits) < 3 && ctx.Err() == nil {
				try(f, h)
			}
		}
	}
	return fits
}
