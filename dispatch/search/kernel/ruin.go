package kernel

import (
	"math"
	"slices"
)

// ruiner improves routes that keep every rule by taking strings of neighbouring
// stops out and putting each back where it costs least (Christiaens and Vanden
// Berghe 2020, with its figures).
type ruiner struct {
	p      *Problem
	n      int
	dice   *dice
	by     [][]int32 // per client all clients, nearest first
	routes []line
	in     []int32 // route of a stop; -1: none
	out    []int32 // stops taken out
	dirty  []int32 // routes changed since keep
	mark   []bool
	cost   int64
	limit  int // routes allowed while looking for fewer; 0: all vehicles
}

// line is one route with the earliest start of every stop and the latest that
// the rest of the route allows; saved is the route as kept.
type line struct {
	stops         []int32
	start, latest []int32
	load          int32
	dist          int32
	saved         []int32
}

const (
	ruinMean   = 10  // stops taken out on average
	ruinString = 10. // longest string
)

func newRuiner(p *Problem, by [][]int32, d *dice) *ruiner {
	r := &ruiner{p: p, n: p.Places(), dice: d, by: by, routes: make([]line, p.Vehicles), in: make([]int32, p.Places()), mark: make([]bool, p.Vehicles)}
	for i := range r.in {
		r.in[i] = -1
	}
	return r
}

// begin puts every stop in, each where it costs least; false when the vehicles
// don't reach.
func (r *ruiner) begin() bool {
	r.cost = 0
	r.out = r.out[:0]
	for k := range r.routes {
		r.routes[k].stops, r.routes[k].dist = r.routes[k].stops[:0], 0
		r.refresh(int32(k))
	}
	for i := 1; i < r.n; i++ {
		r.in[i] = -1
		r.out = append(r.out, int32(i))
	}
	ok := r.recreate()
	r.keep()
	return ok
}

// improve runs the given number of rounds of ruin and recreate, accepting worse
// routes less and less, and gives the best routes found.
func (r *ruiner) improve(rounds int, hot, cold float64, stop func() bool) [][]int32 {
	least, best := r.cost, r.give(nil)
	heat, cool := hot, math.Pow(cold/hot, 1/float64(rounds))
	for i := range rounds {
		if i%stopEvery == stopEvery-1 && stop() {
			break
		}
		before := r.cost
		r.ruin()
		if r.recreate() && float64(r.cost) < float64(before)-heat*math.Log(1-r.dice.unit()) {
			r.keep()
			if r.cost < least {
				least, best = r.cost, r.give(best)
			}
		} else {
			r.undo(before)
		}
		heat *= cool
	}
	return best
}

const stopEvery = 64 // rounds of ruin between two looks at whether it is time to stop

// ruin takes strings out of routes near a random stop.
func (r *ruiner) ruin() {
	used, size := 0, 0.0
	for k := range r.routes {
		if len(r.routes[k].stops) > 0 {
			used++
			size += float64(len(r.routes[k].stops))
		}
	}
	if used == 0 {
		return
	}
	longest := min(ruinString, size/float64(used))
	strings := int(4*ruinMean/(1+longest) - 1)
	strings = int(r.dice.unit()*float64(strings)) + 1
	seed := int32(r.dice.below(r.n-1) + 1)
	for _, c := range r.by[seed] {
		if strings == 0 {
			break
		}
		k := r.in[c]
		if k < 0 || r.mark[k] {
			continue
		}
		most := min(float64(len(r.routes[k].stops)), longest)
		length := int(r.dice.unit()*most) + 1
		r.takeString(k, c, length)
		strings--
	}
}

// takeString takes length stops around c out of route k, half of the times with
// some left standing in between.
func (r *ruiner) takeString(k, c int32, length int) {
	r.touch(k)
	l := &r.routes[k]
	at := slices.Index(l.stops, c)
	stay := 0
	if length > 1 && length < len(l.stops) && r.dice.unit() < .5 {
		for stay = 1; length+stay < len(l.stops) && r.dice.unit() > .01; stay++ {
		}
		stay = min(stay, len(l.stops)-length)
	}
	span := length + stay
	low, high := max(0, at-span+1), min(at, len(l.stops)-span)
	from := low + r.dice.below(high-low+1)
	skip := span
	if stay > 0 {
		skip = r.dice.below(length + 1)
	}
	kept := l.stops[:from]
	for i, s := range l.stops[from : from+span] {
		if stay > 0 && i >= skip && i < skip+stay {
			kept = append(kept, s)
			continue
		}
		r.in[s] = -1
		r.out = append(r.out, s)
	}
	l.stops = append(kept, l.stops[from+span:]...)
	r.refresh(k)
}

// refresh computes a route anew and its share of the cost.
func (r *ruiner) refresh(k int32) {
	p, n := r.p, r.n
	l := &r.routes[k]
	r.cost -= int64(l.dist)
	l.start, l.latest = l.start[:0], l.latest[:0]
	now, from, load, dist := p.Early[0], int32(0), int32(0), int32(0)
	for _, s := range l.stops {
		cell := int(from)*n + int(s)
		now = max(now+p.Time[cell], p.Early[s])
		l.start = append(l.start, now)
		now += p.Service[s]
		load += p.Demand[s]
		dist += p.Dist[cell]
		from = s
	}
	if from != 0 {
		dist += p.Dist[int(from)*n]
	}
	l.load, l.dist = load, dist
	r.cost += int64(dist)
	l.latest = append(l.latest, l.start...)
	limit, to := p.Late[0], int32(0)
	for i := len(l.stops) - 1; i >= 0; i-- {
		s := l.stops[i]
		limit = min(limit-p.Time[int(s)*n+int(to)]-p.Service[s], p.Late[s])
		l.latest[i] = limit
		to = s
	}
}

// touch keeps a route as it is, for undo.
func (r *ruiner) touch(k int32) {
	if !r.mark[k] {
		r.mark[k] = true
		r.dirty = append(r.dirty, k)
		r.routes[k].saved = append(r.routes[k].saved[:0], r.routes[k].stops...)
	}
}

func (r *ruiner) keep() {
	for _, k := range r.dirty {
		r.mark[k] = false
	}
	r.dirty = r.dirty[:0]
}

func (r *ruiner) undo(cost int64) {
	for _, k := range r.dirty {
		l := &r.routes[k]
		l.stops = append(l.stops[:0], l.saved...)
		r.refresh(k)
		for _, s := range l.stops {
			r.in[s] = k
		}
	}
	r.out = r.out[:0]
	r.cost = cost
	r.keep()
}

// take loads routes that keep every rule.
func (r *ruiner) take(list [][]int32) {
	r.cost = 0
	for k := range r.routes {
		l := &r.routes[k]
		l.dist = 0
		l.stops = l.stops[:0]
		if k < len(list) {
			l.stops = append(l.stops, list[k]...)
		}
		for _, s := range l.stops {
			r.in[s] = int32(k)
		}
		r.refresh(int32(k))
	}
	r.out = r.out[:0]
}

func (r *ruiner) give(into [][]int32) [][]int32 {
	i := 0
	for k := range r.routes {
		if len(r.routes[k].stops) == 0 {
			continue
		}
		if i == len(into) {
			into = append(into, nil)
		}
		into[i] = append(into[i][:0], r.routes[k].stops...)
		i++
	}
	return into[:i]
}
