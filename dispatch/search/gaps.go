package search

import "ebbline/dispatch/week"

// gaps tries every position of one tour.
func (in *inserter) gaps(st *state, j, v, t int32, c *partial, lo, hi int64) {
	m, tr := st.m, &st.m.tours[t]
	vs, stops := &m.visits[v], st.stops[t]
	first, last := st.mayTake(v, t)
	if tr.room > 0 && !in.roomFor(st, c, t, vs.room) {
		return
	}
	mate := -1 // the chain's last visit in the same tour
	for i := 0; i < int(c.n); i++ {
		if c.spots[i].tour == t {
			mate = i
			first = max(first, c.spots[i].pos)
		}
	}
	per, day := in.perDay, int(tr.day)
	kept := in.byDay[day*per : day*per+per]
	last1 := hi // no later arrival can do
	if f := st.freeOf(v); len(f) > 0 {
		last1 = min(hi, f[len(f)-1].hi)
	}
	for pos := first; pos <= last; pos++ {
		if in.blinks() {
			continue
		}
		p, x := tr.from, max(tr.depart0, always)
		if pos > int32(len(tr.prefix)) {
			u := stops[pos-1]
			p, x = m.visits[u].place, st.e[u]
		}
		if mate >= 0 {
			u := c.spots[mate].visit - m.jobs[j].first
			if c.spots[mate].pos == pos {
				p = m.visits[c.spots[mate].visit].place
			}
			x = max(x, c.ee[u])
		}
		if x > last1 {
			break
		}
		q := tr.end
		if pos < int32(len(stops)) {
			q = m.visits[stops[pos]].place
		}
		detour := m.travel.dist(p, vs.place) + m.travel.dist(vs.place, q)
		work := m.travel.usual(p, vs.place) + m.travel.usual(vs.place, q) + vs.secs
		if len(stops) > 0 || mate >= 0 {
			detour -= m.travel.dist(p, q)
			work -= m.travel.usual(p, q)
		}
		cost := c.cost + detour*tr.km + work*tr.pay
		if in.nDay[day] == per && cost >= kept[per-1].cost {
			continue
		}
		s := st.freeOf(v).next(max(m.travel.arrive(p, vs.place, x), lo))
		if s > hi || s+vs.secs > tr.o {
			continue
		}
		in.weigh(st, j, spot{v, t, pos}, c, s, work, cost)
	}
}

// weigh keeps a chain with v at a spot if the rest of the tour and its pumps allow it. The
// cost so far is that of the detour and of the work, so many seconds.
func (in *inserter) weigh(st *state, j int32, sp spot, c *partial, s, work, cost int64) {
	m, v, t := st.m, sp.visit, sp.tour
	tr, vs, day := &m.tours[t], &m.visits[v], int(m.tours[t].day)
	in.late = 0
	r, ok := in.push(st, t, int(sp.pos), vs.place, s+vs.secs, tr.lunch)
	if !ok {
		return
	}
	if in.pays {
		cost += in.late + st.laterCost(v, always, s)
	}
	if was := st.ret[t]; len(st.stops[t]) > 0 {
		cost += max(0, r-was-work) * tr.pay / 2
		if r > tr.b {
			cost += (r - max(tr.b, was)) * (tr.over - tr.pay)
		}
	} else if r > tr.b {
		cost += (r - tr.b) * (tr.over - tr.pay)
	}
	if v == m.jobs[j].conv {
		cost += m.conversionPrice(j, s+vs.secs)
	}
	if vs.drop && !in.pumpFor(st, t, int(sp.pos)) {
		return
	}
	in.keep(in.byDay[day*in.perDay:(day+1)*in.perDay], day, c, v-m.jobs[j].first, sp, s, s+vs.secs, tr.o-vs.secs, cost)
}

