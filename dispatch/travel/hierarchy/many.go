package hierarchy

import (
	"context"
	"slices"
)

// lanes is how many sources one sweep carries.
const lanes = 8

// Many answers the least weights from all sources to all targets, source by
// source, None where no path is. It errs only when the context ends.
func (h *Hierarchy) Many(ctx context.Context, from, to *Seeds) ([]Weight, error) {
	table := make([]Weight, from.Len()*to.Len())
	var err error
	if from.Len() > 4*to.Len() { // fewer sweeps against the arcs' direction
		err = many(ctx, h.Nodes, &h.Down, &h.Up, to, from, table, 1, to.Len())
	} else {
		err = many(ctx, h.Nodes, &h.Up, &h.Down, from, to, table, to.Len(), 1)
	}
	return table, err
}

// many searches upwards from each source, lanes of them at a time, and then
// sweeps down over the part of the graph that can reach a target. The weight
// from source i to target j goes to table[i*di+j*dj].
func many(ctx context.Context, nodes int, up, down *Half, from, to *Seeds, table []Weight, di, dj int) error {
	p := plan(nodes, down, to)
	climb := newClimber(nodes, up)
	reached := make([][lanes]Weight, len(p.nodes))
	for first := 0; first < from.Len(); first += lanes {
		if err := ctx.Err(); err != nil {
			return err
		}
		count := min(lanes, from.Len()-first)
		for i := range reached {
			reached[i] = [lanes]Weight{None, None, None, None, None, None, None, None}
		}
		for lane := range count {
			climb.from(from, first+lane)
			for _, v := range climb.seen {
				if at := p.local[v]; at > 0 {
					reached[at-1][lane] = climb.weight[v]
				}
			}
		}
		p.sweep(reached)
		for j := range to.Len() {
			best := [lanes]Weight{None, None, None, None, None, None, None, None}
			for s := to.Start[j]; s < to.Start[j+1]; s++ {
				lower(&best, &reached[p.local[to.Node[s]]-1], to.Weight[s])
			}
			for lane := range count {
				table[(first+lane)*di+j*dj] = best[lane]
			}
		}
	}
	return nil
}

// sweepPlan is the part of the downward graph from which targets are reached.
type sweepPlan struct {
	local []uint32 // by node: its place in nodes plus one, 0 for not in it
	nodes []uint32 // from the highest down
	start []uint32 // by place in nodes
	arcs  []sweepArc
}

type sweepArc struct {
	weight Weight
	from   uint32 // place in nodes
}

func plan(nodes int, down *Half, to *Seeds) *sweepPlan {
	p := &sweepPlan{local: make([]uint32, nodes)}
	for _, v := range to.Node {
		if p.local[v] == 0 {
			p.local[v] = 1
			p.nodes = append(p.nodes, v)
		}
	}
	arcs := 0
	for i := 0; i < len(p.nodes); i++ {
		v := p.nodes[i]
		others := down.Other[down.Start[v]:down.Start[v+1]]
		arcs += len(others)
		for _, u := range others {
			if p.local[u] == 0 {
				p.local[u] = 1
				p.nodes = append(p.nodes, u)
			}
		}
	}
	slices.Sort(p.nodes)
	slices.Reverse(p.nodes)
	for i, v := range p.nodes {
		p.local[v] = uint32(i + 1)
	}
	p.start, p.arcs = make([]uint32, 0, len(p.nodes)+1), make([]sweepArc, 0, arcs)
	for _, v := range p.nodes {
		p.start = append(p.start, uint32(len(p.arcs)))
		for a := down.Start[v]; a < down.Start[v+1]; a++ {
			p.arcs = append(p.arcs, sweepArc{down.Weight[a], p.local[down.Other[a]] - 1})
		}
	}
	p.start = append(p.start, uint32(len(p.arcs)))
	return p
}

func (p *sweepPlan) sweep(reached [][lanes]Weight) {
	for i := range reached {
		here := &reached[i]
		for _, a := range p.arcs[p.start[i]:p.start[i+1]] {
			lower(here, &reached[a.from], a.weight)
		}
	}
}

// lower makes each lane the less of itself and the other's with the weight added.
func lower(lane, other *[lanes]Weight, w Weight) {
	lane[0] = min(lane[0], other[0]+w)
	lane[1] = min(lane[1], other[1]+w)
	lane[2] = min(lane[2], other[2]+w)
	lane[3] = min(lane[3], other[3]+w)
	lane[4] = min(lane[4], other[4]+w)
	lane[5] = min(lane[5], other[5]+w)
	lane[6] = min(lane[6], other[6]+w)
	lane[7] = min(lane[7], other[7]+w)
}

// climber finds least weights along upward arcs. Nodes are numbered by rank, so
// that handling them by number handles each after all that lead to it.
type climber struct {
	up     *Half
	weight []Weight // by node: None for not reached
	by     []uint32 // by node: the arc it was reached by, NoArc for a seed
	seen   []uint32 // nodes reached, ascending
	queue  ranks
}

func newClimber(nodes int, up *Half) *climber {
	c := &climber{up: up, weight: make([]Weight, nodes), by: make([]uint32, nodes)}
	for v := range c.weight {
		c.weight[v] = None
	}
	return c
}

// from forgets the last climb and climbs from a place.
func (c *climber) from(s *Seeds, place int) {
	for _, v := range c.seen {
		c.weight[v] = None
	}
	c.seen, c.queue = c.seen[:0], c.queue[:0]
	for i := s.Start[place]; i < s.Start[place+1]; i++ {
		c.reach(s.Node[i], s.Weight[i], NoArc)
	}
	for len(c.queue) > 0 {
		v := c.queue.pop()
		c.seen = append(c.seen, v)
		for a := c.up.Start[v]; a < c.up.Start[v+1]; a++ {
			c.reach(c.up.Other[a], c.weight[v]+c.up.Weight[a], a)
		}
	}
}

func (c *climber) reach(v uint32, w Weight, by uint32) {
	if c.weight[v] == None {
		c.queue.push(v)
	}
	if w < c.weight[v] {
		c.weight[v], c.by[v] = w, by
	}
}
