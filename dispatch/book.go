package dispatch

import (
	"fmt"

	"ebbline/dispatch/check"
	"ebbline/dispatch/search"
	"ebbline/dispatch/week"
)

// Book gives the week with a window promised and its job in it, and the plan that makes it
// so, which has passed the checker. The ask is what was offered, the window one of its
// answers. The promise's id is the visit's with "-promise" behind it. A window that no
// longer fits is a [NotFittingError].
func (a *Warm) Book(ask OfferAsk, win Window) (*week.Week, *week.Plan, error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	s, q, err := a.offerOf(&ask)
	if err != nil {
		return nil, nil, err
	}
	var stops []search.Moved
	for i, m := range win.Stops {
		v, ok := s.VisitNo(m.Visit)
		if !ok || s.JobOf(v) != q.Job {
			return nil, nil, fault(fmt.Sprintf("window.stops[%d].visit", i), m.Visit, "a visit of the job")
		}
		x := search.Moved{Visit: v, Tour: -1, Start: m.Start}
		if m.Tour != "" {
			t, ok := s.TourNo(m.Tour)
			if !ok {
				return nil, nil, fault(fmt.Sprintf("window.stops[%d].tour", i), m.Tour, "the id of a tour of the week")
			}
			x.Tour = t
		}
		stops = append(stops, x)
	}
	t := s.Book(q, stops)
	if !t.Fits {
		return nil, nil, &NotFittingError{}
	}
	w := *s.Given()
	j, n := s.VisitAt(q.Visit)
	visit := w.Jobs[j].Visits[n].ID
	w.Promises = append(w.Promises[:len(w.Promises):len(w.Promises)], week.Promise{ID: visit + "-promise", Visit: visit, From: win.From, To: win.To})
	if err := w.Validate(); err != nil {
		return nil, nil, err
	}
	p, err := s.Plan(&t, &w)
	if err != nil {
		return nil, nil, err
	}
	if r := check.Plan(&w, p); !r.OK() {
		return nil, nil, &RefusedError{Broken: r.Broken}
	}
	return &w, p, nil
}
