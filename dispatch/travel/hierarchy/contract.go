package hierarchy

import "context"

// Witness searches look at this many nodes at most. One that gives up too early
// costs a needless shortcut, never a wrong answer.
const (
	lookWhenRating     = 40
	lookWhenContracted = 200
)

// link is an arc as it is seen from one of its ends.
type link struct{ node, arc uint32 }

// made is an arc while the hierarchy is made.
type made struct {
	Arc
	first, second uint32
}

// maker contracts nodes one after the other.
type maker struct {
	arcs    []made
	out, in [][]link // of nodes not yet contracted, to and from such nodes
	depth   []int32
	rating  []int64
	rank    []uint32
	// The witness search's memory: dist counts where stamp is now.
	dist  []Weight
	stamp []uint32
	now   uint32
	queue heap
	// Targets of the search carry this stamp.
	wanted []uint32
	found  []need
}

// need is a shortcut that contracting a node needs.
type need struct {
	first, second uint32 // arcs to and from it
}

// Build makes the hierarchy of a graph with nodes 0 to nodes-1, and answers each
// node's rank, by which the hierarchy numbers it. Ends of arcs must be such nodes
// and weights below None. Progress, which may be nil, is told how many nodes are
// done. It errs only when the context ends.
func Build(ctx context.Context, nodes int, arcs []Arc, progress func(done int)) (*Hierarchy, []uint32, error) {
	m := &maker{
		out: make([][]link, nodes), in: make([][]link, nodes),
		depth: make([]int32, nodes), rating: make([]int64, nodes), rank: make([]uint32, nodes),
		dist: make([]Weight, nodes), stamp: make([]uint32, nodes), wanted: make([]uint32, nodes),
	}
	for i, a := range arcs {
		if a.Tail != a.Head {
			m.add(made{a, uint32(i), NoArc})
		}
	}
	var queue heap
	for v := range nodes {
		m.rating[v] = m.rate(uint32(v))
		queue.push(entry{key(m.rating[v]), uint32(v)})
	}
	var order []uint32
	for len(order) < nodes {
		if len(order)%256 == 0 {
			if err := ctx.Err(); err != nil {
				return nil, nil, err
			}
			if progress != nil {
				progress(len(order))
			}
		}
		top := queue.pop()
		v := top.node
		if m.rank[v] > 0 || top.key != key(m.rating[v]) {
			continue // done, or rated anew since
		}
		// Neighbours were contracted since it was rated only if they rated it anew,
		// but arcs further off may have changed: look again, and wait if it is worse.
		if rating := m.rate(v); rating > m.rating[v] {
			m.rating[v] = rating
			if len(queue) > 0 && key(rating) > queue[0].key {
				queue.push(entry{key(rating), v})
				continue
			}
		}
		order = append(order, v)
		m.rank[v] = uint32(len(order)) // one too many until the end
		for _, u := range m.contract(v) {
			if rating := m.rate(u); rating != m.rating[u] {
				m.rating[u] = rating
				queue.push(entry{key(rating), u})
			}
		}
	}
	for v := range m.rank {
		m.rank[v]--
	}
	return m.finish(order), m.rank, nil
}

// key turns a rating into a heap's key.
func key(rating int64) Weight { return Weight(rating + 1<<40) }

// add puts an arc in, or makes the one that is there less; it may change an arc
// only while both its ends are there, and so nothing is yet made of it.
func (m *maker) add(a made) {
	for _, l := range m.out[a.Tail] {
		if l.node == a.Head {
			if old := &m.arcs[l.arc]; a.Weight < old.Weight {
				*old = a
			}
			return
		}
	}
	arc := uint32(len(m.arcs))
	m.arcs = append(m.arcs, a)
	m.out[a.Tail] = append(m.out[a.Tail], link{a.Head, arc})
	m.in[a.Head] = append(m.in[a.Head], link{a.Tail, arc})
}

// rate is the less the sooner a node should be contracted: shortcuts made less
// arcs lost, and how many layers lie below it.
func (m *maker) rate(v uint32) int64 {
	m.needs(v, lookWhenRating)
	lost := len(m.out[v]) + len(m.in[v])
	return 2*int64(2*len(m.found)-lost) + int64(m.depth[v])
}

