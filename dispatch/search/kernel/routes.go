package kernel

import (
	"cmp"
	"math"
	"slices"
)

// routes is a set of routes under change: linked stops with the segments before
// and after each, so that a change is priced without walking a route. Place 0
// stands before the first and behind the last stop of every route.
type routes struct {
	p      *Problem
	n      int
	dist   []int32
	time   []int32
	flip   []int32 // dist turned over: row by row the way to a place
	ahead  []int32 // distance to the stop behind
	astern []int32 // distance from the stop in front
	even   bool    // dist is the same both ways
	alone  []segment
	turn   []int32 // direction from the depot, in 65536ths of a turn
	next   []int32
	prev   []int32
	in     []int32   // route of a stop
	at     []int32   // its place in it, from 1
	before []segment // depot to this stop, it included
	behind []segment // this stop to depot
	load   []int32   // from the depot to this stop
	list   []route
	late   int64 // price of one unit of warp
	over   int64 // price of one unit of load over capacity
	clock  int64 // counts changes
	sorted []int32
	angle  []float64
}

type route struct {
	first, last int32
	size        int32
	load, warp  int32
	dist        int32
	changed     int64
	whole       int8  // 1 or 2: as it stood in a parent, so settled with what came from there too
	price       int64 // of warp and load over capacity
	from, to    int32 // sector in 65536ths of a turn, as seen from the depot
}

func newRoutes(p *Problem) *routes {
	n := p.Places()
	r := &routes{p: p, n: n, dist: p.Dist, time: p.Time, even: true,
		alone: make([]segment, n), turn: make([]int32, n), next: make([]int32, n), prev: make([]int32, n), in: make([]int32, n),
		at: make([]int32, n), before: make([]segment, n), behind: make([]segment, n), load: make([]int32, n), ahead: make([]int32, n), astern: make([]int32, n), flip: p.Dist,
		list: make([]route, p.Vehicles), angle: make([]float64, p.Vehicles)}
	for i := range n {
		r.alone[i] = segment{dur: p.Service[i], early: p.Early[i], late: p.Late[i]}
		r.turn[i] = int32(math.Atan2(p.Y[i]-p.Y[0], p.X[i]-p.X[0])/(2*math.Pi)*65536) & 0xFFFF
		for j := range i {
			r.even = r.even && p.Dist[i*n+j] == p.Dist[j*n+i]
		}
	}
	if !r.even {
		r.flip = make([]int32, n*n)
		for i := range n {
			for j := range n {
				r.flip[i*n+j] = p.Dist[j*n+i]
			}
		}
	}
	if n > 0 {
		r.alone[0].dur = 0
		r.before[0], r.behind[0] = r.alone[0], r.alone[0]
	}
	return r
}

func (r *routes) d(a, b int32) int32 { return r.dist[int(a)*r.n+int(b)] }
func (r *routes) t(a, b int32) int32 { return r.time[int(a)*r.n+int(b)] }

// penalty is the price of warp and load.
func (r *routes) penalty(warp, load int32) int64 {
	return int64(warp)*r.late + int64(max(load-r.p.Capacity, 0))*r.over
}

// cost is distance and price of everything.
func (r *routes) cost() int64 {
	total := int64(0)
	for i := range r.list {
		total += int64(r.list[i].dist) + r.list[i].price
	}
	return total
}

// take loads the given routes; those that are lacking are empty.
func (r *routes) take(list [][]int32) {
	r.clock++
	for i := range r.list {
		var stops []int32
		if i < len(list) {
			stops = list[i]
		}
		r.list[i].first, r.list[i].last = 0, 0
		last := int32(0)
		for _, stop := range stops {
			r.prev[stop] = last
			if last == 0 {
				r.list[i].first = stop
			} else {
				r.next[last] = stop
			}
			last = stop
		}
		if last != 0 {
			r.next[last] = 0
		}
		r.list[i].last = last
		r.refresh(int32(i))
	}
}

// settle tells which routes came over whole from a parent.
func (r *routes) settle(whole []int8) {
	for i, from := range whole {
		r.list[i].whole = from
	}
}

