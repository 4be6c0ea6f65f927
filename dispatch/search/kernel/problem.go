package kernel

import (
	"fmt"
	"math"
	"slices"
)

// Problem is one depot, its vehicles and the clients. Place 0 is the depot. All
// numbers are whole, in units of the caller's own (distance and time may differ).
type Problem struct {
	Dist     []int32 // row by row, places × places
	Time     []int32 // likewise; driving only
	Early    []int32 // a service begins at or after; of the depot: departure
	Late     []int32 // and at or before; of the depot: return
	Service  []int32
	Demand   []int32
	X, Y     []float64 // where the places lie; only for which routes are near each other
	Capacity int32
	Vehicles int // at most this many routes

	first [][]int32 // routes that keep every rule, to begin with
}

// Places is how many places there are, the depot among them.
func (p *Problem) Places() int { return len(p.Early) }

// most is what all numbers of a problem may add up to, so that no sum of the search
// goes over what 32 bits hold.
const most = math.MaxInt32

// Check names the first thing that is wrong with a problem, or that no routes can
// keep its rules as far as each client alone and the whole load tell.
func (p *Problem) Check() error {
	n := p.Places()
	for _, l := range []struct {
		name       string
		have, want int
	}{{"dist", len(p.Dist), n * n}, {"time", len(p.Time), n * n}, {"late", len(p.Late), n}, {"service", len(p.Service), n}, {"demand", len(p.Demand), n}, {"x", len(p.X), n}, {"y", len(p.Y), n}} {
		if l.have != l.want {
			return fmt.Errorf("%s has %d entries, %d asked", l.name, l.have, l.want)
		}
	}
	switch {
	case n == 0:
		return fmt.Errorf("there is no depot")
	case n == 1:
		return nil
	case p.Vehicles < 1:
		return fmt.Errorf("vehicles is %d, at least 1 asked", p.Vehicles)
	}
	for i := range n {
		switch {
		case p.Early[i] < 0 || p.Early[i] > p.Late[i]:
			return fmt.Errorf("place %d: window from %d to %d, one from 0 on asked that is not empty", i, p.Early[i], p.Late[i])
		case p.Service[i] < 0:
			return fmt.Errorf("place %d: service %d, 0 or more asked", i, p.Service[i])
		case p.Demand[i] < 0 || p.Demand[i] > p.Capacity:
			return fmt.Errorf("place %d: demand %d, from 0 to the capacity %d asked", i, p.Demand[i], p.Capacity)
		}
	}
	if err := p.checkSums(); err != nil {
		return err
	}
	return p.checkReach()
}

// checkSums looks at drives, at sums that could overflow, and at the load.
func (p *Problem) checkSums() error {
	n := p.Places()
	time, dist, load := int64(slices.Max(p.Late)), int64(0), int64(0)
	for i := range n {
		from, to := i*n, i*n+n
		if least := min(slices.Min(p.Dist[from:to]), slices.Min(p.Time[from:to])); least < 0 {
			return fmt.Errorf("place %d: a drive of %d from here, 0 or more asked", i, least)
		}
		time += int64(p.Service[i]) + int64(slices.Max(p.Time[from:to]))
		dist += int64(slices.Max(p.Dist[from:to]))
		load += int64(p.Demand[i])
	}
	switch {
	case max(time, dist) > most:
		return fmt.Errorf("the longest drives and all services add up to %d, at most %d asked: use a larger unit", max(time, dist), most)
	case load > int64(p.Vehicles)*int64(p.Capacity):
		return fmt.Errorf("all demand is %d, %d vehicles of capacity %d carry %d", load, p.Vehicles, p.Capacity, int64(p.Vehicles)*int64(p.Capacity))
	}
	return nil
}

// checkReach names a client that no vehicle reaches in its window, by way of
// whatever other clients, or from which none is back in time.
func (p *Problem) checkReach() error {
	n := p.Places()
	never := int64(math.MaxInt64)
	start := make([]int64, n)
	for i := range start {
		start[i] = never
	}
	start[0] = int64(p.Early[0])
	done := make([]bool, n)
	for range n { // earliest starts, nearest in time first (Dijkstra 1959)
		at := -1
		for i := range n {
			if !done[i] && start[i] < never && (at < 0 || start[i] < start[at]) {
				at = i
			}
		}
		if at < 0 {
			break
		}
		done[at] = true
		leave := start[at]
		if at != 0 {
			leave += int64(p.Service[at])
		}
		for j := 1; j < n; j++ {
			if s := max(leave+int64(p.Time[at*n+j]), int64(p.Early[j])); s <= int64(p.Late[j]) {
				start[j] = min(start[j], s)
			}
		}
	}
	for i := 1; i < n; i++ {
		switch {
		case start[i] == never:
			return fmt.Errorf("place %d: its window closes at %d, before any vehicle gets here", i, p.Late[i])
		case !p.returns(i, start[i]):
			return fmt.Errorf("place %d: begun at %d at the earliest, no vehicle is back by %d", i, start[i], p.Late[0])
		}
	}
	return nil
}

// returns says that a service begun at a time leaves a way back, straight or by way
// of others.
func (p *Problem) returns(i int, begun int64) bool {
	n := p.Places()
	if begun+int64(p.Service[i])+int64(p.Time[i*n]) <= int64(p.Late[0]) {
		return true
	}
	// a way by others can be shorter only where drives break the triangle rule
	short := make([]int64, n)
	for j := range short {
		short[j] = math.MaxInt64
	}
	short[i] = begun + int64(p.Service[i])
	for changed := true; changed; {
		changed = false
		for a := 1; a < n; a++ {
			for j := 0; short[a] < math.MaxInt64 && j < n; j++ {
				if t := short[a] + int64(p.Time[a*n+j]); t < short[j] {
					short[j], changed = t, true
				}
			}
		}
	}
	return short[0] <= int64(p.Late[0])
}
