package dispatch_test

import "math/bits"

// allSets is what tour t costs at the least with each set of visits, whatever the other
// tours do.
func (e *exhaust) allSets(t int) []int64 {
	for v := range e.start {
		e.start[v] = -1
	}
	list := make([]int64, 1<<len(e.visits))
	e.grow(t, len(list)-1, func(set int, cost int64) { list[set] = min(list[set], cost) }, list)
	return list
}

// timed is a tour's set of visits with the slots in which they start, one more, five
// bits for each; 0: not fixed.
type timed struct {
	tour, set int
	starts    int64
}

// tourCost is what tour t costs at the least with a set of visits, those that have a
// start at that. known remembers it.
func (e *exhaust) tourCost(t, set int) int64 {
	best, key := hopeless, timed{tour: t, set: set}
	for v, s := range e.start {
		if set&(1<<v) != 0 && s >= 0 {
			key.starts |= ((s-e.w.Tours[t].ShiftFrom)/quarter + 1) << (5 * v)
		}
	}
	if cost, ok := e.known[key]; ok {
		return cost
	}
	e.grow(t, set, func(s int, cost int64) {
		if s == set {
			best = min(best, cost)
		}
	}, nil)
	e.known[key] = best
	return best
}

// grow tries all orders and starts of the subsets of a set: cells hold the least cost
// until then by subset, last visit and slot in which that ends (Held and Karp 1962, with
// the time as a third state).
// list, if given, is set to hopeless first, but for the empty set.
func (e *exhaust) grow(t, set int, home func(set int, cost int64), list []int64) {
	tour, n := &e.w.Tours[t], len(e.visits)
	for i := range list {
		list[i] = hopeless
	}
	if list != nil {
		list[0] = 0
	}
	var pay [slots + 1]int64 // from the begin of the shift to each slot
	for k := range slots {
		pay[k+1] = pay[k] + tour.PayPerHour/4
		if tour.ShiftFrom+int64(k)*quarter >= tour.ShiftTo {
			pay[k+1] = pay[k] + tour.OvertimePerHour/4
		}
	}
	// leg is a drive in slots and its cost.
	leg := func(from, to string) (int, int64) {
		a, b := e.place[from], e.place[to]
		return int(e.w.Travel.Seconds[a][b] / quarter), e.w.Travel.Metres[a][b] * tour.CostPerKm / 1000
	}
	var members []int
	for v := range n {
		if set&(1<<v) != 0 {
			members = append(members, v)
		}
	}
	m := len(members)
	if size := (1 << m) * m * (slots + 1); cap(e.cells) < size {
		e.cells = make([]int64, size)
	}
	cells := e.cells[:(1<<m)*m*(slots+1)]
	for i := range cells {
		cells[i] = hopeless
	}
	at := func(sub, last, slot int) *int64 { return &cells[(sub*m+last)*(slots+1)+slot] }
	put := func(sub, i, from, arrive int, cost int64) { // the truck is on its way since from
		v := members[i]
		x := e.visits[v]
		if arrive >= slots || !e.open[t][v][arrive] {
			return
		}
		s := tour.ShiftFrom + int64(arrive)*quarter
		if e.start[v] >= 0 && e.start[v] != s {
			return
		}
		for _, p := range e.w.Promises {
			if p.Visit == x.ID && (s < p.From || s > p.To) {
				cost += e.w.Rates.PromiseCents
			}
		}
		end := arrive + int(x.Seconds/quarter)
		c := at(sub|1<<i, i, end)
		*c = min(*c, cost+pay[end]-pay[from])
	}
	for i, v := range members {
		d, km := leg(tour.Start, e.visits[v].Place)
		for s := d; s < slots; s++ {
			put(0, i, s-d, s, km)
		}
	}
	for sub := 1; sub < 1<<m; sub++ {
		whole := 0
		for b := sub; b != 0; b &= b - 1 {
			whole |= 1 << members[bits.TrailingZeros(uint(b))]
		}
		for last := range m {
			if sub&(1<<last) == 0 {
				continue
			}
			place := e.visits[members[last]].Place
			back, backKm := leg(place, tour.End)
			for k := range slots + 1 {
				cost := *at(sub, last, k)
				if cost >= hopeless {
					continue
				}
				if k+back <= slots {
					home(whole, cost+pay[k+back]-pay[k]+backKm)
				}
				if k < slots { // wait
					c := at(sub, last, k+1)
					*c = min(*c, cost+pay[k+1]-pay[k])
				}
				for i, v := range members {
					if sub&(1<<i) != 0 || whole&e.after[v] != 0 {
						continue
					}
					d, km := leg(place, e.visits[v].Place)
					put(sub, i, k, k+d, cost+km)
				}
			}
		}
	}
}
