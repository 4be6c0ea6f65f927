package search

import (
	"context"
	"fmt"
	"math/rand/v2"
	"reflect"
	"testing"

	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// decided is what must be the same again after a move was undone.
func decided(st *state) []any {
	return []any{st.stops, st.lunch, st.in, st.tourOf, st.placed, st.owed, st.ls, st.le, st.s, st.e, st.dep, st.ret, st.ss, st.se,
		st.leave, st.back, st.tourCost, st.jobCost, st.total, st.load, st.loads, st.fresh, st.out, st.count, st.room, st.tardy, st.worst}
}

// priced adds up the cost of a state from nothing.
func priced(st *state) int64 {
	sum := int64(0)
	for _, c := range st.tourCost {
		sum += c
	}
	worst := int64(0)
	for j, c := range st.jobCost {
		sum += c
		worst = max(worst, st.lateness(int32(j)))
	}
	return sum + worst*st.m.worstRate
}

// Random moves on rich weeks: what a move says it costs is what the whole plan then
// costs more, a move undone leaves no trace, and times found step by step are never
// earlier than, and as good as, those found from nothing.
func TestMovesEqualRecomputation(t *testing.T) {
	seeds, moves := 12, 400
	if testing.Short() {
		seeds = 3
	}
	same, all, lowSame, lowered := 0, 0, 0, 0
	for seed := range seeds {
		w := weeks.Make(weeks.Shape{Seed: uint64(seed), Crews: 4, Days: 4, Jobs: 24})
		if seed%2 == 1 {
			promised(w)
		}
		m := compile(w)
		st := newState(m)
		rng := rand.New(rand.NewPCG(uint64(seed), 1))
		in := newInserter(rng, 6, 3)
		for n := range moves {
			j := int32(rng.IntN(len(m.jobs)))
			if st.in[j] {
				st.remove(j)
				if !st.lower() {
					t.Fatalf("seed %d move %d: times do not fit after a job was taken out", seed, n)
				}
				if priced(st) != st.total {
					t.Fatalf("seed %d move %d: taken out it adds up to %d and says %d", seed, n, priced(st), st.total)
				}
				lowered++
				fresh := st.clone()
				if !fresh.rebuild() {
					t.Fatalf("seed %d move %d: from nothing the times do not fit", seed, n)
				}
				if leastAgree(st, fresh) {
					lowSame++
				} else {
					st.copyFrom(fresh)
				}
				continue
			}
			before := st.clone()
			spots, delta, moved, ok := in.find(st, j)
			st.moved[j] = false
			if !reflect.DeepEqual(decided(st), decided(before)) {
				t.Fatalf("seed %d move %d: looking for spots left a trace", seed, n)
			}
			if !ok {
				continue
			}
			st.moved[j] = moved
			if _, ok := st.place(j, spots); !ok {
				t.Fatalf("seed %d move %d: spots that were tried do not fit", seed, n)
			}
			if st.total-before.total != delta || priced(st) != st.total {
				t.Fatalf("seed %d move %d: said %d, costs %d more, adds up to %d and says %d", seed, n, delta, st.total-before.total, priced(st), st.total)
			}
			fresh := st.clone()
			if !fresh.rebuild() || priced(fresh) != fresh.total {
				t.Fatalf("seed %d move %d: from nothing the times do not fit or add up", seed, n)
			}
			all++
			if leastAgree(st, fresh) {
				same++
			} else {
				fresh.trail = fresh.trail[:0]
				st.copyFrom(fresh)
			}
			st.trail = st.trail[:0]
		}
	}
	if all == 0 || same < all*95/100 {
		t.Errorf("%d of %d moves give the same times step by step and from nothing; 95 %% are wanted (a lunch that changes place explains the rest)", same, all)
	}
	if lowered == 0 || lowSame < lowered*95/100 {
		t.Errorf("after %d of %d removals only the times are those from nothing; 95 %% are wanted", lowSame, lowered)
	}
	t.Logf("%d of %d moves and %d of %d removals the same from nothing", same, all, lowSame, lowered)
}

// promised gives every other job a promise early in its week, lateness by the hour a
// price, and trucks room for about three visits.
func promised(w *week.Week) {
	w.Rates.PromiseLateCents, w.Rates.PromiseWorstCents = 700, 1900
	for j := range w.Jobs {
		x := &w.Jobs[j]
		for i := range x.Visits {
			x.Visits[i].Room = int64(10 + (j+i)%30)
		}
		if j%2 == 0 {
			from := int64(j%3)*86400 + 8*3600
			w.Promises = append(w.Promises, week.Promise{ID: fmt.Sprint("early", j), Visit: x.Visits[len(x.Visits)/2].ID, From: from, To: from + 3600})
		}
	}
	for t := range w.Tours {
		w.Tours[t].Room = int64(t % 3 * 60)
	}
}

// leastAgree reports whether two states of the same lists have the same times and cost.
func leastAgree(a, b *state) bool {
	equal := a.total == b.total
	for v := range a.m.visits {
		equal = equal && (!a.placed[v] || a.s[v] == b.s[v])
	}
	return equal
}

// A strand's books add up after every step, kept or not, late promises and full trucks
// included; and what it holds for best and before are whole states.
func TestStepsAddUp(t *testing.T) {
	late := 0
	for seed := range uint64(6) {
		w := weeks.Make(weeks.Shape{Seed: seed, Crews: 3, Days: 4, Jobs: 24})
		promised(w)
		m := compile(w)
		st := newState(m)
		construct(context.Background(), st, newInserter(nil, 6, 3), m.byHardness, nil)
		s := newStrand(st, seed, 0)
		s.level()
		for n := range 150 {
			s.step(s.threshold(0.2))
			for _, x := range []*state{s.cur, s.old, s.best} {
				if priced(x) != x.total {
					t.Fatalf("seed %d step %d: adds up to %d and says %d", seed, n, priced(x), x.total)
				}
				for k := range m.tours {
					sum := int64(0)
					for _, v := range x.stops[k] {
						sum += m.visits[v].room
					}
					if sum != x.room[k] || m.tours[k].room > 0 && sum > m.tours[k].room {
						t.Fatalf("seed %d step %d tour %d: %d litres on a truck of %d, booked %d", seed, n, k, sum, m.tours[k].room, x.room[k])
					}
				}
			}
		}
		if s.best.worst > 0 {
			late++
		}
	}
	if late == 0 {
		t.Error("no plan is late anywhere: the promises do not bind")
	}
}

// Looking for spots allocates nothing once its lists have grown.
func TestFindDoesNotAllocate(t *testing.T) {
	w := weeks.Make(weeks.Shape{Seed: 2, Crews: 4, Days: 4, Jobs: 24, Plain: true})
	m := compile(w)
	st := newState(m)
	in := newInserter(nil, 8, 4)
	construct(context.Background(), st, in, m.byHardness, nil)
	j := int32(5)
	st.remove(j)
	st.rebuild()
	n := testing.AllocsPerRun(50, func() { in.search(st, j) })
	if n > 0 {
		t.Errorf("%.0f allocations for one search", n)
	}
}

// A plan read back makes the same state.
func TestPlanLoadsAgain(t *testing.T) {
	for seed := range uint64(8) {
		w := weeks.Make(weeks.Shape{Seed: seed, Crews: 4, Days: 4, Jobs: 24})
		p, err := Run(context.Background(), w, Options{Seed: 1, Strands: 1, Rounds: 1}, nil)
		if err != nil {
			t.Fatal(err)
		}
		st, err := load(compile(w), p)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		st.polish() // as it was when it was written down
		q := st.plan()
		q.Seed, q.Strands, q.Rounds, q.Undecided = p.Seed, p.Strands, p.Rounds, p.Undecided
		if q.Cost.Total > p.Cost.Total {
			t.Errorf("seed %d: cost %d, read back %d", seed, p.Cost.Total, q.Cost.Total)
		}
	}
}
