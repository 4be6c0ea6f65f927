package kernel

import (
	"cmp"
	"slices"
)

// population is what a strand remembers: members that keep the rules and members
// that don't, chosen by cost and by how different they are (Vidal et al. 2012).
type population struct {
	halves [2][]*member // keep the rules, don't; cheapest first
	best   *member      // keeps the rules; may stand in no half
	late   int64        // price of a unit of lateness
	over   int64        // and of load over capacity
	places int
	noted  int
	trials [2][memory]bool // the last members: within time, within capacity
	idle   []*member       // members let go, to be used again
	ranks  []int           // working room of order
	alone  []float64
}

const (
	smallest = 25 // members of a half that survive
	more     = 40 // members added until the half is thinned
	elite    = 4
	nearBy   = 5
	memory   = 100
	wanted   = .40 // part of members that should keep a rule
)

// newPopulation is empty. To begin with, a unit of load costs about what a trip of
// its own would.
func newPopulation(p *Problem) population {
	far, big := int32(1), int32(1)
	for i := range p.Places() {
		far, big = max(far, p.Dist[i]), max(big, p.Demand[i])
	}
	return population{places: p.Places(), late: 6, over: max(min(int64(far/big), 1000), 1)}
}

// blank is a member to write on.
func (p *population) blank() *member {
	last := len(p.idle) - 1
	if last < 0 {
		return newMember(p.places)
	}
	m := p.idle[last]
	p.idle = p.idle[:last]
	return m
}

// forget lets a member go that stands in no half.
func (p *population) forget(m *member) {
	if m != p.best {
		m.close = m.close[:0]
		p.idle = append(p.idle, m)
	}
}

// clear forgets everybody but the best.
func (p *population) clear() {
	for i, half := range p.halves {
		for _, m := range half {
			p.forget(m)
		}
		p.halves[i] = half[:0]
	}
}

// add takes a member in; it says whether it is the best so far.
func (p *population) add(m *member) bool {
	half := &p.halves[0]
	if !m.good() {
		half = &p.halves[1]
	}
	for _, o := range *half {
		far := apart(m, o)
		m.insert(o, far)
		o.insert(m, far)
	}
	at := 0
	cost := m.cost(p.late, p.over)
	for at < len(*half) && (*half)[at].cost(p.late, p.over) <= cost {
		at++
	}
	*half = slices.Insert(*half, at, m)
	better := m.good() && (p.best == nil || m.dist < p.best.dist)
	if better {
		p.best = m
	}
	if len(*half) > smallest+more {
		p.thin(half)
	}
	return better
}

func (m *member) insert(o *member, far float64) {
	at := len(m.close)
	for at > 0 && m.close[at-1].far > far {
		at--
	}
	m.close = slices.Insert(m.close, at, neighbour{o, far})
}

// lone is how different a member is from its nearest.
func (m *member) lone() float64 {
	sum, n := 0.0, min(nearBy, len(m.close))
	for _, c := range m.close[:n] {
		sum += c.far
	}
	return sum / float64(max(n, 1))
}

// order ranks a half by cost and difference together.
func (p *population) order(half []*member) {
	p.ranks, p.alone = p.ranks[:0], p.alone[:0]
	for i, m := range half {
		p.ranks, p.alone = append(p.ranks, i), append(p.alone, m.lone())
	}
	slices.SortStableFunc(p.ranks, func(a, b int) int { return cmp.Compare(p.alone[b], p.alone[a]) })
	size := float64(len(half))
	weight := 1 - min(elite/size, 1)
	for place, i := range p.ranks {
		half[i].rank = (float64(i) + weight*float64(place)) / max(size-1, 1)
	}
}

// thin takes out clones first, then the worst by rank, until the half is small.
// The cheapest stays.
func (p *population) thin(half *[]*member) {
	for len(*half) > smallest {
		p.order(*half)
		worst, clone := 0, false
		for i, m := range (*half)[1:] {
			c := len(m.close) > 0 && m.close[0].far < 1e-9
			if worst == 0 || c && !clone || c == clone && m.rank > (*half)[worst].rank {
				worst, clone = i+1, c || clone
			}
		}
		gone := (*half)[worst]
		*half = slices.Delete(*half, worst, worst+1)
		for _, o := range *half {
			o.close = slices.DeleteFunc(o.close, func(n neighbour) bool { return n.to == gone })
		}
		p.forget(gone)
	}
}

// parents draws two members, each the better of two, and not the same one twice if
// that can be helped.
func (p *population) parents(d *dice) (a, b *member) {
	p.order(p.halves[0])
	p.order(p.halves[1])
	a, b = p.pick(d), p.pick(d)
	for try := 0; a == b && try < 10; try++ {
		b = p.pick(d)
	}
	return a, b
}

func (p *population) pick(d *dice) *member {
	draw := func() *member {
		i := d.below(len(p.halves[0]) + len(p.halves[1]))
		if i < len(p.halves[0]) {
			return p.halves[0][i]
		}
		return p.halves[1][i-len(p.halves[0])]
	}
	a, b := draw(), draw()
	if a.rank <= b.rank {
		return a
	}
	return b
}

// note remembers whether a child kept the rules.
func (p *population) note(m *member) {
	at := p.noted % memory
	p.trials[0][at], p.trials[1][at] = m.warp == 0, m.over == 0
	p.noted++
}

// adapt moves the prices of broken rules so that a wanted part of the children
// keeps them, and sorts the half of those that don't anew.
func (p *population) adapt() {
	for i, price := range [2]*int64{&p.late, &p.over} {
		kept, seen := 0, min(p.noted, memory)
		for _, ok := range p.trials[i][:seen] {
			if ok {
				kept++
			}
		}
		part := float64(kept) / float64(max(seen, 1))
		switch {
		case part < wanted-.05:
			*price = min(*price+1+*price/5, 100_000)
		case part > wanted+.05:
			*price = max(*price*17/20, 1)
		}
	}
	slices.SortStableFunc(p.halves[1], func(a, b *member) int {
		return cmp.Compare(a.cost(p.late, p.over), b.cost(p.late, p.over))
	})
}
