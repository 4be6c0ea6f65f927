package kernel

import (
	"strings"
	"sync/atomic"
	"testing"
)

// bare is a depot and clients on a line, a drive of one unit apart, windows wide open.
func bare(clients, vehicles int) *Problem {
	p := &Problem{Capacity: 10, Vehicles: vehicles}
	for i := range clients + 1 {
		p.X, p.Y = append(p.X, float64(i)), append(p.Y, 0)
		p.Early, p.Late = append(p.Early, 0), append(p.Late, 10_000)
		p.Service, p.Demand = append(p.Service, 0), append(p.Demand, int32(min(i, 1)))
		for j := range clients + 1 {
			p.Dist = append(p.Dist, int32(max(i-j, j-i)))
		}
	}
	p.Time = p.Dist
	return p
}

// TestBadInputHasItsReason: what can't be solved is told by place, value and what was
// asked.
func TestBadInputHasItsReason(t *testing.T) {
	for _, c := range []struct {
		name   string
		spoil  func(p *Problem)
		reason string
	}{
		{"no depot", func(p *Problem) { *p = Problem{} }, "no depot"},
		{"no vehicles", func(p *Problem) { p.Vehicles = 0 }, "vehicles is 0"},
		{"a row is lacking", func(p *Problem) { p.Time = p.Time[:20] }, "time has 20 entries, 36 asked"},
		{"demand above capacity", func(p *Problem) { p.Demand[3] = 11 }, "place 3: demand 11, from 0 to the capacity 10"},
		{"demand above all vehicles", func(p *Problem) { p.Vehicles, p.Capacity = 2, 2 }, "all demand is 5, 2 vehicles of capacity 2 carry 4"},
		{"an empty window", func(p *Problem) { p.Early[2], p.Late[2] = 7, 6 }, "place 2: window from 7 to 6"},
		{"never reached", func(p *Problem) { p.Late[4] = 3 }, "place 4: its window closes at 3"},
		{"never back", func(p *Problem) { p.Early[5] = 9_996 }, "place 5: begun at 9996 at the earliest, no vehicle is back by 10000"},
		{"a drive below zero", func(p *Problem) { p.Dist[6+2] = -1 }, "place 1: a drive of -1"},
		{"too large", func(p *Problem) { p.Service[1], p.Service[2] = 2_000_000_000, 2_000_000_000 }, "larger unit"},
	} {
		p := bare(5, 3)
		c.spoil(p)
		_, err := Solve(p, Options{Seed: 1, Strands: 1, Rounds: 1})
		if err == nil || !strings.Contains(err.Error(), c.reason) {
			t.Errorf("%s: %v, %q asked", c.name, err, c.reason)
		}
	}
	if _, err := Solve(bare(3, 1), Options{}); err == nil || !strings.Contains(err.Error(), "rounds is 0") {
		t.Errorf("a search without an end: %v", err)
	}
}

// TestByWayOfOthers: a client that is reached, or left, in time only by way of another
// is no fault.
func TestByWayOfOthers(t *testing.T) {
	p := bare(2, 1)
	p.Dist = []int32{0, 1, 90, 1, 0, 1, 90, 1, 0} // straight from the depot to 2 it is far
	p.Time = p.Dist
	p.Late[2] = 2
	p.Late[0] = 92
	got, err := Solve(p, Options{Seed: 1, Strands: 1, Rounds: 2})
	if err != nil || got.Dist != 92 {
		t.Errorf("%+v, %v; 0 1 2 0 is 92 long", got, err)
	}
	p.Late[0] = 91
	if got, err := Solve(p, Options{Seed: 1, Strands: 1, Rounds: 2}); err != nil || got.Routes != nil {
		t.Errorf("%+v, %v; no route keeps every rule", got, err)
	}
}

func TestOddInputHasItsAnswer(t *testing.T) {
	same := bare(12, 12)
	clear(same.Dist)
	clear(same.X)
	loose := bare(6, 6)
	clear(loose.Demand)
	loose.Capacity = 0
	twins := bare(8, 3)
	for i := range 81 {
		twins.Dist[i] = int32(max(i/9/2, i%9/2) - min(i/9/2, i%9/2)) // each place twice
	}
	for _, c := range []struct {
		name   string
		p      *Problem
		fewest bool
		dist   int64
		routes int
	}{
		{"no clients", bare(0, 0), false, 0, 0},
		{"no clients, fewest", bare(0, 0), true, 0, 0},
		{"one client", bare(1, 1), false, 2, 1},
		{"one client, fewest", bare(1, 9), true, 2, 1},
		{"two clients on a line", bare(2, 2), false, 4, 1},
		{"all places equal", same, false, 0, 0},
		{"all places equal, fewest", same, true, 0, 2}, // 12 in loads of 10
		{"nothing weighs", loose, true, 12, 1},
		{"identical places", twins, true, 8, 1},
	} {
		got, err := Solve(c.p, Options{Seed: 1, Strands: 2, Rounds: 3, Fewest: c.fewest})
		switch {
		case err != nil || got.Routes == nil || got.Dist != c.dist:
			t.Errorf("%s: %+v, %v; %d asked", c.name, got, err, c.dist)
		case c.routes > 0 && len(got.Routes) != c.routes:
			t.Errorf("%s: %d routes, %d asked", c.name, len(got.Routes), c.routes)
		default:
			whole(t, c.p, got.Routes)
		}
	}
}

// TestEarlyStop: with 1,000 clients and a stop at once, or after some looks at whether to
// stop, there are routes that keep every rule, and strands stop at their next look.
func TestEarlyStop(t *testing.T) {
	if testing.Short() {
		t.Skip("not with -short: seconds")
	}
	p := scattered(3, 1000, 400, false)
	for _, after := range []int64{0, 1, 100} {
		for _, fewest := range []bool{false, true} {
			var asked atomic.Int64
			got, err := Solve(p, Options{Seed: 1, Strands: 2, Cores: 2, Fewest: fewest, Stop: func() bool { return asked.Add(1) > after }})
			if err != nil || got.Routes == nil {
				t.Fatalf("stop after %d looks, fewest %v: %d routes, %v", after, fewest, len(got.Routes), err)
			}
			if late := asked.Load() - after; late > 30 {
				t.Errorf("stop after %d looks, fewest %v: asked %d times more", after, fewest, late)
			}
			if dist, cost := byHand(p, got.Routes, 1, 1); got.Dist != dist || cost != dist {
				t.Errorf("stop after %d looks, fewest %v: distance %d, by hand %d; broken rules cost %d", after, fewest, got.Dist, dist, cost-dist)
			}
			whole(t, p, got.Routes)
		}
	}
}
