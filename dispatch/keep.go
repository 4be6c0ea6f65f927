package dispatch

import (
	"context"
	"errors"
	"fmt"

	"ebbline/dispatch/check"
	"ebbline/dispatch/odds"
	"ebbline/dispatch/search"
	"ebbline/dispatch/week"
)

// KeepAsk asks for a plan whose promises are kept with a wanted chance.
type KeepAsk struct {
	// Permille is the wanted chance of each promise, 1 to 999.
	Permille int64
	// Pools wants each pool low at its crew's arrival with that chance, too.
	Pools bool
	// Steps is how often the search may be run anew; 0: 8.
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
	// Least share in permille, and how many promises and pools fell short of the wish.
	Least int64
	Short int
	// Margin is the sum of the seconds that the search was asked to keep free before the
	// ends of promised windows and after drains.
	Margin int64
}

// SolveFor searches for the cheapest plan whose promises are kept with a wanted chance.
// It plans, lives through the plan ([odds.Simulate]), asks for as much room before each
// promise (and after each drain) as the lives say is lacking there, and searches on from
// the plan before; where room is there that nobody needs it is given back. Nothing but
// the search's wishes is changed: the plan keeps every rule of the week as it was given,
// and costs what it costs there. The wish may be out of reach: see [Kept.Reached].
//
// The options' rounds are of each step (0: 20), whose search begins with the best plan
// before it. A context that ends stops it; the best plan so far is kept.
func SolveFor(ctx context.Context, w *week.Week, o Options, ask KeepAsk) (*Kept, error) {
	if err := w.Validate(); err != nil {
		return nil, err
	}
	switch {
	case ask.Permille < 1 || ask.Permille > 999:
		return nil, fmt.Errorf("dispatch: the wanted chance %d is not right; want 1 to 999 permille", ask.Permille)
	case ask.Steps < 0 || ask.Steps > 100:
		return nil, fmt.Errorf("dispatch: %d steps is not right; want 0 (8) to 100", ask.Steps)
	}
	if o.Rounds == 0 { // a search until its context ends would leave nothing for the next
		o.Rounds = keepRounds
	}
	if ask.Steps == 0 {
		ask.Steps = 8
	}
	k := newKeeper(w, ask)
	if err := k.steps(ctx, o); err != nil {
		return nil, err
	}
	out := &Kept{Plan: k.best.plan, Steps: k.trail}
	fresh := k.ask.Odds
	fresh.Seed++ // streams of different seeds have nothing in common
	var err error
	if out.Odds, err = odds.Simulate(w, out.Plan, fresh); err != nil {
		return nil, err
	}
	out.Promises, out.Pools, out.Least = k.short(out.Odds, 2)
	out.Reached = len(out.Promises)+len(out.Pools) == 0
	if !o.NoReasons {
		Explain(ctx, w, out.Plan)
	}
	return out, nil
}

// keepRounds is the rounds of each step where none are stated.
const keepRounds = 20

// tried is a plan and what was found of it.
type tried struct {
	plan  *week.Plan
	short int // promises and pools below the wish
	least int64
}

// better: fewer that fall short, then the surer, then the cheaper; all that reach the
// wish are as sure.
func (t *tried) better(than *tried) bool {
	switch {
	case than == nil:
		return true
	case t.short != than.short:
		return t.short < than.short
	case t.short > 0 && t.least != than.least:
		return t.least > than.least
	}
	return t.plan.Cost.Total < than.plan.Cost.Total
}

// steps plans and lives in turn; the first plan is made without any wish.
func (k *keeper) steps(ctx context.Context, o Options) error {
	so := search.Options{Seed: o.Seed, Strands: o.Strands, Rounds: o.Rounds, Cores: o.Cores, Start: o.Start, Loose: true}
	for step := 0; step < k.ask.Steps && (step == 0 || ctx.Err() == nil); step++ {
		p, err := search.Run(ctx, k.wished(), so, o.Progress)
		if err != nil {
			return err
		}
		if p, err = k.restated(p); err != nil {
			return err
		}
		lives, err := odds.Simulate(k.w, p, k.ask.Odds)
		if err != nil {
			return err
		}
		if step == 0 && lives.NotKnown.Everything() {
			return errors.New("dispatch: how sure a plan is is not known yet: the week states no spread of anything")
		}
		promises, pools, least := k.short(lives, 0)
		t := &tried{plan: p, short: len(promises) + len(pools), least: least}
		k.trail = append(k.trail, KeepStep{Cost: p.Cost, Least: least, Short: t.short, Margin: k.margin()})
		if t.better(k.best) {
			k.best = t
		}
		if !k.learn(p, lives) {
			break
		}
		so.Start = k.best.plan // as far as it fits the next wishes
	}
	return nil
}

// restated is a plan of the wished week as one of the week as it was given: what it says
// beside its decisions is put right, and it is checked.
func (k *keeper) restated(p *week.Plan) (*week.Plan, error) {
	q := *p
	q.Water = nil
	for _, x := range p.Water {
		if by := k.drains[x.Job]; by > 0 && x.SurelyLow != nil {
			at := *x.SurelyLow - by
			x.SurelyLow = &at
		}
		q.Water = append(q.Water, x)
	}
	q.Cost = check.Plan(k.w, &q).Cost
	if r := check.Plan(k.w, &q); !r.OK() {
		return nil, &RefusedError{Broken: r.Broken}
	}
	return &q, nil
}
