package odds

import (
	"errors"

	"ebbline/dispatch/week"
)

// Simulate lives through a plan of a valid week as often as was asked.
func Simulate(w *week.Week, p *week.Plan, ask Ask) (*Odds, error) {
	return nil, errors.New("odds: not built yet")
}

// Life is one run in full: what happened to every planned visit and tour.
type Life struct {
	Run    int         `json:"run"`
	Visits []LifeVisit `json:"visits"`
	Tours  []LifeTour  `json:"tours"`
	Calls  int64       `json:"calls"`
}

// LifeVisit is what happened to one visit.
type LifeVisit struct {
	Visit  string `json:"visit"`
	Tour   string `json:"tour"`
	Failed bool   `json:"failed,omitempty"`
	Arrive int64  `json:"arrive"`
	Start  int64  `json:"start"`
	End    int64  `json:"end"`
}

// LifeTour is when one crew came home.
type LifeTour struct {
	Tour   string `json:"tour"`
	Return int64  `json:"return"`
}

// Replay lives through one run alone, number run from 0: the same that Simulate counts.
func Replay(w *week.Week, p *week.Plan, ask Ask, run int) (*Life, error) {
	return nil, errors.New("odds: not built yet")
}
