package dispatch_test

import (
	"context"
	"reflect"
	"strings"
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// Planted causes: each left-out job's reason names what was planted.
func TestWhyLeftOut(t *testing.T) {
	const hour = 3600
	small := func() *week.Week {
		w := weeks.Make(weeks.Shape{Seed: 3, Crews: 1, Days: 2, Jobs: 1, Plain: true})
		w.Jobs[0] = week.Job{ID: "planted", Value: 900000, DueDay: 1, Visits: []week.Visit{
			{ID: "v", Kind: "convert", Place: w.Places[len(w.Places)-1].ID, Seconds: 2 * hour, People: 1, Water: week.NeedNothing}}}
		return w
	}
	pool := func(w *week.Week, drain int64) {
		j := &w.Jobs[0]
		place := j.Visits[0].Place
		j.Visits = []week.Visit{{ID: "d", Kind: "drain", Place: place, Seconds: 1800, People: 1, Water: week.NeedNothing, DropsPump: true},
			{ID: "v", Kind: "convert", Place: place, Seconds: 2 * hour, People: 1, Water: week.NeedLow, CollectsPump: true}}
		after := func(s int64) week.Table { return week.Table{{X: 0, Y: s}, {X: 10 * 86400, Y: 10*86400 + s}} }
		j.Water = &week.Water{Way: week.WayPump, DrainVisit: "d", LowLate: after(drain), LowEarly: after(drain * 8 / 10), Covered: after(8 * hour),
			LowLimit: after(70 * hour)}
	}
	for _, c := range []struct {
		name  string
		plant func(w *week.Week)
		want  string
	}{
		{"no licensed person", func(w *week.Week) {
			w.Jobs[0].Visits[0].Skills = []string{"electric"}
			for i := range w.Tours {
				w.Tours[i].Skills = []string{"fibre"}
			}
		}, "No crew can do: electric"},
		{"drain too long", func(w *week.Week) { pool(w, 40*hour) }, "The drain cannot finish before a crew could start"},
		{"pump short", func(w *week.Week) {
			pool(w, 10*hour)
			w.Homes[0].Pumps = []int{0, 0}
		}, "No pump is free"},
		{"parts late", func(w *week.Week) {
			at := w.End
			w.Jobs[0].NotBefore = &at
		}, "Parts or papers come after the week"},
		{"too few people", func(w *week.Week) {
			w.Jobs[0].Visits[0].People = 9
		}, "No crew with enough people is free"},
		{"hours full", func(w *week.Week) {
			v := w.Jobs[0].Visits[0]
			v.Interruptible = true
			for d := range w.Days {
				long := week.Job{ID: "full" + w.Days[d].Date, Value: 90_000_000, DueDay: 0, Visits: []week.Visit{v}}
				long.Visits[0].ID, long.Visits[0].Seconds = long.ID, 8*hour+1800
				w.Jobs = append(w.Jobs, long)
			}
		}, "The crews' hours are full"},
		{"truck full", func(w *week.Week) {
			w.Jobs[0].Visits[0].Room = 31
			for i := range w.Tours {
				w.Tours[i].Room = 30
			}
		}, "No truck has room for its material"},
		{"closed", func(w *week.Week) {
			w.Closures = []week.Closure{{ID: "storm", All: true, From: 0, To: w.End}}
		}, "A closure is in the way"},
		{"not worth it", func(w *week.Week) { w.Jobs[0].Value = 0 }, "more than leaving it out"},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := small()
			c.plant(w)
			p := solved(t, w, dispatch.Options{Seed: 1, Rounds: 1})
			if len(p.LeftOut) != 1 || p.LeftOut[0].Job != "planted" {
				t.Fatalf("left out: %+v", p.LeftOut)
			}
			if why := strings.Join(p.LeftOut[0].Why, "\n"); !strings.Contains(why, c.want) {
				t.Errorf("reasons:\n%s\nwant %q", why, c.want)
			} else {
				t.Log(why)
			}
			r, err := dispatch.WhyOut(context.Background(), w, p, "planted")
			if err != nil || !r.Looked || !reflect.DeepEqual(r.Reasons, p.LeftOut[0].Reasons) {
				t.Errorf("asked by itself: %+v (%v), with the plan %+v", r, err, p.LeftOut[0].Reasons)
			}
			for _, x := range r.Reasons {
				t.Log(x.Customer)
				if x.Customer == "" || strings.Contains(x.Customer, "crew00") || strings.Contains(x.Customer, "$") || len(x.Facts) == 0 && c.name != "not worth it" {
					t.Errorf("to the customer: %q", x.Customer)
				}
			}
		})
	}
}
