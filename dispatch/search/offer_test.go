package search

import (
	"context"
	"fmt"
	"os"
	"slices"
	"testing"

	"ebbline/dispatch/weeks"
)

// The windows of an offer are those that timing every chain of positions finds, without any
// bound, and so is the earliest arrival.
func TestOffersAreTheCheapestThereAre(t *testing.T) {
	seeds := uint64(4)
	if os.Getenv("EBBLINE_LONG") != "" {
		seeds = 40
	}
	asked, offered, chains := 0, 0, 0
	for seed := range seeds {
		w := weeks.Make(weeks.Shape{Seed: seed, Crews: 2, Days: 3 + int(seed%2), Load: weeks.Over})
		if seed%2 == 1 {
			w = weeks.Make(weeks.Shape{Seed: seed, Crews: 2, Days: 3, Jobs: 14})
		}
		p, err := Run(context.Background(), w, Options{Seed: 1, Strands: 1, Rounds: 1}, nil)
		if err != nil {
			t.Fatal(err)
		}
		a, err := NewWarm(w, p)
		if err != nil {
			t.Fatal(err)
		}
		for n, l := range slices.Concat(leftOut(a), placedJobs(a)) {
			if n > 12 || len(w.Jobs[l].Visits) > 3 {
				continue
			}
			b := a
			if a.base.in[l] {
				b = a.dropped(int32(l))
			}
			visit := int(a.m.jobs[l].conv)
			q := OfferAsk{Job: l, Visit: visit, Most: 5, Width: 7200, Step: 1800}
			got := b.Offer(q)
			want, early, tried := b.everyChain(q)
			asked++
			offered += len(want)
			chains += tried
			if !got.Whole {
				t.Errorf("seed %d job %d: not all looked at", seed, l)
			}
			if len(got.Windows) != len(want) {
				t.Errorf("seed %d job %d: %d windows, want %d", seed, l, len(got.Windows), len(want))
				continue
			}
			for i := range want {
				if x, y := got.Windows[i], want[i]; x.Delta != y.Delta || x.From != y.From || x.Tour != y.Tour {
					t.Errorf("seed %d job %d window %d: %s, want %s", seed, l, i, shown(&x), shown(&y))
				}
			}
			if (early == nil) != (got.Earliest == nil) || early != nil && early.Start != got.Earliest.Start {
				t.Errorf("seed %d job %d: earliest %s, want %s", seed, l, shown(got.Earliest), shown(early))
			}
			if got.Earliest != nil && got.Holds == "" || got.Earliest == nil && len(got.Limits) == 0 {
				t.Errorf("seed %d job %d: nothing holds it", seed, l)
			}
		}
	}
	t.Logf("%d jobs, %d windows, %d chains timed", asked, offered, chains)
	if asked < 12 || offered < 20 {
		t.Errorf("only %d jobs with %d windows", asked, offered)
	}
}

func shown(w *Window) string {
	if w == nil {
		return "none"
	}
	return fmt.Sprintf("%d-%d on %d for %d, %v", w.From, w.To, w.Tour, w.Delta.Total, w.spots)
}

func leftOut(a *Warm) (jobs []int) {
	for j := range a.m.jobs {
		if !a.base.in[j] {
			jobs = append(jobs, j)
		}
	}
	return jobs
}

func placedJobs(a *Warm) (jobs []int) {
	for j := range a.m.jobs {
		if a.base.in[j] && !a.m.jobs[j].must {
			jobs = append(jobs, j)
		}
	}
	return jobs
}

// dropped is the plan without a job.
func (a *Warm) dropped(j int32) *Warm {
	st := a.base.clone()
	st.remove(j)
	st.recount()
	st.rebuild()
	b, err := newWarm(a.m, st.plan())
	if err != nil {
		panic(err)
	}
	return b
}

// everyChain times every chain of positions of a job.
func (a *Warm) everyChain(q OfferAsk) (windows []Window, early *Window, tried int) {
	o := &offerer{a: a, st: a.fresh, in: a.finder, q: q, j: int32(q.Job), best: map[[2]int64]*Window{}, worth: never, soon: never}
	o.st.copyWith(a.base, a.m)
	o.st.moved[o.j] = false
	a.heads0.of(o.st)
	m, jb := a.m, &a.m.jobs[o.j]
	var spots []spot
	var deeper func(v int32)
	deeper = func(v int32) {
		if v == jb.first+jb.n {
			tried++
			o.weigh(spots)
			return
		}
		owes := len(spots) > 0 && spots[len(spots)-1].tour < 0
		if m.visits[v].owedFloor {
			spots = append(spots, spot{v, -1, 0})
			deeper(v + 1)
			spots = spots[:len(spots)-1]
		}
		if owes {
			return
		}
		for t := range m.tours {
			if len(a.static(m, v, int32(t))) > 0 || m.tours[t].returned {
				continue
			}
			first, last := o.st.mayTake(v, int32(t))
			for pos := first; pos <= last; pos++ {
				if slices.ContainsFunc(spots, func(s spot) bool { return s.tour == int32(t) && s.pos > pos }) {
					continue
				}
				spots = append(spots, spot{v, int32(t), pos})
				deeper(v + 1)
				spots = spots[:len(spots)-1]
			}
		}
	}
	deeper(jb.first)
	return o.chosen(), o.early, tried
}
