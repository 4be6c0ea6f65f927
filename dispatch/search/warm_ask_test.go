package search

import (
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"testing"

	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// Questions leave the state that was laid out byte for byte as it was, and its models too.
func TestWarmStaysAsItWas(t *testing.T) {
	w := weeks.Make(weeks.Shape{Seed: 3, Crews: 3, Days: 4, Jobs: 18})
	p, err := Run(context.Background(), w, Options{Seed: 1, Strands: 1, Rounds: 1}, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range []*week.Week{w, weeks.Later(w, p, 86400+11*3600+1)} {
		if p, err = Run(context.Background(), w, Options{Seed: 1, Strands: 1, Rounds: 1}, nil); err != nil {
			t.Fatal(err)
		}
		a, err := NewWarm(w, p)
		if err != nil {
			t.Fatal(err)
		}
		before, given := a.bytes(), written(t, w)
		r := rand.New(rand.NewPCG(1, 2))
		out := leftOut(a)
		fits := 0
		for n := range 3000 {
			v, tour := r.IntN(a.m.real), r.IntN(len(w.Tours))
			j := a.JobOf(v)
			switch open := a.Placed(j) && !a.Begun(v); {
			case n%50 == 0 && len(out) > 0:
				a.Offer(OfferAsk{Job: out[r.IntN(len(out))], Visit: int(a.m.jobs[out[0]].conv), Most: 5, Width: 7200, Step: 1800})
			case n%20 == 0 && open:
				a.Places(v)
			case n%7 == 0 && len(out) > 0:
				a.JobIn(out[r.IntN(len(out))])
			case n%3 == 0 && !a.m.tours[tour].returned:
				if a.Week(WeekAsk{Week: w, Home: []int{tour}, Gone: -1}).Fits {
					fits++
				}
			case n%3 == 1 && !a.m.jobs[j].must && a.Placed(j):
				if a.Week(WeekAsk{Week: w, Gone: j}).Fits {
					fits++
				}
			case open && !a.m.tours[tour].returned:
				if a.Visit(VisitAsk{Visit: v, Tour: tour, After: Anywhere}).Fits {
					fits++
				}
			}
		}
		if after := a.bytes(); after != before {
			t.Errorf("the state is another after 3000 questions:\n%s\n%s", before, after)
		}
		if written(t, w) != given {
			t.Error("the week is another after 3000 questions")
		}
		if fits < 300 {
			t.Errorf("only %d fit", fits)
		}
	}
}

// bytes is everything that answers depend on.
func (a *Warm) bytes() string {
	st := a.base
	lax := ""
	for t := range a.laxBase.tours {
		lax += fmt.Sprint(a.laxBase.tours[t].o, " ")
	}
	return fmt.Sprint(st.stops, st.lunch, st.in, st.tourOf, st.placed, st.owed, st.moved, st.off, st.ls, st.le, st.hold, st.s, st.e, st.dep, st.ret, st.ss, st.se,
		st.leave, st.back, st.tourCost, st.jobCost, st.total, st.room, st.load, st.loads, st.fresh, st.short, st.out, st.count, a.cost, lax)
}

func written(t *testing.T, w *week.Week) string {
	t.Helper()
	b, err := json.Marshal(w)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}
