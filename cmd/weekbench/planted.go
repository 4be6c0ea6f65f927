package main

import (
	"fmt"

	"ebbline/dispatch/check"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// plantedWeek makes a week around a hidden plan, and has the checker test and price that
// plan. The search never sees it.
func plantedWeek(s weeks.Shape) (*week.Week, int64, error) {
	w, p := weeks.Planted(s)
	if err := w.Validate(); err != nil {
		return nil, 0, err
	}
	p.Cost = check.Plan(w, p).Cost
	if r := check.Plan(w, p); !r.OK() {
		return nil, 0, fmt.Errorf("the planted plan of seed %d breaks %d rules, first: %s", s.Seed, len(r.Broken), r.Broken[0].Text)
	}
	return w, p.Cost.Total, nil
}
