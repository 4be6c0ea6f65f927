package search

import (
	"context"
	"math/rand/v2"
	"reflect"
	"testing"

	"ebbline/dispatch/weeks"
)

// decided is what must be the same again after a move was undone.
func decided(st *state) []any {
	return []any{st.stops, st.lunch, st.in, st.tourOf, st.placed, st.owed, st.ls, st.le, st.s, st.e, st.dep, st.ret, st.ss, st.se,
		st.leave, st.back, st.tourCost, st.jobCost, st.total, st.load, st.loads, st.fresh, st.out, st.count}
}

// priced adds up the cost of a state from nothing.
func priced(st *state) int64 {
	sum := int64(0)
	for _, c := range st.tourCost {
		sum += c
	}
	for _, c := range st.jobCost {
		sum += c
	}
	return sum
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

// leastAgree reports whether two states of the same lists have the same times and cost.
func leastAgree(a, b *state) bool {
	equal := a.total == b.total
	for v := range a.m.visits {
		equal = equal && (!a.placed[v] || a.s[v] == b.s[v])
	}
	return equal
}

// Looking for spots allocates nothing once its lists have grown.
func TestFindDoesNotAllocate(t *testing.T) {
	w := weeks.Make(weeks.Shape{Seed: 2, Crews: 4, Days: 4, Jobs: 24, Plain: true})
	m := compile(w)
	st := newState(m)
	in := newInserter(nil, 8, 4)
	construct(context.Background(), st, in, m.byHardness)
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
		q := st.plan()
		q.Seed, q.Strands, q.Rounds, q.Undecided = p.Seed, p.Strands, p.Rounds, p.Undecided
		if q.Cost.Total > p.Cost.Total {
			t.Errorf("seed %d: cost %d, read back %d", seed, p.Cost.Total, q.Cost.Total)
		}
	}
}
