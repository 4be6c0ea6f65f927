package main

import (
	"context"
	"math"
	"slices"
	"testing"
	"time"

	"ebbline/cmd/internal/budget"
)

// A turned or renumbered set is the same set: every distance stays, every place keeps
// what it asks for, and routes written back are checked by the published numbers.
func TestTurnedSetsAreTheSame(t *testing.T) {
	in, err := tinySet(t, tiny)
	if err != nil {
		t.Fatal(err)
	}
	turned, number := renumbered(mirrored(in), 3)
	if !slices.Equal(number, []int32{0, 1, 2}) && !slices.Equal(number, []int32{0, 2, 1}) {
		t.Fatalf("numbers %v", number)
	}
	for i, a := range turned.places {
		from := in.places[number[i]]
		if a.x != -from.x || a.y != -from.y || a.demand != from.demand || a.ready != from.ready || a.due != from.due || a.service != from.service {
			t.Errorf("place %d is %+v, published as %+v", i, a, from)
		}
		for j, b := range turned.places {
			to := in.places[number[j]]
			if math.Hypot(a.x-b.x, a.y-b.y) != math.Hypot(from.x-to.x, from.y-to.y) {
				t.Errorf("from %d to %d is another distance", i, j)
			}
		}
	}
	orders := map[int32]bool{}
	for seed := range uint64(20) {
		other, number := renumbered(in, seed)
		orders[number[1]] = true
		back := asPublished([][]int32{{1, 2}}, number)
		if in.places[back[0][0]] != other.places[1] || in.places[back[0][1]] != other.places[2] {
			t.Errorf("seed %d: %v for 1 and 2 of %v", seed, back, number)
		}
	}
	if len(orders) != 2 {
		t.Errorf("twenty seeds draw one order of two customers")
	}
}

// A budget of CPU time ends by what this process uses, not by the clock on the wall.
func TestBudgetCountsThisProcess(t *testing.T) {
	b := bench{seconds: .05, cpu: true, cores: 2}
	ctx, cancel := b.budget(context.Background())
	defer cancel()
	took := budget.Start()
	select { // asleep: no CPU time goes by
	case <-ctx.Done():
		t.Error("the budget ended while nothing was done")
	case <-time.After(150 * time.Millisecond):
	}
	for n := 0; ctx.Err() == nil; n++ {
		if n%1000 == 0 && took.Wall() > 60 {
			t.Fatal("no end after a minute")
		}
	}
	var r result
	r.took(took)
	if r.CPU < .1 {
		t.Errorf("ended after %.3f CPU seconds, 2 × 0.05 asked", r.CPU)
	}
}
