package dispatch_test

import (
	"os"
	"testing"

	"ebbline/dispatch"
)

// The places of a visit are those that trying every position of every tour by itself finds,
// with the same costs by heads, in the order of their costs.
func TestPlacesAreAllThatFit(t *testing.T) {
	seeds, most := uint64(1), 8
	if os.Getenv("EBBLINE_LONG") != "" {
		seeds, most = 6, 40
	}
	ws, ps := askWeeks(t, seeds)
	all, linked := 0, 0
	for n, w := range ws {
		a, c := asked(t, w, ps[n]), newChanger(w, ps[n], uint64(n))
		for range most {
			v := pick(c.r, c.visits)
			got, err := a.Places(v)
			if err != nil {
				t.Fatal(err)
			}
			type key struct{ tour, after string }
			have := map[key]dispatch.Spot{}
			for i, s := range got {
				have[key{s.Tour, s.After}] = s
				if i > 0 && s.Delta.Total < got[i-1].Delta.Total {
					t.Errorf("week %d: %s: spot %d is cheaper than the one before it", n, v, i)
				}
			}
			if len(have) != len(got) {
				t.Errorf("week %d: %s: a spot is there twice", n, v)
			}
			for i := range w.Tours {
				tour := &w.Tours[i]
				if tour.Begun != nil && tour.Begun.Returned != nil {
					continue
				}
				for k := -1; k < len(c.stops[tour.ID]); k++ {
					after := ""
					if k >= 0 {
						after = c.stops[tour.ID][k]
					}
					if after == v {
						continue
					}
					x, err := a.Try(dispatch.Change{Kind: dispatch.ChangeVisit, Visit: v, Tour: tour.ID, After: &after})
					if err != nil {
						t.Fatal(err)
					}
					s, ok := have[key{tour.ID, after}]
					if ok != x.Fits {
						t.Errorf("week %d: %s on %s after %q: listed %v, tried %v %v", n, v, tour.ID, after, ok, x.Fits, x.Limits)
						continue
					}
					if !ok {
						continue
					}
					delete(have, key{tour.ID, after})
					all++
					if len(x.Moved) > 1 {
						linked++
					}
					want := x.After
					for _, h := range [][2]*int64{{&want.Driving, &x.Before.Driving}, {&want.PaidTime, &x.Before.PaidTime}, {&want.Overtime, &x.Before.Overtime},
						{&want.Waiting, &x.Before.Waiting}, {&want.Late, &x.Before.Late}, {&want.LeftOut, &x.Before.LeftOut}, {&want.Promises, &x.Before.Promises},
						{&want.ToldAnew, &x.Before.ToldAnew}, {&want.Low, &x.Before.Low}, {&want.Owed, &x.Before.Owed}, {&want.RuleBreaks, &x.Before.RuleBreaks}, {&want.Total, &x.Before.Total}} {
						*h[0] -= *h[1]
					}
					if s.Delta != want {
						t.Errorf("week %d: %s on %s after %q: %+v, tried %+v", n, v, tour.ID, after, s.Delta, want)
					}
				}
			}
			if len(have) > 0 {
				t.Errorf("week %d: %s: %d spots that trying did not find", n, v, len(have))
			}
		}
	}
	if t.Logf("%d places, %d of them with other visits moved", all, linked); all < 50 {
		t.Errorf("only %d places", all)
	}
}
