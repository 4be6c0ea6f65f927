package odds

import (
	"fmt"

	"ebbline/dispatch/week"
)

// Life is one run in full: what happened to every planned visit and tour, by id.
type Life struct {
	Run    int         `json:"run"`
	Visits []LifeVisit `json:"visits"`
	Tours  []LifeTour  `json:"tours"`
	Calls  int64       `json:"calls"`
}

// LifeVisit is what happened to one visit; the instants of one that failed are 0, or its
// last arrival.
type LifeVisit struct {
	Visit  string `json:"visit"`
	Tour   string `json:"tour"`
	Failed bool   `json:"failed,omitempty"`
	Arrive int64  `json:"arrive"`
	Start  int64  `json:"start"`
	End    int64  `json:"end"`
	// Swapped says that it was made out of its order.
	Swapped bool `json:"swapped,omitempty"`
}

// LifeTour is when one crew came home.
type LifeTour struct {
	Tour   string `json:"tour"`
	Return int64  `json:"return"`
}

// Replay lives through one run alone, number run from 0: the same that [Simulate] counts.
func Replay(w *week.Week, p *week.Plan, ask Ask, run int) (*Life, error) {
	ask, err := ask.filled()
	if err != nil {
		return nil, err
	}
	if run < 0 || run >= ask.Runs {
		return nil, fmt.Errorf("odds: run: %d is not right; want 0 to %d", run, ask.Runs-1)
	}
	m, err := newModel(w, p, ask.Policy)
	if err != nil {
		return nil, err
	}
	l := newLife(m)
	l.live(runKey(ask.Seed, run))
	out := &Life{Run: run, Calls: l.calls}
	for i := range l.visits {
		a := &l.visits[i]
		out.Visits = append(out.Visits, LifeVisit{Visit: m.visits[i].id, Tour: m.tours[m.visits[i].tour].id, Failed: a.state != done,
			Arrive: a.arrive, Start: a.start, End: a.end, Swapped: a.swapped})
	}
	for i := range l.tours {
		out.Tours = append(out.Tours, LifeTour{Tour: m.tours[i].id, Return: l.tours[i].back})
	}
	return out, nil
}
