package kernel

import "slices"

// population is what a strand remembers: members that keep the rules and members
// that don't, chosen by cost and by how different they are (Vidal et al. 2012).
type population struct {
	halves [2][]*member // keep the rules, don't
	best   *member      // keeps the rules
	late   int64
	over   int64
	trials [2][]bool // the last members: within time, within capacity
}

const (
	smallest = 25 // members of a half that survive
	born     = 40 // members added until the half is thinned
	elite    = 4
	nearBy   = 5
	memory   = 100
	wanted   = .40 // part of members that should keep a rule
)

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
	if len(*half) > smallest+born {
		p.thin(half)
	}
	if m.good() && (p.best == nil || m.dist < p.best.dist) {
		p.best = m
		return true
	}
	return false
}

func (m *member) insert(o *member, far float64) {
	at := len(m.close)
	for at > 0 && m.close[at-1].far > far {
		at--
	}
	m.close = slices.Insert(m.close, at, neighbour{o, far})
}

// alone is how different a member is from its nearest.
func (m *member) alone() float64 {
	sum, n := 0.0, min(nearBy, len(m.close))
	for _, c := range m.close[:n] {
		sum += c.far
	}
	return sum / float64(max(n, 1))
}

// order ranks a half by cost and difference together.
func order(half []*member) {
	if len(half) == 1 {
		half[0].rank = 0
		return
	}
	by := make([]int, len(half))
	lone := make([]float64, len(half))
	for i := range by {
		by[i] = i
		lone[i] = half[i].alone()
	}
	slices.SortStableFunc(by, func(a, b int) int {
		switch {
		case lone[a] > lone[b]:
			return -1
		case lone[a] < lone[b]:
			return 1
		}
		return 0
	})
	size := float64(len(half))
	weight := 1 - min(elite/size, 1)
	for place, i := range by {
		half[i].rank = float64(i)/(size-1) + weight*float64(place)/(size-1)
	}
}

// thin takes out clones first, then the worst by rank, until the half is small.
func (p *population) thin(half *[]*member) {
	for len(*half) > smallest {
		order(*half)
		worst, clone := 0, false
		for i, m := range *half {
			if i == 0 {
				continue
			}
			c := len(m.close) > 0 && m.close[0].far < 1e-9
			if worst == 0 || c && !clone || c == clone && m.rank > (*half)[worst].rank {
				worst, clone = i, c || clone
			}
		}
		gone := (*half)[worst]
		*half = slices.Delete(*half, worst, worst+1)
		for _, o := range *half {
			o.close = slices.DeleteFunc(o.close, func(n neighbour) bool { return n.to == gone })
		}
	}
}

// pick draws a parent: the better of two.
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
	for i, ok := range [2]bool{m.warp == 0, m.over == 0} {
		p.trials[i] = append(p.trials[i], ok)
		if len(p.trials[i]) > memory {
			p.trials[i] = p.trials[i][1:]
		}
	}
}

// adapt moves the prices of broken rules so that a wanted part of the children
// keeps them, and sorts the half of those that don't anew.
func (p *population) adapt() {
	for i, price := range [2]*int64{&p.late, &p.over} {
		kept := 0
		for _, ok := range p.trials[i] {
			if ok {
				kept++
			}
		}
		part := float64(kept) / float64(max(len(p.trials[i]), 1))
		switch {
		case part < wanted-.05:
			*price = min(*price+1+*price/5, 100_000)
		case part > wanted+.05:
			*price = max(*price*17/20, 1)
		}
	}
	slices.SortStableFunc(p.halves[1], func(a, b *member) int {
		switch x, y := a.cost(p.late, p.over), b.cost(p.late, p.over); {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return 0
	})
}