// refresh computes a route's segments anew after its links changed.
func (r *routes) refresh(k int32) {
	rt := &r.list[k]
	seg, last, load, dist, size := r.alone[0], int32(0), int32(0), int32(0), int32(0)
	for stop := rt.first; stop != 0; stop = r.next[stop] {
		seg = join(seg, r.t(last, stop), r.alone[stop])
		load += r.p.Demand[stop]
		step := r.d(last, stop)
		dist += step
		r.astern[stop], r.ahead[last] = step, step
		size++
		r.before[stop], r.load[stop], r.in[stop], r.at[stop] = seg, load, k, size
		last = stop
	}
	rt.last = last
	rt.size, rt.load = size, load
	if last != 0 {
		r.ahead[last] = r.d(last, 0)
		dist += r.ahead[last]
		seg = join(seg, r.t(last, 0), r.alone[0])
	}
	rt.dist, rt.warp = dist, seg.warp
	rt.price = r.penalty(rt.warp, rt.load)
	back, from := r.alone[0], int32(0)
	for stop := last; stop != 0; stop = r.prev[stop] {
		back = join(r.alone[stop], r.t(stop, from), back)
		r.behind[stop] = back
		from = stop
	}
	rt.changed, rt.whole = r.clock, 0
	r.sector(rt)
}

// sector is the span of directions, seen from the depot, in which a route lies.
func (r *routes) sector(rt *route) {
	rt.from, rt.to = -1, -1
	for stop := rt.first; stop != 0; stop = r.next[stop] {
		turn := r.turn[stop]
		switch {
		case rt.from < 0:
			rt.from, rt.to = turn, turn
		case !inside(rt.from, rt.to, turn):
			if (turn-rt.to)&0xFFFF <= (rt.from-turn)&0xFFFF {
				rt.to = turn
			} else {
				rt.from = turn
			}
		}
	}
}

// direction is where a route's middle lies, seen from the depot.
func (r *routes) direction(rt *route) float64 {
	x, y := 0.0, 0.0
	for stop := rt.first; stop != 0; stop = r.next[stop] {
		x, y = x+r.p.X[stop]-r.p.X[0], y+r.p.Y[stop]-r.p.Y[0]
	}
	return math.Atan2(y, x)
}

func inside(from, to, turn int32) bool { return (turn-from)&0xFFFF <= (to-from)&0xFFFF }

// overlap says that two routes lie in sectors that meet.
func overlap(a, b *route) bool { return inside(a.from, a.to, b.from) || inside(b.from, b.to, a.from) }

// give writes the routes out, empty ones left out, in order of their direction.
func (r *routes) give(into [][]int32) [][]int32 {
	r.sorted = r.sorted[:0]
	for i := range r.list {
		if r.list[i].first != 0 {
			r.sorted = append(r.sorted, int32(i))
			r.angle[i] = r.direction(&r.list[i])
		}
	}
	slices.SortStableFunc(r.sorted, func(a, b int32) int { return cmp.Compare(r.angle[a], r.angle[b]) })
	into = resized(into, len(r.sorted))
	for i, k := range r.sorted {
		into[i] = into[i][:0]
		for stop := r.list[k].first; stop != 0; stop = r.next[stop] {
			into[i] = append(into[i], stop)
		}
	}
	return into
}

// resized is a list of the given length that keeps what room its lines have.
func resized(list [][]int32, length int) [][]int32 {
	list = list[:min(cap(list), length)]
	for len(list) < length {
		list = append(list, nil)
	}
	return list
}

// cut takes the stretch from u to x out of route k.
func (r *routes) cut(u, x, k int32) {
	p, n := r.prev[u], r.next[x]
	if p == 0 {
		r.list[k].first = n
	} else {
		r.next[p] = n
	}
	if n == 0 {
		r.list[k].last = p
	} else {
		r.prev[n] = p
	}
}

// paste puts a stretch that was cut behind v in route k; v is 0 for its start.
func (r *routes) paste(u, x, v, k int32) {
	w := r.after(v, k)
	r.prev[u], r.next[x] = v, w
	if v == 0 {
		r.list[k].first = u
	} else {
		r.next[v] = u
	}
	if w == 0 {
		r.list[k].last = x
	} else {
		r.prev[w] = x
	}
}

// after is the stop behind v in route k; v is 0 for its start.
func (r *routes) after(v, k int32) int32 {
	if v == 0 {
		return r.list[k].first
	}
	return r.next[v]
}

// renew refreshes the routes that a move changed.
func (r *routes) renew(a, b int32) {
	r.clock++
	r.refresh(a)
	if b != a {
		r.refresh(b)
	}
}
