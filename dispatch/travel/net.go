package travel

import (
	"math"
	"slices"

	"ebbline/dispatch/travel/hierarchy"
)

// net is the road network: pieces of road between crossings.
type net struct {
	vertices int
	edges    []edge
	points   []LatLon // of all edges, one after the other
	ways     []surveyWay
	names    []string
	// Directed edges that leave each vertex: directed edge 2e runs along edge e,
	// 2e+1 against it.
	outStart []uint32
	out      []uint32
	// place is a node of the extract's vertex, for restrictions at nodes.
	vertexOf map[int64]uint32
}

// edge is a piece of road.
type edge struct {
	from, to       uint32           // vertices
	way            uint32           // in net.ways
	first, last    uint32           // in net.points, last included
	along, against hierarchy.Weight // 0 where it may not be driven so
}

// tail and head are the vertices of a directed edge.
func (n *net) tail(d uint32) uint32 {
	if d&1 == 0 {
		return n.edges[d/2].from
	}
	return n.edges[d/2].to
}

func (n *net) head(d uint32) uint32 { return n.tail(d ^ 1) }

// weight is a directed edge's, 0 where it may not be driven.
func (n *net) weight(d uint32) hierarchy.Weight {
	if d&1 == 0 {
		return n.edges[d/2].along
	}
	return n.edges[d/2].against
}

// leaving are the directed edges that may be driven from a vertex.
func (n *net) leaving(v uint32) []uint32 { return n.out[n.outStart[v]:n.outStart[v+1]] }

// cut cuts the roads at their crossings. At a node that stops cars each piece
// ends for itself.
func (s *survey) cut() *net {
	n := &net{ways: s.ways, names: s.names.list, vertexOf: map[int64]uint32{}}
	vertex := make([]uint32, len(s.ids))
	at := func(node uint32) uint32 {
		if s.state[node]&nodeShut != 0 {
			n.vertices++
			return uint32(n.vertices - 1)
		}
		if vertex[node] == 0 {
			n.vertices++
			vertex[node] = uint32(n.vertices) // one too many, for 0 means none
		}
		return vertex[node] - 1
	}
	for w := range s.ways {
		way := &s.ways[w]
		begin := -1 // the piece's first, in refAt
		for i := way.from; i < way.to; i++ {
			node := s.refAt[i]
			if s.state[node]&nodeThere == 0 {
				if begin >= 0 && i-1 > begin {
					n.addEdge(s, at, uint32(w), begin, i-1)
				}
				begin = -1
				continue
			}
			if begin < 0 {
				begin = i
				continue
			}
			if s.state[node]&(nodeCrossing|nodeShut) != 0 {
				n.addEdge(s, at, uint32(w), begin, i)
				begin = i
			}
		}
		if begin >= 0 && begin < way.to-1 {
			n.addEdge(s, at, uint32(w), begin, way.to-1)
		}
	}
	for _, turn := range s.turns {
		if turn.viaNode != 0 {
			if i, ok := slices.BinarySearch(s.ids, turn.viaNode); ok && vertex[i] != 0 {
				n.vertexOf[turn.viaNode] = vertex[i] - 1
			}
		}
	}
	n.listLeaving()
	return n
}

func (n *net) addEdge(s *survey, at func(uint32) uint32, way uint32, begin, end int) {
	e := edge{way: way, first: uint32(len(n.points))}
	for i := begin; i <= end; i++ {
		here := s.at[s.refAt[i]]
		if last := len(n.points) - 1; i > begin && i < end && n.points[last] == here {
			continue
		}
		n.points = append(n.points, here)
	}
	e.last = uint32(len(n.points) - 1)
	e.from, e.to = at(s.refAt[begin]), at(s.refAt[end])
	cm := lengthCm(n.points[e.first:])
	r := s.ways[way].road
	e.along, e.against = weightOf(cm, r.forward), weightOf(cm, r.backward)
	n.edges = append(n.edges, e)
}

// weightOf is the weight of a length at a speed in metres an hour; at least a
// millisecond, for 0 means closed.
func weightOf(cm int64, speed int32) hierarchy.Weight {
	if speed == 0 {
		return 0
	}
	ms := (cm*36_000 + int64(speed)/2) / int64(speed)
	return hierarchy.Join(uint32(min(max(ms, 1), math.MaxInt32)), uint32(min(cm, math.MaxInt32)))
}

func (n *net) listLeaving() {
	n.outStart = make([]uint32, n.vertices+1)
	for d := range uint32(2 * len(n.edges)) {
		if n.weight(d) > 0 {
			n.outStart[n.tail(d)+1]++
		}
	}
	for v := range n.vertices {
		n.outStart[v+1] += n.outStart[v]
	}
	n.out = make([]uint32, n.outStart[n.vertices])
	at := append([]uint32(nil), n.outStart...)
	for d := range uint32(2 * len(n.edges)) {
		if n.weight(d) > 0 {
			v := n.tail(d)
			n.out[at[v]] = d
			at[v]++
		}
	}
}
