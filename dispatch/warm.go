package dispatch

import (
	"sync"

	"ebbline/dispatch/check"
	"ebbline/dispatch/search"
	"ebbline/dispatch/week"
)

// Warm is a plan of a week laid out once for questions: [Warm.Try], [Warm.Places],
// [Warm.Offer]. It keeps the week and the plan, which must not be changed while it is used,
// and is as it was after every question. It may be used by several goroutines at once; they
// are answered one after the other.
type Warm struct {
	mu   sync.Mutex
	w    *week.Week
	p    *week.Plan
	s    *search.Warm
	ix   *week.Index
	said *speaker
}

// NewWarm lays out a valid week and a plan of it. An error says what of the plan is not of
// this week.
func NewWarm(w *week.Week, p *week.Plan) (*Warm, error) {
	s, err := search.NewWarm(w, p)
	if err != nil {
		return nil, err
	}
	a := &Warm{w: w, p: p, s: s, ix: week.NewIndex(w)}
	a.said = &speaker{w: w}
	return a, nil
}

// Try says what a change would do, with all other tours and orders kept and everything
// timed anew. An error is about the question itself: it names the field, its value and what
// would be right.
//
// Before is the plan's own cost timed as the answer is, so that the difference is the
// change's; a finished plan had its times polished and may cost a little less.
func (a *Warm) Try(c Change) (Tried, error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	t, s, _, err := a.try(&c)
	if err != nil {
		return Tried{}, err
	}
	return a.tried(t, s), nil
}

// TryPlan gives the changed week and the plan that [Warm.Try] speaks of; it has passed the
// checker. A change that does not fit is a [NotFittingError].
func (a *Warm) TryPlan(c Change) (*week.Week, *week.Plan, error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	t, s, w, err := a.try(&c)
	if err != nil {
		return nil, nil, err
	}
	if !t.Fits {
		return nil, nil, &NotFittingError{Limits: a.tried(t, s).Limits}
	}
	if w == nil {
		x := *a.w
		w = &x
	}
	if err := w.Validate(); err != nil {
		return nil, nil, err
	}
	p, err := s.Plan(&t, w)
	if err != nil {
		return nil, nil, err
	}
	if r := check.Plan(w, p); !r.OK() {
		return nil, nil, &RefusedError{Broken: r.Broken}
	}
	return w, p, nil
}

// NotFittingError says that a change does not fit, and why.
type NotFittingError struct{ Limits []Limit }

func (e *NotFittingError) Error() string {
	if len(e.Limits) == 0 {
		return "the change does not fit"
	}
	return "the change does not fit: " + e.Limits[0].Text
}
