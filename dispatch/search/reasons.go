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
	// Facts that would have to be granted, all of them and no fewer; none: it fits as things
	// are.
	Facts []Fact
	// Tour and Start are of the visit that ends the conversion; no tour: after the week.
	Tour       string
	Start      int64
	DeltaCents int64 // against leaving the job out
}

// whyReasons is how many sets of facts are looked for.
const whyReasons = 3

// Why finds for each job that p leaves out how it fits into p with all other jobs'
// tours and orders kept, or which facts keep it out: up to three smallest sets of facts
// with which it fits. Facts are granted for that job only, or for the crews and pumps as
// if there were one more of each. Only the jobs of the given ids are looked into; none:
// all. The dearest come first; those that are not looked into before ctx ends, or past
// the first few of a very large week (see [whyMost]), have no entry.
func Why(ctx context.Context, w *week.Week, p *week.Plan, ids ...string) map[string][]Fit {
	out := map[string][]Fit{}
	if ctx.Err() != nil {
		return out
	}
	g := newGranting(w, p)
	plain := g.with(false, false)
	if plain == nil {
		return out
	}
	asked := map[string]bool{}
	for _, id := range ids {
		asked[id] = true
	}
	var order []int32
	for _, j := range plain.held.absent {
		if len(ids) == 0 || asked[w.Jobs[j].ID] {
			order = append(order, j)
		}
	}
	sort.Slice(order, func(a, b int) bool {
		x, y := plain.m.leftOutPrice(order[a]), plain.m.leftOutPrice(order[b])
		return x > y || x == y && order[a] < order[b]
	})
	for _, j := range order[:min(len(order), whyMost(w))] {
		if ctx.Err() != nil {
			break
		}
		if fits := g.why(ctx, int(j)); ctx.Err() == nil {
			out[w.Jobs[j].ID] = fits
		}
	}
	return out
}

// whyMost is how many jobs left out are looked into: looking takes longer the larger
// the week is, and a plan is waited for.
func whyMost(w *week.Week) int { return max(20, 200_000/max(1, len(w.Jobs))) }

// why says how a job fits, or grants facts to it: first each alone; what then lets it in is
// a smallest set. The others are looked for among what is left, by granting all of it and
// taking one fact after the other away for good if the job fits without. Further sets lack
// one fact of each set that was found. If ctx ends it returns what it has.
func (g *granting) why(ctx context.Context, j int) []Fit {
	if at, ok := g.fits(j, nil); ok {
		return []Fit{g.fit(j, nil, at)}
	}
	a := &asking{g: g, ctx: ctx, j: j}
	for _, f := range facts {
		if _, binds := granted(g.w, j, []Fact{f}); binds {
			a.binding = append(a.binding, f)
		}
	}
	a.fails = append(a.fails, 0)
	rest := uint16(0)
	for i := range a.binding {
		if x := uint16(1) << i; !a.fits(x) {
			rest |= x
		} else if a.found = append(a.found, x); len(a.found) == whyReasons {
			break
		}
	}
	a.without(rest)
	var out []Fit
	for _, x := range a.found {
		if ctx.Err() != nil {
			break
		}
		set := a.set(x)
		if at, ok := g.fits(j, set); ok {
			out = append(out, g.fit(j, set, at))
		}
	}
	return out
}

// asking is the hunt for the smallest sets of facts that let one job in. A set is written
// as bits, in the order of binding.
type asking struct {
	g       *granting
	ctx     context.Context
	j       int
	binding []Fact // those that bind the job at all
	does    []uint16
	fails   []uint16
	found   []uint16
}

func (a *asking) set(x uint16) []Fact {
	var out []Fact
	for i, f := range a.binding {
		if x&(1<<i) != 0 {
			out = append(out, f)
		}
	}
	return out
}

// fits reports whether a set lets the job in. More never does less than less.
func (a *asking) fits(x uint16) bool {
	for _, y := range a.does {
		if y&^x == 0 {
			return true
		}
	}
	for _, y := range a.fails {
		if x&^y == 0 {
			return false
		}
	}
	if a.ctx.Err() != nil {
		return false
	}
	_, ok := a.g.fits(a.j, a.set(x))
	if ok {
		a.does = append(a.does, x)
	} else {
		a.fails = append(a.fails, x)
	}
	return ok
}

// without looks for sets among the facts of x until there are enough.
func (a *asking) without(x uint16) {
	if len(a.found) >= whyReasons || a.ctx.Err() != nil || !a.fits(x) {
		return
	}
	least := x
	for i := range a.binding {
		if b := uint16(1) << i; least&b != 0 && a.fits(least&^b) {
			least &^= b
		}
	}
	if a.ctx.Err() != nil {
		return
	}
	known := false
	for _, y := range a.found {
		known = known || y == least
	}
	if !known {
		a.found = append(a.found, least)
	}
	for i := range a.binding {
		if b := uint16(1) << i; least&b != 0 {
			a.without(x &^ b)
		}
	}
}

// fit is where a job goes at the least cost with a set of facts granted.
func (g *granting) fit(j int, set []Fact, at placed) Fit {
	f := Fit{Facts: set}
	g.cheapest(j, set, at).withPlaced(j, func(st *state) {
		f.DeltaCents = st.heads().Total - g.p.Cost.Total
		if conv := st.m.jobs[j].conv; st.tourOf[conv] >= 0 {
			f.Tour, f.Start = st.m.w.Tours[st.tourOf[conv]].ID, st.ss[conv]
		}
	})
	return f
}
