package search

import (
	"sort"

	"ebbline/dispatch/week"
)

// compileArcs turns the rules between visits of one job into arcs.
func (m *model) compileArcs(j int) {
	x, jb := &m.w.Jobs[j], &m.jobs[j]
	named := map[[2]int32]bool{}
	add := func(from int32, a arc) { m.visits[from].out = append(m.visits[from].out, a) }
	for _, l := range x.Links {
		from, to := int32(m.visitNo[l.From]), int32(m.visitNo[l.To])
		named[[2]int32{from, to}], named[[2]int32{to, from}] = true, true
		if l.Lo != nil {
			add(from, arc{to: to, fromEnd: l.FromEnd, c: *l.Lo})
		}
		if l.Hi != nil {
			add(to, arc{to: from, toEnd: l.FromEnd, c: -*l.Hi, comm: m.visits[to].mayOwe})
		}
	}
	for i := jb.first; i+1 < jb.first+jb.n; i++ {
		if !named[[2]int32{i, i + 1}] {
			add(i, arc{to: i + 1, fromEnd: true})
		}
	}
	m.waterArcs(x, jb, add)
	for i := int32(0); i < jb.n; i++ {
		m.visits[jb.first+i].owedFloor = m.owedFloor(x, jb.first+i, int(i))
		m.visits[jb.first+i].owedLate = x.Begun && x.Visits[i].Pin == nil && m.visits[jb.first+i].frozenTour < 0
	}
}

func (m *model) waterArcs(x *week.Job, jb *job, add func(int32, arc)) {
	wt := x.Water
	if wt == nil || wt.Way == week.WayWindow && len(wt.Covered) == 0 {
		return
	}
	begin, beginEnd := int32(-1), true
	switch {
	case jb.told >= 0:
		begin = jb.told
	case wt.DrainedAt != nil || wt.Way == week.WayWindow:
	case wt.Way == week.WayArrival:
		begin, beginEnd = jb.firstLow, false
	default:
		begin = jb.drain
	}
	for i := int32(0); i < jb.n; i++ {
		n := jb.first + i
		switch x.Visits[i].Water {
		case week.NeedLow:
			if begin >= 0 && wt.Way != week.WayArrival {
				add(begin, arc{to: n, fn: fnLowLate, fromEnd: true})
			} else if begin >= 0 && begin != n {
				add(begin, arc{to: n, fromEnd: true}) // drained by the first
			}
		case week.NeedCovered:
			for l := jb.first; l < jb.first+jb.n && len(wt.Covered) > 0; l++ {
				if m.visits[l].low {
					add(l, arc{to: n, fn: fnCovered, fromEnd: true})
				}
			}
		}
	}
	for l := jb.first; l < jb.first+jb.n; l++ {
		if m.visits[l].low && begin >= 0 && len(wt.LowLimit) > 0 && len(wt.Covered) > 0 && wt.Way != week.WayWindow {
			add(l, arc{to: begin, fn: fnLimit, fromEnd: true, toEnd: beginEnd && jb.told < 0, limit: true})
		}
	}
}

// owedFloor reports whether the facts of the visit alone allow it to be owed: it
// may then start after the first working day beyond the horizon.
func (m *model) owedFloor(x *week.Job, n int32, i int) bool {
	y := &x.Visits[i]
	if !y.MayOwe && !x.Begun || y.Pin != nil || m.visits[n].frozenTour >= 0 {
		return false
	}
	end := m.w.NextWorkday.End
	if x.NotAfter != nil && *x.NotAfter-y.Seconds < end {
		return false
	}
	return true
}

// compileTourLists finds for each visit the tours that may make it.
func (m *model) compileTourLists(j int) {
	jb := &m.jobs[j]
	fewest := len(m.tours)
	for i := int32(0); i < jb.n; i++ {
		n := jb.first + i
		v := &m.visits[n]
		if v.fixed {
			continue
		}
		v.tours = m.toursOf(j, int(i), 0)
		v.anyTours = v.tours
		if jb.must {
			v.anyTours = m.toursOf(j, int(i), offPin|offAvailability)
		}
		fewest = min(fewest, len(v.tours))
	}
	c := &m.visits[jb.conv]
	for _, s := range c.free {
		jb.room += s.hi - s.lo
	}
	last := int32(-1)
	for i, t := range c.tours {
		if m.tours[t].start == last {
			continue
		}
		last = m.tours[t].start
		if d := m.travel.usual(last, c.place); i == 0 || d < jb.far {
			jb.far = d
		}
	}
	jb.hard = jb.hard*4 + (len(m.tours)-fewest)*8/max(1, len(m.tours)) + int(jb.n)*6
}

