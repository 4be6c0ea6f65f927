package travel

import "slices"

// turnPath is a way through a restriction's members as directed edges: the one
// that comes in, those between, and the one that leaves.
type turnPath []uint32

// mostVia is how many ways may lie between from and to.
const mostVia = 6

// turnPaths finds what a restriction speaks of. A from and a to that meet in more
// than one way are unclear; a U-turn on one way is not.
func (n *net) turnPaths(t *turnRelation, edges map[int64][]uint32) (paths []turnPath, fate turnFate) {
	if len(t.viaWays) > mostVia {
		return nil, turnUnclear
	}
	fate = turnVoid
	for _, from := range t.from {
		for _, to := range t.to {
			found, missing := n.turnPathsOf(t, edges, edges[from], edges[to], t.back && from == to)
			switch {
			case missing:
			case len(found) == 1 || len(found) > 1 && t.back && from == to && t.viaNode != 0:
				paths = append(paths, found...)
				fate = turnKept
			case fate == turnVoid:
				fate = turnUnclear
			}
		}
	}
	return paths, fate
}

// turnPathsOf answers all ways from one way to another; missing means that a
// member isn't there for cars.
func (n *net) turnPathsOf(t *turnRelation, edges map[int64][]uint32, from, to []uint32, back bool) (found []turnPath, missing bool) {
	if len(from) == 0 || len(to) == 0 {
		return nil, true
	}
	middles := []turnPath{nil}
	for _, via := range t.viaWays {
		if len(edges[via]) == 0 {
			return nil, true
		}
		var longer []turnPath
		for _, m := range middles {
			for _, along := range n.bothWays(edges[via]) {
				longer = append(longer, append(slices.Clone(m), along...))
			}
		}
		middles = longer
	}
	drivable := false
	for _, m := range middles {
		if !n.joins(m) {
			continue
		}
		begin, end, ok := n.endsOf(t, m)
		if !ok {
			continue
		}
		for _, in := range n.touching(from, func(d uint32) bool { return n.head(d) == begin }) {
			for _, out := range n.touching(to, func(d uint32) bool { return n.tail(d) == end }) {
				drivable = true
				turns := len(m) > 0 && (m[0] == in^1 || m[len(m)-1] == out^1)
				if (back && out != in^1 && len(m) == 0) || turns {
					continue
				}
				found = append(found, append(append(turnPath{in}, m...), out))
			}
		}
	}
	return found, !drivable && len(t.viaWays) == 0
}

// endsOf are the vertices where a restriction's middle begins and ends.
func (n *net) endsOf(t *turnRelation, middle turnPath) (begin, end uint32, ok bool) {
	if len(middle) > 0 {
		return n.tail(middle[0]), n.head(middle[len(middle)-1]), true
	}
	v, ok := n.vertexOf[t.viaNode]
	return v, v, ok
}

// bothWays are a way's edges along it and against it.
func (n *net) bothWays(edges []uint32) []turnPath {
	along, against := make(turnPath, 0, len(edges)), make(turnPath, 0, len(edges))
	for i, e := range edges {
		along = append(along, 2*e)
		against = append(against, 2*edges[len(edges)-1-i]+1)
	}
	return []turnPath{along, against}
}

// joins says whether directed edges may be driven one after the other.
func (n *net) joins(path turnPath) bool {
	for i, d := range path {
		if n.weight(d) == 0 || i > 0 && n.head(path[i-1]) != n.tail(d) {
			return false
		}
	}
	return true
}

// touching are the directed edges of some edges that may be driven and are meant.
func (n *net) touching(edges []uint32, meant func(uint32) bool) (list []uint32) {
	for _, e := range edges {
		for _, d := range []uint32{2 * e, 2*e + 1} {
			if n.weight(d) > 0 && meant(d) {
				list = append(list, d)
			}
		}
	}
	return list
}
