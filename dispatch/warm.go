package dispatch

import (
	"errors"

	"ebbline/dispatch/week"
)

// Warm is a plan of a week laid out once for questions: [Warm.Try], [Warm.Places],
// [Warm.Offer]. It keeps the week and the plan, which must not be changed while it is used,
// and is as it was after every question. It may be used by several goroutines at once; they
// are answered one after the other.
type Warm struct {
	w *week.Week
	p *week.Plan
}

var errNotYet = errors.New("not answered yet")

// NewWarm lays out a valid week and a plan of it. An error says what of the plan is not of
// this week.
func NewWarm(w *week.Week, p *week.Plan) (*Warm, error) { return &Warm{w: w, p: p}, nil }

// Try says what a change would do, with all other tours and orders kept and everything
// timed anew. An error is about the question itself: it names the field, its value and what
// would be right.
func (a *Warm) Try(c Change) (Tried, error) { return Tried{}, errNotYet }

// TryPlan gives the changed week and the plan that [Warm.Try] speaks of.
func (a *Warm) TryPlan(c Change) (*week.Week, *week.Plan, error) { return nil, nil, errNotYet }

// Places are all spots for a visit of the plan that has not begun, cheapest first.
func (a *Warm) Places(visit string) ([]Spot, error) { return nil, errNotYet }

// Offer gives the cheapest arrival windows for a job that is not in the plan.
func (a *Warm) Offer(ask OfferAsk) (Offers, error) { return Offers{}, errNotYet }
