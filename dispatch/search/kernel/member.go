package kernel

// member is one set of routes of the population, in order of their direction.
type member struct {
	routes     [][]int32
	next, prev []int32
	dist       int64
	warp, over int64
	rank       float64
	close      []neighbour // other members of its half, nearest first
}

type neighbour struct {
	to  *member
	far float64
}

func (m *member) good() bool { return m.warp == 0 && m.over == 0 }

func (m *member) cost(late, over int64) int64 { return m.dist + m.warp*late + m.over*over }

func newMember(places int) *member {
	return &member{next: make([]int32, places), prev: make([]int32, places)}
}

// copy is the routes of another one, with no neighbours yet.
func (m *member) copy(o *member) *member {
	m.dist, m.warp, m.over = o.dist, o.warp, o.over
	copy(m.next, o.next)
	copy(m.prev, o.prev)
	m.routes = resized(m.routes, len(o.routes))
	for i, stops := range o.routes {
		m.routes[i] = append(m.routes[i][:0], stops...)
	}
	return m
}

// member reads the routes of a climber into a blank one.
func (c *climber) member(m *member) *member {
	m.dist, m.warp, m.over = 0, 0, 0
	clear(m.next)
	m.routes = c.give(m.routes)
	for _, stops := range m.routes {
		rt := &c.list[c.in[stops[0]]]
		m.dist += int64(rt.dist)
		m.warp += int64(rt.warp)
		m.over += int64(max(rt.load-c.p.Capacity, 0))
		last := int32(0)
		for _, s := range stops {
			m.prev[s] = last
			if last != 0 {
				m.next[last] = s
			}
			last = s
		}
	}
	return m
}

// apart is the part of neighbourhoods in which two members differ.
func apart(a, b *member) float64 {
	differ := 0
	for j := 1; j < len(a.next); j++ {
		if a.next[j] != b.next[j] && a.next[j] != b.prev[j] {
			differ++
		}
		if a.prev[j] == 0 && b.prev[j] != 0 && b.next[j] != 0 {
			differ++
		}
	}
	return float64(differ) / float64(max(len(a.next)-1, 1))
}
