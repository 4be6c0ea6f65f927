package dispatch_test

import (
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// A visit that is to take longer is as uncertain as before around its new length; the
// spreads of a pool are those of its new tables.
func TestChangedLengthsKeepTheirSpread(t *testing.T) {
	w := weeks.Make(weeks.Shape{Seed: 1, Crews: 3, Days: 3, Load: weeks.Calm})
	v := &w.Jobs[0].Visits[0]
	pool := 0
	for w.Jobs[pool].Water == nil || w.Jobs[pool].Water.Way == week.WayWindow {
		pool++
	}
	given := *w.Jobs[pool].Water
	given.DrainMedian, given.DrainLogSD, given.FillMedian, given.FillLogSD = given.DrainMedian+600, 170, 0, 0
	x, err := dispatch.Apply(w, dispatch.Change{Kind: dispatch.ChangeLonger, Visit: v.ID, Seconds: 2 * v.Seconds},
		dispatch.Change{Kind: dispatch.ChangeWater, Job: w.Jobs[pool].ID, New: &dispatch.NewJob{Job: week.Job{Water: &given}}})
	if err != nil {
		t.Fatal(err)
	}
	if err := x.Validate(); err != nil {
		t.Fatal(err)
	}
	if got := x.Jobs[0].Visits[0]; got.MedianSeconds != 2*v.MedianSeconds || got.LogSD != v.LogSD || v.MedianSeconds == 0 {
		t.Errorf("twice as long: %+v, was %+v", got, *v)
	}
	if got := x.Jobs[pool].Water; got.DrainMedian != given.DrainMedian || got.DrainLogSD != 170 || got.FillMedian != 0 || got.FillLogSD != 0 {
		t.Errorf("new tables: %+v", got)
	}
}
