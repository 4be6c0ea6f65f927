package search

import (
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
// crews and pumps as if there were one more. Of very large weeks only the first few jobs
// left out are looked into (see [whyMost]); the others have no entry.
func Why(w *week.Week, p *week.Plan) map[string][]Fit {
	out := map[string][]Fit{}
	m := compile(w)
	st, err := load(m, p)
	if err != nil {
		return out
	}
	in := newInserter(nil, 48, 60)
	in.all = true
	in.perDay = 5
	most := whyMost(w)
	for j := range w.Jobs {
		if st.in[j] {
			continue
		}
		if most--; most < 0 {
			break
		}
		if f, ok := in.fit(st, int32(j)); ok {
			out[w.Jobs[j].ID] = []Fit{f}
			continue
		}
		out[w.Jobs[j].ID] = whyNot(w, m, p, j)
	}
	return out
}

// whyMost is how many jobs left out are looked into: looking takes longer the larger
// the week is, and a plan is waited for.
func whyMost(w *week.Week) int { return max(2, 3_000_000/max(1, len(w.Jobs)*len(w.Jobs))) }

// pairsUpTo is the largest week, in jobs, of which pairs of facts are granted: each is a
// week of its own to lay out.
const pairsUpTo = 400

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

// whyNot grants facts to a job that does not fit.
func whyNot(w *week.Week, m *model, p *week.Plan, j int) []Fit {
	var fits []Fit
	in := newInserter(nil, 24, 24)
	in.all = true
	try := func(set ...Fact) {
		x, changed := granted(w, j, set)
		if !changed {
			return
		}
		st, err := load(compileLike(x, m), p)
		if err != nil {
			return
		}
		if f, ok := in.fit(st, int32(j)); ok {
			f.Facts = set
			fits = append(fits, f)
		}
	}
	for _, f := range facts {
		try(f)
	}
	if len(fits) == 0 && len(w.Jobs) <= pairsUpTo {
		for i, f := range facts {
			for _, g := range facts[i+1:] {
				if len(fits) < 3 {
					try(f, g)
				}
			}
		}
	}
	return fits[:min(len(fits), 3)]
}

// compileLike compiles a week with the places of another, without measuring anew.
func compileLike(w *week.Week, m *model) *model { return compileWith(w, &m.travel, m.jobs) }
