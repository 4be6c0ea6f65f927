package kernel

import (
	"os"
	"slices"
	"testing"
)

// scattered is a random problem in which windows, service and load all bind.
// uneven makes the way back another than the way out.
func scattered(seed uint64, stops, vehicles int, uneven bool) *Problem {
	d := newDice(seed)
	n := stops + 1
	p := &Problem{Capacity: 60, Vehicles: vehicles}
	for i := range n {
		p.X, p.Y = append(p.X, float64(d.below(1000))), append(p.Y, float64(d.below(1000)))
		early := int32(d.below(3000))
		p.Early, p.Late = append(p.Early, early), append(p.Late, early+100+int32(d.below(1500)))
		p.Service, p.Demand = append(p.Service, int32(d.below(120))), append(p.Demand, int32(1+d.below(12)))
		if i == 0 {
			p.Early[0], p.Late[0], p.Service[0], p.Demand[0] = 0, 6000, 0, 0
		}
	}
	for i := range n {
		for j := range n {
			dx, dy := p.X[i]-p.X[j], p.Y[i]-p.Y[j]
			way := int32(max(dx, -dx) + max(dy, -dy))
			if uneven && i != j {
				way += int32(d.below(60))
			}
			p.Dist = append(p.Dist, way)
			p.Time = append(p.Time, way/2+int32(d.below(1+i%3)))
		}
	}
	for i := range n { // everybody can be served by a vehicle of one's own
		p.Late[i] = max(p.Late[i], p.Time[i])
	}
	return p
}

// byHand prices routes by walking them, with none of the search's segments.
func byHand(p *Problem, list [][]int32, late, over int64) (dist, cost int64) {
	n := p.Places()
	for _, line := range list {
		now, last, load, warp := p.Early[0], int32(0), int32(0), int32(0)
		visit := func(s int32, service int32) {
			now += p.Time[int(last)*n+int(s)]
			dist += int64(p.Dist[int(last)*n+int(s)])
			now = max(now, p.Early[s])
			if now > p.Late[s] {
				warp += now - p.Late[s]
				now = p.Late[s]
			}
			now += service
			last = s
		}
		// the least warp leaves as late as it can't hurt: leaving at once is as good,
		// since waiting costs nothing and a jump back lands at the window's end
		for _, s := range line {
			visit(s, p.Service[s])
			load += p.Demand[s]
		}
		if len(line) > 0 {
			visit(0, 0)
		}
		cost += int64(warp)*late + int64(max(load-p.Capacity, 0))*over
	}
	return dist, cost + dist
}

// whole says that every stop is served once.
func whole(t *testing.T, p *Problem, list [][]int32) {
	t.Helper()
	var all []int32
	for _, line := range list {
		all = append(all, line...)
	}
	slices.Sort(all)
	for i, s := range all {
		if int(s) != i+1 {
			t.Fatalf("place %d stands where %d was asked", s, i+1)
		}
	}
	if len(all) != p.Places()-1 {
		t.Fatalf("%d stops served of %d", len(all), p.Places()-1)
	}
}

func never() bool { return false }

// scale is how many times a test repeats its work: a part of it with -short, and with
// EBBLINE_LONG set (make long) the given times more.
func scale(times, long int) int {
	switch {
	case os.Getenv("EBBLINE_LONG") != "":
		return times * long
	case testing.Short():
		return max(times/5, 1)
	}
	return times
}
