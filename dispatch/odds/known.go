package odds

// notKnown counts what has no spread.
func (m *model) notKnown() NotKnown {
	n := NotKnown{Travel: !m.roads.known}
	for i := range m.visits {
		if v := &m.visits[i]; !v.begun {
			n.VisitsOf++
			if !v.work.known() {
				n.Visits++
			}
		}
	}
	for i := range m.pools {
		p := &m.pools[i]
		if p.lows > 0 && p.window == nil {
			n.DrainsOf++
			if !p.drain.known() {
				n.Drains++
			}
		}
		if len(p.covered) > 0 {
			n.FillsOf++
			if !p.fill.known() {
				n.Fills++
			}
		}
	}
	return n
}

// known says of each visit whether the spread of what comes before it is known: the work
// of the stops before it on its tour and of those that it follows, its pool's clock, and
// the drives where no work comes before it.
func (m *model) known() []bool {
	known := make([]bool, len(m.visits))
	for i := range m.tours {
		t := &m.tours[i]
		all := true
		if t.underWay >= 0 {
			all = m.visits[t.underWay].work.known()
		}
		for k, at := range m.order[t.first : t.first+t.count] {
			v := &m.visits[at]
			known[at] = all && (k > 0 || t.underWay >= 0 || m.roads.known)
			for _, f := range v.after {
				known[at] = known[at] && m.visits[f.visit].work.known()
			}
			if v.pool >= 0 {
				p := &m.pools[v.pool]
				if v.needs == needsLow && p.window == nil {
					known[at] = known[at] && p.drain.known()
				}
				if v.needs == needsCovered && len(p.covered) > 0 {
					known[at] = known[at] && p.fill.known()
				}
			}
			all = all && v.work.known()
		}
	}
	for i := range m.visits {
		known[i] = known[i] || m.visits[i].begun
	}
	return known
}
