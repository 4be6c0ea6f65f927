package kernel

// fewer is the problem with as few vehicles as the strands' searches for fewer
// routes leave; it has them to begin with.
func fewer(p *Problem, maps *maps, o Options) *Problem {
	type hunt struct {
		ruin   *ruiner
		fewest [][]int32
	}
	hunts := make([]*hunt, max(o.Strands, 1))
	for i := range hunts {
		hunts[i] = &hunt{ruin: newRuiner(p, maps.by, newDice(o.Seed*1_000_003+uint64(i)+500))}
	}
	each(hunts, o.Cores, func(h *hunt) {
		if h.ruin.begin() {
			h.fewest = h.ruin.fewest(fleetRounds, o.Stop)
		}
	})
	q := *p
	for _, h := range hunts {
		if h.fewest != nil && (q.first == nil || len(h.fewest) < q.Vehicles) {
			q.Vehicles, q.first = len(h.fewest), h.fewest
		}
	}
	return &q
}

const (
	fleetRounds = 100_000 // without a route saved
	fleetSlack  = .01     // of the cost, by which as good a try may be dearer
)

// fewest looks for fewer routes: it takes one apart and shuffles until every stop
// has a place again. A stop that keeps standing outside weighs more with every
// round (absence counters, Christiaens and Vanden Berghe 2020). It stops after
// the given rounds without a route saved, or when stop says so.
func (r *ruiner) fewest(rounds int, stop func() bool) [][]int32 {
	best := r.give(nil)
	absent := make([]int64, r.n)
	load := int64(0)
	for _, d := range r.p.Demand {
		load += int64(d)
	}
	needed := max(int((load+int64(r.p.Capacity)-1)/int64(max(r.p.Capacity, 1))), 1)
	r.limit = len(best)
	var left []int32
	for calm := 0; calm < rounds; calm++ {
		if len(r.out) == 0 {
			best = r.give(nil)
			if len(best) <= needed {
				break
			}
			r.dissolve(absent)
			r.limit = len(best) - 1
			calm = 0
		}
		if calm%stopEvery == stopEvery-1 && stop() {
			break
		}
		cost := r.cost
		left = append(left[:0], r.out...)
		r.ruin()
		r.recreate()
		before, after := weigh(left, absent), weigh(r.out, absent)
		for _, s := range r.out {
			absent[s]++
		}
		if after < before || after == before && float64(r.cost) < float64(cost)*(1+fleetSlack*r.dice.unit()) {
			r.keep()
		} else {
			r.undo(cost)
			r.out = append(r.out[:0], left...)
			for _, s := range left {
				r.in[s] = -1
			}
		}
	}
	r.limit = 0
	r.take(best)
	return best
}

func weigh(stops []int32, absent []int64) int64 {
	sum := int64(0)
	for _, s := range stops {
		sum += absent[s] + 1
	}
	return sum
}

// dissolve takes the route apart whose stops were absent least.
func (r *ruiner) dissolve(absent []int64) {
	pick, least := int32(-1), int64(0)
	for k := range r.routes {
		if l := &r.routes[k]; len(l.stops) > 0 {
			if w := weigh(l.stops, absent); pick < 0 || w < least {
				pick, least = int32(k), w
			}
		}
	}
	l := &r.routes[pick]
	for _, s := range l.stops {
		r.in[s] = -1
		r.out = append(r.out, s)
	}
	l.stops = l.stops[:0]
	r.refresh(pick)
}
