package dispatch

import (
	"context"
	"errors"

	"ebbline/dispatch/odds"
	"ebbline/dispatch/week"
)

// KeepAsk asks for a plan whose promises are kept with a wanted chance.
type KeepAsk struct {
	// Permille is the wanted chance of each promise, 1 to 999.
	Permille int64
	// Pools wants each pool low at its crew's arrival with that chance, too.
	Pools bool
	// Steps is how often the search may be run anew; 0: 6.
	Steps int
	// Odds says how plans are tried: seed, runs, policy, cores.
	Odds odds.Ask
}

// Kept is the cheapest plan found that is as sure as was asked for, or the surest one.
type Kept struct {
	// Plan has passed the checker of the week as it was given.
	Plan *week.Plan
	// Odds of it under a fresh seed, that no choice was made by.
	Odds *odds.Odds
	// Reached says that by those odds no promise (and pool, if asked for) falls short of
	// the wanted chance by more than two standard errors.
	Reached bool
	// Least is the smallest share in permille, 1000 if there is none to keep.
	Least int64
	// Promises and Pools (jobs) that fall short so.
	Promises []string
	Pools    []string
	Steps    []KeepStep
}

// KeepStep is one plan on the way.
type KeepStep struct {
	// Cost of it by heads, in the week as it was given.
	Cost week.Cost
	// Least share in permille, and how many promises and pools fell short.
	Least int64
	Short int
	// Margin is the sum of the seconds that were kept free before promises and after
	// drains.
	Margin int64
}

// SolveFor searches for the cheapest plan whose promises are kept with a wanted chance.
func SolveFor(ctx context.Context, w *week.Week, o Options, ask KeepAsk) (*Kept, error) {
	return nil, errors.New("dispatch: not built yet")
}
