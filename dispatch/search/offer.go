package search

import (
	"slices"

	"ebbline/dispatch/week"
)

// OfferAsk asks for arrival windows of a job that is not in the plan.
type OfferAsk struct {
	Job, Visit  int // Visit is whose arrival is offered
	Most        int
	Width, Step int64 // seconds; a step is no longer than the width
}

// Window is an arrival window with what the plan costs more.
type Window struct {
	From, To, Start int64
	Tour            int
	Delta           week.Cost
	Stops           []Moved
	Told            *week.Interval
	spots           []spot
}

// Offers are the cheapest different windows, the one with the earliest arrival at all, and
// what holds that, or the job.
type Offers struct {
	Windows  []Window
	Earliest *Window
	Holds    string  // in words, if there is a window
	Limits   []Limit // if there is none
	// Whole says that all chains of visits were looked at that can be cheap enough.
	Whole bool
}

// How much of a very large week is looked at for one offer.
const (
	offerPlaces = 3000    // chains timed
	offerNodes  = 400_000 // beginnings of chains
)

// offerer looks for chains of spots of one job. A chain is timed and priced only if what it
// costs at the least ([offerer.gapCost] and what the instants cost) may be cheap enough.
type offerer struct {
	a      *Warm
	st     *state
	in     *inserter
	q      OfferAsk
	j      int32
	visits []int32
	gaps   [][]offerGap
	rest   []int64 // by visit: what those behind it cost at the least
	base   int64   // money units that leaving the job out costs, and what is saved at the most
	best   map[[2]int64]*Window
	worth  int64 // money units above which nothing is worth while
	soon   int64 // looking for the earliest: the best arrival so far
	early  *Window
	places int
	nodes  int
	fast   int64 // greatest permille of the speed
	all    bool  // no bounds, for tests
}

// offerGap is a position on a tour for one visit.
type offerGap struct {
	tour, pos int32
	lo, hi    int64 // least and latest start there
	cost      int64 // least cost
}

// Offer finds arrival windows.
func (a *Warm) Offer(q OfferAsk) Offers { return a.offer(q, false) }

func (a *Warm) offer(q OfferAsk, all bool) Offers {
	o := &offerer{a: a, st: a.fresh, in: a.finder, q: q, j: int32(q.Job), best: map[[2]int64]*Window{}, worth: never, soon: never, all: all}
	o.st.copyWith(a.base, a.m)
	o.st.moved[o.j] = false
	a.heads0.of(o.st)
	jb := &a.m.jobs[o.j]
	for v := jb.first; v < jb.first+jb.n; v++ {
		if !a.m.visits[v].fixed {
			o.visits = append(o.visits, v)
		}
	}
	o.fast = 1000
	for i := range a.m.travel.periods {
		o.fast = max(o.fast, a.m.travel.periods[i].Permille)
	}
	root, ok := o.in.root(o.st, o.j)
	if !ok || len(o.visits) == 0 {
		return Offers{Limits: a.noOffer(q.Job), Whole: true}
	}
	o.layOut()
	if !all {
		o.firstFew()
	}
	whole := o.cheapest(&root, 0)
	o.places, o.nodes = 0, 0
	whole = o.earliest(&root, 0) && whole
	r := Offers{Windows: o.chosen(), Earliest: o.early, Whole: whole}
	if o.early == nil {
		r.Limits = a.noOffer(q.Job)
		return r
	}
	r.Holds = o.holds(o.early)
	return r
}

// noOffer says what keeps a job out that no window can be offered for.
func (a *Warm) noOffer(j int) []Limit {
	t := a.JobIn(j)
	if t.Fits {
		return []Limit{{Rule: RulePromise, Visit: -1, Tour: -1, Job: j, Unit: inSeconds}}
	}
	return t.Limits
}

// firstFew times what the beam finds, so that what is worth while is known early.
func (o *offerer) firstFew() {
	in := o.a.wide
	in.stamp++
	in.chains(o.st, o.j)
	list := slices.Clone(in.have)
	for i := range list {
		o.weigh(list[i].spots[:list[i].n])
	}
}
