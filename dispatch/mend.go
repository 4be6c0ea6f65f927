package dispatch

import (
	"context"
	"errors"

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
	// Changes that are made to the week before it is planned (see [Apply]); may be none.
	Changes []Change
	// Early are the ids of jobs whose customers can come early: the standby list, in the
	// order in which they are asked.
	Early []string
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

// Mend plans a week anew after something has happened.
func Mend(ctx context.Context, ask MendAsk) (*Mended, error) {
	return nil, errors.New("mending is being built")
}