// tourNeed is everything about a visit that decides which tours may make it, but when.
type tourNeed struct {
	skills  uint64
	people  int
	room    int64
	pump    bool
	collect int32 // home of the pump to collect, -1: any
	frozen  int32
	pinTour int
	pinDay  int
	anyTime bool
	// hours is which shifts (see shiftOf) leave time for it, as bytes of a bit set
	hours string
}

func (m *model) toursOf(j, i int, off uint8) []int32 {
	y, jb := &m.w.Jobs[j].Visits[i], &m.jobs[j]
	n := jb.first + int32(i)
	v := &m.visits[n]
	need := tourNeed{skills: bitsOf(y.Skills, m.skillNo), people: y.People, room: y.Room, pump: v.drop || v.collect || v.arrival,
		collect: -1, frozen: v.frozenTour, pinTour: -1, pinDay: -1, anyTime: off != 0}
	if v.collect {
		need.collect = jb.pumpHome
	}
	if p := y.Pin; p != nil && off&offPin == 0 {
		if p.Tour != "" {
			need.pinTour = m.tourNo[p.Tour]
		}
		if p.Day != nil {
			need.pinDay = *p.Day
		}
	}
	if off == 0 {
		need.hours = m.hoursOf(v)
	}
	list, ok := m.lists[need]
	if !ok {
		list = m.listTours(&need)
		m.lists[need] = list
	}
	return list
}

// hoursOf says which shifts have time for a visit: bit by bit in the order of m.shifts.
func (m *model) hoursOf(v *visit) string {
	bits := make([]byte, (len(m.shifts)+7)/8)
	for k, h := range m.shifts {
		if v.free.next(h.lo)+v.secs <= h.hi {
			bits[k/8] |= 1 << (k % 8)
		}
	}
	return string(bits)
}

// listTours lists the tours that do for a need, in their order.
func (m *model) listTours(need *tourNeed) []int32 {
	var out []int32
	for k := range m.tours {
		t := &m.tours[k]
		switch {
		case t.returned, need.skills&^t.skills != 0, need.people > t.people, t.room > 0 && need.room > t.room,
			need.pump && (t.home < 0 || t.berths < 1),
			need.collect >= 0 && t.home != need.collect,
			need.frozen >= 0 && need.frozen != int32(k),
			need.pinTour >= 0 && need.pinTour != k,
			need.pinDay >= 0 && need.pinDay != int(t.day),
			!need.anyTime && need.hours[t.shift/8]&(1<<(t.shift%8)) == 0:
			continue
		}
		out = append(out, int32(k))
	}
	return out
}

// compileShifts numbers the different stretches of time that tours have.
func (m *model) compileShifts() {
	m.lists = map[tourNeed][]int32{}
	number := map[span]int32{}
	for k := range m.tours {
		t := &m.tours[k]
		h := span{t.depart0, t.o}
		n, ok := number[h]
		if !ok {
			n = int32(len(m.shifts))
			number[h] = n
			m.shifts = append(m.shifts, h)
		}
		t.shift = n
	}
}

// nearest is how many neighbours each job remembers.
const nearest = 60

// compileNear sorts for each job the others by the drive between their conversions.
func (m *model) compileNear() {
	n := len(m.jobs)
	step := max(1, n/2000, n*n/10_000_000) // very many jobs: look at a sample of the others
	both := step < 4                       // and one way only
	order, dist := make([]int32, 0, n), make([]int64, 0, n)
	for j := range m.jobs {
		a := m.visits[m.jobs[j].conv].place
		order = order[:0]
		for k := j % step; k < n; k += step {
			if k != j {
				order = append(order, int32(k))
			}
		}
		d := func(k int32) int64 {
			b := m.visits[m.jobs[k].conv].place
			if !both {
				return m.travel.usual(a, b)
			}
			return m.travel.usual(a, b) + m.travel.usual(b, a)
		}
		dist = dist[:0]
		for _, k := range order {
			dist = append(dist, d(k))
		}
		m.jobs[j].near = least(order, dist, nearest)
	}
}

// least returns the n items of the smallest keys, in their order (equal keys as given).
func least(items []int32, keys []int64, n int) []int32 {
	var out []int32
	var kept []int64
	for i, k := range keys {
		if len(out) == n && k >= kept[n-1] {
			continue
		}
		at := sort.Search(len(kept), func(x int) bool { return kept[x] > k })
		if len(out) < n {
			out, kept = append(out, 0), append(kept, 0)
		}
		copy(out[at+1:], out[at:])
		copy(kept[at+1:], kept[at:])
		out[at], kept[at] = items[i], k
	}
	return out
}
