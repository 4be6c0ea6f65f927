package dispatch_test

import (
	"reflect"
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// A pool that is low already and can't be covered before its limit is converted all
// the same; the broken rule is named and priced. With time enough nothing is broken.
func TestBegunPoolPastItsLimit(t *testing.T) {
	const hour = 3600
	for _, c := range []struct {
		limit int64 // seconds that the pool may stay low
		want  []week.RuleBreak
	}{
		{5 * hour, []week.RuleBreak{{Rule: week.BreakLowLimit, Job: "low"}}},
		{60 * hour, []week.RuleBreak{}},
	} {
		w := weeks.Make(weeks.Shape{Seed: 3, Crews: 1, Days: 2, Jobs: 1, Plain: true})
		after := func(s int64) week.Table {
			return week.Table{{X: -86400, Y: -86400 + s}, {X: 10 * 86400, Y: 10*86400 + s}}
		}
		drained := int64(-6 * hour)
		w.Jobs[0] = week.Job{ID: "low", Value: 900000, DueDay: 1, Begun: true,
			Visits: []week.Visit{{ID: "v", Kind: "convert", Place: w.Places[len(w.Places)-1].ID, Seconds: 2 * hour, People: 1, Water: week.NeedLow}},
			Water:  &week.Water{Way: week.WayOutlet, DrainedAt: &drained, LowLate: after(8 * hour), LowEarly: after(5 * hour), Covered: after(6 * hour), LowLimit: after(c.limit)}}
		p := solved(t, w, dispatch.Options{Seed: 1, Rounds: 1})
		if !reflect.DeepEqual(p.RuleBreaks, c.want) {
			t.Errorf("limit %d h: breaks %+v, want %+v", c.limit/hour, p.RuleBreaks, c.want)
		}
		if want := int64(len(c.want)) * w.Rates.BreakLowLimitCents; p.Cost.RuleBreaks != want {
			t.Errorf("limit %d h: breaking rules costs %d, want %d", c.limit/hour, p.Cost.RuleBreaks, want)
		}
	}
}
