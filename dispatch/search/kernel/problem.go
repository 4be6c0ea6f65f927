package kernel

import "fmt"

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

// Check names the first thing that is wrong.
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
	case p.Vehicles < 1 && n > 1:
		return fmt.Errorf("vehicles is %d, at least 1 asked", p.Vehicles)
	}
	for i := range n {
		switch {
		case p.Early[i] > p.Late[i]:
			return fmt.Errorf("place %d: window from %d to %d is empty", i, p.Early[i], p.Late[i])
		case p.Demand[i] < 0 || p.Demand[i] > p.Capacity:
			return fmt.Errorf("place %d: demand %d, from 0 to the capacity %d asked", i, p.Demand[i], p.Capacity)
		}
	}
	return nil
}