// mayTake are the first and the last position at which a tour's frozen stops let it take
// a visit.
func (st *state) mayTake(v, t int32) (first, last int32) {
	m, vs, stops := st.m, &st.m.visits[v], st.stops[t]
	first, last = int32(len(m.tours[t].prefix)), int32(len(stops))
	for first < last {
		x := &m.visits[stops[first]]
		if x.frozenTour != t || vs.frozenTour == t && x.frozenRank > vs.frozenRank {
			break
		}
		first++
	}
	if vs.frozenTour == t {
		last = first
	}
	return first, last
}

// push walks the rest of a tour after a stop that ends at x and returns its return.
func (in *inserter) push(st *state, t int32, pos int, p int32, x int64, l *week.Lunch) (int64, bool) {
	m, tr := st.m, &st.m.tours[t]
	stops, lp := st.stops[t], st.lunch[t]
	gap := lp.kind == lunchBefore || lp.kind == lunchAfter
	for k := pos; k < len(stops); k++ {
		u := stops[k]
		us := &m.visits[u]
		if gap && int(lp.pos) == k {
			x = max(x, l.From) + l.Seconds
		}
		a := m.travel.arrive(p, us.place, x)
		d := st.e[u] - st.s[u]
		if a <= st.s[u] {
			return st.ret[t], true
		}
		s := a
		if f := us.free; len(f) > 0 {
			if s = f.next(a); s >= never {
				return 0, false
			}
		}
		x = s + d
		if x > tr.o {
			return 0, false
		}
		if in.pays {
			in.late += st.laterCost(u, st.s[u], s)
		}
		p = us.place
	}
	if gap && int(lp.pos) == len(stops) && len(stops) > 0 {
		x = max(x, l.From) + l.Seconds
	}
	r := m.travel.arrive(p, tr.end, x)
	return r, r <= tr.o
}

// roomFor reports whether the truck takes so much more beside what it has and what the
// chain has put on it.
func (in *inserter) roomFor(st *state, c *partial, t int32, more int64) bool {
	for _, sp := range c.spots[:c.n] {
		if sp.tour == t {
			more += st.m.visits[sp.visit].room
		}
	}
	return st.room[t]+more <= st.m.tours[t].room
}

// pumpFor reports whether a pump can be on the truck for a drop before stop pos.
func (in *inserter) pumpFor(st *state, t int32, pos int) bool {
	m, tr := st.m, &st.m.tours[t]
	on, least := st.load[t], int32(1<<30)
	for k, v := range st.stops[t] {
		if k == pos {
			least = on
		}
		if m.visits[v].collect {
			on++
		}
		if m.visits[v].drop {
			on--
		}
		least = min(least, on)
		if k < pos {
			least = 1 << 30
		}
	}
	if min(least, on) >= 1 {
		return true // one comes onto the truck early enough
	}
	i := int(tr.home)*m.days + int(tr.day)
	return tr.begun == nil && int(st.loads[i]+st.out[i]) < m.homes[tr.home].pumps[tr.day]
}

// keep holds the cheapest spots per day, one a tour unless every one counts.
func (in *inserter) keep(kept []partial, day int, c *partial, i int32, sp spot, s, e, late, cost int64) {
	n := in.nDay[day]
	k := n
	for x := 0; x < n && !in.every; x++ {
		if kept[x].spots[c.n].tour == sp.tour {
			if kept[x].cost <= cost {
				return
			}
			k = x
			break
		}
	}
	if k == n {
		if n == len(kept) {
			if kept[n-1].cost <= cost {
				return
			}
			k = n - 1
		} else {
			in.nDay[day]++
		}
	}
	x := &kept[k]
	*x = *c
	x.cost, x.day = cost, int32(day)
	x.spots[c.n] = sp
	x.n = c.n + 1
	x.es[i], x.ee[i], x.late[i] = s, e, late
	x.set |= 1 << uint(i)
	for k > 0 && kept[k-1].cost > kept[k].cost {
		kept[k-1], kept[k] = kept[k], kept[k-1]
		k--
	}
}
