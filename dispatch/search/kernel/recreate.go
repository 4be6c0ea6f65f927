package kernel

import (
	"math"
	"slices"
)

// recreate puts the stops that are out where they cost least, in an order drawn
// anew; false when some find no place and stay out.
func (r *ruiner) recreate() bool {
	r.sortOut()
	left := r.out[:0]
	for _, c := range r.out {
		k, at := r.cheapest(c)
		if k < 0 {
			left = append(left, c)
			continue
		}
		r.touch(k)
		l := &r.routes[k]
		l.stops = slices.Insert(l.stops, at, c)
		r.in[c] = k
		r.refresh(k)
	}
	r.out = left
	return len(left) == 0
}

// cheapest is the route and the place in it where c costs least; -1: none.
func (r *ruiner) cheapest(c int32) (route int32, at int) {
	best, empty, used := int32(math.MaxInt32), int32(-1), 0
	route = -1
	for k := range r.routes {
		l := &r.routes[k]
		if len(l.stops) == 0 {
			if empty < 0 {
				empty = int32(k)
			}
			continue
		}
		used++
		if l.load+r.p.Demand[c] > r.p.Capacity {
			continue
		}
		if i, cost := r.place(l, c, best); cost < best {
			route, at, best = int32(k), i, cost
		}
	}
	if route < 0 && empty >= 0 && (r.limit == 0 || used < r.limit) && r.fits(c) {
		return empty, 0
	}
	return route, at
}

// fits says that a route for c alone keeps its windows.
func (r *ruiner) fits(c int32) bool {
	p := r.p
	start := max(p.Early[0]+p.Time[c], p.Early[c])
	return start <= p.Late[c] && start+p.Service[c]+p.Time[int(c)*r.n] <= p.Late[0]
}

// place is the cheapest place for c in a route that costs less than best.
func (r *ruiner) place(l *line, c, best int32) (at int, cost int32) {
	p, n := r.p, r.n
	cost = best
	from, ready := int32(0), p.Early[0]
	rowT, rowD := p.Time[int(c)*n:int(c)*n+n], p.Dist[int(c)*n:int(c)*n+n]
	early, late, serve := p.Early[c], p.Late[c], p.Service[c]
	for i := 0; i <= len(l.stops); i++ {
		to, limit := int32(0), p.Late[0]
		if i < len(l.stops) {
			to, limit = l.stops[i], l.latest[i]
		}
		if ready > late {
			break
		}
		cell := int(from) * n
		if extra := p.Dist[cell+int(c)] + rowD[to] - p.Dist[cell+int(to)]; extra < cost {
			start := max(ready+p.Time[cell+int(c)], early)
			if start <= late && start+serve+rowT[to] <= limit && r.dice.next()>>32 > blinkBelow {
				at, cost = i, extra
			}
		}
		if i < len(l.stops) {
			from, ready = to, l.start[i]+p.Service[to]
		}
	}
	return at, cost
}

const blinkBelow = 1 << 32 / 100 // of 2^32: the chance to overlook a place

// sortOut draws an order for putting back.
func (r *ruiner) sortOut() {
	r.dice.shuffle(r.out)
	var key func(int32) int32
	switch d := r.dice.below(17); {
	case d < 4:
		return
	case d < 8:
		key = func(c int32) int32 { return -r.p.Demand[c] }
	case d < 10:
		key = func(c int32) int32 { return -r.p.Dist[c] }
	case d < 11:
		key = func(c int32) int32 { return r.p.Dist[c] }
	case d < 13:
		key = func(c int32) int32 { return r.p.Late[c] - r.p.Early[c] }
	case d < 15:
		key = func(c int32) int32 { return r.p.Early[c] }
	default:
		key = func(c int32) int32 { return -r.p.Late[c] }
	}
	for i := 1; i < len(r.out); i++ { // short lists
		c := r.out[i]
		k := key(c)
		j := i
		for ; j > 0 && key(r.out[j-1]) > k; j-- {
			r.out[j] = r.out[j-1]
		}
		r.out[j] = c
	}
}
