// Package search looks for a cheap plan of a week (see package week for what a
// plan is and what its rules mean).
//
// A state is a list of visits for every tour, and the least times that all rules
// allow for these lists. Every rule on instants has the form x >= f(y), so the
// least times are found by raising what is too early until nothing is
// ([state.propagate]). From them each tour slides right as far as its return and
// everybody else's least times allow ([state.settle]): departures become late,
// drains become late, and the result still keeps every rule, because each x >= f(y)
// held for the least x. What this costs is exact, in the checker's own units.
//
// The plan that a run gives back is timed once more ([state.polish]): a later return, or
// an earlier departure, may be worth what it costs where a pool lies low.
//
// A move takes whole jobs out and puts whole jobs back (ruin and recreate). A job's
// visits find their positions by a beam over the chain with cheap estimates; the
// best few combinations are tried exactly. A step costs what it touches, not what the
// week holds: a removal lets fall only what it can have held up ([state.lower]), a step
// that is not kept is undone tour by tour and job by job ([state.take]), and where very
// many tours could make a visit only the nearest with room are looked at.
//
// A search may begin at a plan that no longer fits its week ([loadLoose]): what is dearest
// to leave out is kept. [Roll] times a plan anew and always finds times, whatever breaks.
// Why a job is left out is asked of a week in which facts are granted ([granting]); whether
// the job then fits is decided by every combination of gaps that its own rules leave
// ([fitter]), so that a fact that is named is needed.
//
// Nothing here reads a clock or a global random source: the result depends on the
// week, the seed, the strands and the rounds only, unless the context ended before the
// first plan was whole (rounds 0).
package search