// needs finds the shortcuts without which least paths through v would be lost.
func (m *maker) needs(v uint32, look int) {
	m.found = m.found[:0]
	for _, from := range m.in[v] {
		into := m.arcs[from.arc].Weight
		var most Weight
		m.now++
		left := 0
		for _, to := range m.out[v] {
			if to.node != from.node {
				most = max(most, into+m.arcs[to.arc].Weight)
				m.wanted[to.node] = m.now
				left++
			}
		}
		if left == 0 {
			continue
		}
		m.search(from.node, v, most, look, left)
		for _, to := range m.out[v] {
			if to.node == from.node {
				continue
			}
			if through := into + m.arcs[to.arc].Weight; m.stamp[to.node] != m.now || m.dist[to.node] > through {
				m.found = append(m.found, need{from.arc, to.arc})
			}
		}
	}
}

// search finds distances from u that don't pass through without, up to most.
func (m *maker) search(u, without uint32, most Weight, look, left int) {
	m.queue = m.queue[:0]
	m.dist[u], m.stamp[u] = 0, m.now
	m.queue.push(entry{0, u})
	for len(m.queue) > 0 && look > 0 {
		top := m.queue.pop()
		if top.key > m.dist[top.node] {
			continue
		}
		if m.wanted[top.node] == m.now {
			if left--; left == 0 {
				return
			}
		}
		look--
		for _, l := range m.out[top.node] {
			if l.node == without {
				continue
			}
			d := top.key + m.arcs[l.arc].Weight
			if d > most || m.stamp[l.node] == m.now && m.dist[l.node] <= d {
				continue
			}
			m.dist[l.node], m.stamp[l.node] = d, m.now
			m.queue.push(entry{d, l.node})
		}
	}
}

// contract takes a node out and answers its neighbours.
func (m *maker) contract(v uint32) (neighbours []uint32) {
	m.needs(v, lookWhenContracted)
	for _, l := range m.in[v] {
		m.out[l.node] = without(m.out[l.node], v)
		m.depth[l.node] = max(m.depth[l.node], m.depth[v]+1)
		neighbours = append(neighbours, l.node)
	}
	m.now++
	for _, u := range neighbours {
		m.wanted[u] = m.now
	}
	for _, l := range m.out[v] {
		m.in[l.node] = without(m.in[l.node], v)
		m.depth[l.node] = max(m.depth[l.node], m.depth[v]+1)
		if m.wanted[l.node] != m.now {
			neighbours = append(neighbours, l.node)
		}
	}
	for _, s := range m.found {
		a, b := m.arcs[s.first], m.arcs[s.second]
		m.add(made{Arc{a.Tail, b.Head, a.Weight + b.Weight}, s.first, s.second})
	}
	m.out[v], m.in[v] = nil, nil
	return neighbours
}

func without(links []link, node uint32) []link {
	for i := range links {
		if links[i].node == node {
			links[i] = links[len(links)-1]
			return links[:len(links)-1]
		}
	}
	return links
}

// finish sorts the arcs to their lower end and renumbers everything.
func (m *maker) finish(order []uint32) *Hierarchy {
	h := &Hierarchy{Nodes: len(order)}
	h.Up.Start, h.Down.Start = make([]uint32, len(order)+1), make([]uint32, len(order)+1)
	for _, a := range m.arcs {
		tail, head := m.rank[a.Tail], m.rank[a.Head]
		if tail < head {
			h.Up.Start[tail+1]++
		} else {
			h.Down.Start[head+1]++
		}
		if a.second != NoArc {
			h.Shortcuts++
		}
	}
	for v := range order {
		h.Up.Start[v+1] += h.Up.Start[v]
		h.Down.Start[v+1] += h.Down.Start[v]
	}
	ups := h.Up.Start[len(order)]
	h.Up.room(int(ups))
	h.Down.room(int(h.Down.Start[len(order)]))
	upAt, downAt := append([]uint32(nil), h.Up.Start...), append([]uint32(nil), h.Down.Start...)
	number := make([]uint32, len(m.arcs))
	for i, a := range m.arcs {
		tail, head := m.rank[a.Tail], m.rank[a.Head]
		if tail < head {
			number[i] = upAt[tail]
			h.Up.put(upAt[tail], head, a)
			upAt[tail]++
		} else {
			number[i] = ups + downAt[head]
			h.Down.put(downAt[head], tail, a)
			downAt[head]++
		}
	}
	for _, half := range []*Half{&h.Up, &h.Down} {
		for i := range half.Second {
			if half.Second[i] != NoArc {
				half.First[i], half.Second[i] = number[half.First[i]], number[half.Second[i]]
			}
		}
	}
	return h
}

func (half *Half) room(arcs int) {
	half.Other, half.Weight = make([]uint32, arcs), make([]Weight, arcs)
	half.First, half.Second = make([]uint32, arcs), make([]uint32, arcs)
}

func (half *Half) put(i, other uint32, a made) {
	half.Other[i], half.Weight[i], half.First[i], half.Second[i] = other, a.Weight, a.first, a.second
}
