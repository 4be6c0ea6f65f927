package search

import (
	"slices"

	"ebbline/dispatch/week"
)

// gap is a position of a tour, with what does not hang on the chain that ends there.
type gap struct {
	tour, pos   int32
	cost        int64 // of the detour and the work, money units
	work        int64 // seconds of both
	early, late int64 // the starts that its tour allows
}

// list finds the gaps that visit v may have, cheapest first for each day. Several
// beginnings of a chain then look at the cheapest of them only; see [inserter.scan].
func (in *inserter) list(st *state, j, v int32, tours []int32) {
	m, vs := st.m, &st.m.visits[v]
	for len(in.gapsOf) < m.days {
		in.gapsOf = append(in.gapsOf, nil)
	}
	for d := range in.gapsOf {
		in.gapsOf[d] = in.gapsOf[d][:0]
	}
	in.extension++
	free := st.freeOf(v)
	if len(free) == 0 {
		return
	}
	for _, t := range tours {
		tr := &m.tours[t]
		if len(st.stops[t]) == 0 { // one of several equal empty ones will do
			if in.seenEmpty[tr.class] == in.extension {
				continue
			}
			in.seenEmpty[tr.class] = in.extension
		}
		if tr.room > 0 && st.room[t]+vs.room > tr.room {
			continue
		}
		in.listTour(st, v, t, free)
	}
	for d := range in.gapsOf {
		slices.SortFunc(in.gapsOf[d], func(a, b gap) int {
			switch {
			case a.cost < b.cost:
				return -1
			case a.cost > b.cost:
				return 1
			case a.tour != b.tour:
				return int(a.tour - b.tour)
			}
			return int(a.pos - b.pos)
		})
	}
}

// listTour adds the gaps of one tour, from its end on: what comes behind a gap says how
// late the visit may end in it.
func (in *inserter) listTour(st *state, v, t int32, free starts) {
	m, tr := st.m, &st.m.tours[t]
	vs, stops, lp, l := &m.visits[v], st.stops[t], st.lunch[t], tr.lunch
	first, last := st.mayTake(v, t)
	day := int(tr.day)
	end, q := tr.o, tr.end // the tour goes on to q and has to begin there at end
	for pos := int32(len(stops)); pos >= first; pos-- {
		if pos < int32(len(stops)) {
			u := stops[pos]
			us := &m.visits[u]
			end = us.free.prev(m.until(lp, l, pos+1, us.place, q, end) - (st.e[u] - st.s[u]))
			if q = us.place; end < st.s[u] {
				end = st.s[u] // lunch may have to move, or rules are let off: it is tried
			}
		}
		if pos > last || in.blinks() {
			continue
		}
		p, x := tr.from, tr.depart0
		if pos > int32(len(tr.prefix)) {
			u := stops[pos-1]
			p, x = m.visits[u].place, st.e[u]
		}
		early := free.next(m.travel.arrive(p, vs.place, x))
		if early >= never {
			continue
		}
		late := m.until(lp, l, pos, vs.place, q, end) - vs.secs
		if late < early {
			continue
		}
		detour := m.travel.dist(p, vs.place) + m.travel.dist(vs.place, q)
		work := m.travel.usual(p, vs.place) + m.travel.usual(vs.place, q) + vs.secs
		if len(stops) > 0 {
			detour -= m.travel.dist(p, q)
			work -= m.travel.usual(p, q)
		}
		in.gapsOf[day] = append(in.gapsOf[day], gap{t, pos, detour*tr.km + work*tr.pay, work, early, late})
	}
}

// until is when a crew must leave place p at the latest to begin at place q, its stop
// number pos, at the given instant; lunch lies where lp says.
func (m *model) until(lp lunchAt, l *week.Lunch, pos int32, p, q int32, begin int64) int64 {
	if (lp.kind == lunchAfter || lp.kind == lunchBefore) && int32(lp.pos) == pos {
		begin -= l.Seconds
	}
	return m.travel.leave(p, q, begin)
}

// scan gives v the cheapest of the listed gaps behind a chain, some for each day.
func (in *inserter) scan(st *state, j, v int32, c *partial, lo, hi int64) {
	m := st.m
	free := st.freeOf(v)
	for day := range m.days {
		per := in.perDay
		kept := in.byDay[day*per : day*per+per]
		for i := range in.gapsOf[day] {
			g := &in.gapsOf[day][i]
			cost := c.cost + g.cost
			if in.nDay[day] == per && cost >= kept[per-1].cost {
				break
			}
			if lo > g.late || hi < g.early {
				continue
			}
			s := free.next(max(g.early, lo))
			if s > hi || s > g.late || c.uses(g.tour) {
				continue
			}
			in.weigh(st, j, spot{v, g.tour, g.pos}, c, s, g.work, cost)
		}
	}
}
