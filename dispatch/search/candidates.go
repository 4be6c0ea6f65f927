package search

import "math"

// candidateTours is how many tours are looked at for a visit where very many could
// make it.
const candidateTours = 40

// toursFor are the tours to look at for a visit: all that may make it, or on each day
// those that pass nearest where there are very many.
func (in *inserter) toursFor(st *state, v int32) []int32 {
	m := st.m
	all := m.visits[v].tours
	if in.all || len(all) <= candidateTours*3/2 {
		return all
	}
	perDay := max(6, candidateTours/m.days)
	if in.cand == nil {
		in.cand, in.candStamp = make([][]int32, len(m.visits)), make([]int32, len(m.visits))
		in.near, in.nNear = make([]nearTour, m.days*perDay), make([]int, m.days)
	}
	if in.candStamp[v] == in.stamp && in.cand[v] != nil {
		return in.cand[v]
	}
	in.candStamp[v] = in.stamp
	p := m.visits[v].place
	clear(in.nNear)
	for _, t := range all {
		score := nearness(st, t, p)
		if len(st.stops[t]) > 0 && st.ret[t]+m.visits[v].secs > m.tours[t].o {
			score += 1 << 30 // full as it stands: those with room come first
		}
		k, base := in.nNear[m.tours[t].day], int(m.tours[t].day)*perDay
		if k == perDay {
			if score >= in.near[base+k-1].score {
				continue
			}
			k--
		} else {
			in.nNear[m.tours[t].day]++
		}
		for k > 0 && in.near[base+k-1].score > score {
			in.near[base+k] = in.near[base+k-1]
			k--
		}
		in.near[base+k] = nearTour{score, t}
	}
	list := in.cand[v][:0]
	for d, n := range in.nNear {
		for k := range n {
			list = append(list, in.near[d*perDay+k].tour)
		}
	}
	in.cand[v] = list
	return list
}

type nearTour struct {
	score int64
	tour  int32
}

// nearness is the shortest drive from a stop of the tour to a place.
func nearness(st *state, t, p int32) int64 {
	m := st.m
	if len(st.stops[t]) == 0 {
		return m.travel.usual(m.tours[t].from, p)
	}
	near := int64(math.MaxInt64)
	for _, u := range st.stops[t] {
		near = min(near, m.travel.usual(m.visits[u].place, p))
	}
	return near
}

// blinks reports, now and then, that a position is to be overlooked.
func (in *inserter) blinks() bool {
	if in.rng == nil || in.blink <= 0 {
		return false
	}
	if in.untilBlink > 0 {
		in.untilBlink--
		return false
	}
	in.untilBlink = int(math.Log(1-in.rng.Float64()) / math.Log(1-in.blink))
	return true
}

// uses reports whether a chain has a stop on a tour.
func (c *partial) uses(t int32) bool {
	for i := range c.spots[:c.n] {
		if c.spots[i].tour == t {
			return true
		}
	}
	return false
}

// compileClasses numbers tours so that two have the same number only if they differ in
// nothing but their crew, and nothing was begun, frozen or told of them.
func (m *model) compileClasses() {
	m.classes = 0
	first := map[[8]int64][]int32{}
	for i := range m.tours {
		t := &m.tours[i]
		t.class = -1
		key := [8]int64{int64(t.day), int64(t.start)<<32 | int64(t.end), int64(t.home)<<32 | int64(t.people)<<16 | int64(t.berths), t.a, t.b, t.o, int64(t.skills), t.pay<<20 ^ t.over<<40 ^ t.km ^ t.room<<50}
		for _, k := range first[key] {
			if m.sameTour(t, &m.tours[k]) {
				t.class = m.tours[k].class
				break
			}
		}
		if t.class < 0 {
			t.class = int32(m.classes)
			m.classes++
			first[key] = append(first[key], int32(i))
		}
	}
}

func (m *model) sameTour(a, b *tour) bool {
	if a.begun != nil || b.begun != nil || len(a.told) > 0 || len(b.told) > 0 || len(a.rivals) > 0 || len(b.rivals) > 0 {
		return false
	}
	if (a.lunch == nil) != (b.lunch == nil) || a.lunch != nil && *a.lunch != *b.lunch {
		return false
	}
	return a.day == b.day && a.start == b.start && a.end == b.end && a.home == b.home && a.a == b.a && a.b == b.b && a.o == b.o &&
		a.skills == b.skills && a.people == b.people && a.berths == b.berths && a.pay == b.pay && a.over == b.over && a.km == b.km && a.limit == b.limit && a.room == b.room
}
