package hierarchy

// Plain is the graph itself, for answers without a hierarchy, by which those with
// one are checked.
type Plain struct {
	start []uint32
	head  []uint32
	cost  []Weight
	dist  []Weight
	queue heap
}

// NewPlain takes the same arcs as Build.
func NewPlain(nodes int, arcs []Arc) *Plain {
	g := &Plain{start: make([]uint32, nodes+1), head: make([]uint32, len(arcs)), cost: make([]Weight, len(arcs)), dist: make([]Weight, nodes)}
	for _, a := range arcs {
		g.start[a.Tail+1]++
	}
	for v := range nodes {
		g.start[v+1] += g.start[v]
	}
	at := append([]uint32(nil), g.start...)
	for _, a := range arcs {
		g.head[at[a.Tail]], g.cost[at[a.Tail]] = a.Head, a.Weight
		at[a.Tail]++
	}
	return g
}

// From answers the least weights from a source to all targets by Dijkstra's
// algorithm, into row.
func (g *Plain) From(from *Seeds, source int, to *Seeds, row []Weight) {
	for v := range g.dist {
		g.dist[v] = None
	}
	g.queue = g.queue[:0]
	for i := from.Start[source]; i < from.Start[source+1]; i++ {
		if v := from.Node[i]; from.Weight[i] < g.dist[v] {
			g.dist[v] = from.Weight[i]
			g.queue.push(entry{from.Weight[i], v})
		}
	}
	for len(g.queue) > 0 {
		top := g.queue.pop()
		if top.key > g.dist[top.node] {
			continue
		}
		for a := g.start[top.node]; a < g.start[top.node+1]; a++ {
			if d := top.key + g.cost[a]; d < g.dist[g.head[a]] {
				g.dist[g.head[a]] = d
				g.queue.push(entry{d, g.head[a]})
			}
		}
	}
	for j := range row {
		row[j] = None
		for i := to.Start[j]; i < to.Start[j+1]; i++ {
			row[j] = min(row[j], g.dist[to.Node[i]]+to.Weight[i])
		}
	}
}
