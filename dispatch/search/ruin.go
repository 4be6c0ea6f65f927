package search

import "math/rand/v2"

// ruiner chooses the jobs that an iteration takes out.
type ruiner struct {
	m      *model
	rng    *rand.Rand
	picked []int32
	is     []bool
	cutIn  []bool  // tours that lost a string
	cutOf  []int32 // their list
	wanted int32   // a job left out for which room is made; -1: none
}

func newRuiner(m *model, rng *rand.Rand) *ruiner {
	return &ruiner{m: m, rng: rng, is: make([]bool, len(m.jobs)), cutIn: make([]bool, len(m.tours)), wanted: -1}
}

// pick chooses between 1 and most placed jobs by one of the ways below.
func (r *ruiner) pick(st *state, in *inserter, most int) []int32 {
	for _, j := range r.picked {
		r.is[j] = false
	}
	r.picked = r.picked[:0]
	n := 1 + r.rng.IntN(max(1, most))
	if r.wanted = r.leftOut(st); r.wanted >= 0 {
		switch x := r.rng.IntN(100); {
		case x < 30:
			r.squeeze(st, in, r.wanted)
			return r.picked
		case x < 40:
			r.roomFor(st, r.wanted, n)
			return r.picked
		}
	}
	r.wanted = -1
	switch x := r.rng.IntN(100); {
	case x < 40:
		r.strings(st, n)
	case x < 80:
		r.around(st, n)
	case x < 84:
		r.wholeTour(st)
	case x < 90:
		r.ofDay(st, n)
	default:
		r.random(st, n)
	}
	return r.picked
}

func (r *ruiner) take(st *state, j int32) {
	if st.in[j] && !r.is[j] && r.m.movable(j) {
		r.is[j] = true
		r.picked = append(r.picked, j)
	}
}

// movable reports whether any visit of a job is still to be decided.
func (m *model) movable(j int32) bool {
	jb := &m.jobs[j]
	for v := jb.first; v < jb.first+jb.n; v++ {
		if !m.visits[v].fixed {
			return true
		}
	}
	return false
}

// leftOut is the better of two random jobs that are not placed, -1 if none.
func (r *ruiner) leftOut(st *state) int32 {
	if len(st.absent) == 0 {
		return -1
	}
	j, k := st.absent[r.rng.IntN(len(st.absent))], st.absent[r.rng.IntN(len(st.absent))]
	if r.m.jobs[k].worth > r.m.jobs[j].worth {
		j = k
	}
	return j
}

// roomFor takes jobs out of tours that could make one of the visits of a job left
// out, on one day or near it on the map.
func (r *ruiner) roomFor(st *state, j int32, n int) {
	jb := &r.m.jobs[j]
	if r.rng.IntN(2) == 0 {
		for _, k := range jb.near {
			if len(r.picked) >= n {
				return
			}
			if r.rng.IntN(10) < 6 {
				r.take(st, k)
			}
		}
		return
	}
	v := &r.m.visits[jb.first+int32(r.rng.IntN(int(jb.n)))]
	if len(v.tours) == 0 {
		return
	}
	for range 3 {
		t := v.tours[r.rng.IntN(len(v.tours))]
		for _, u := range st.stops[t] {
			if len(r.picked) < n && r.rng.IntN(10) < 8 {
				r.take(st, r.m.visits[u].job)
			}
		}
	}
}

// around takes a random job and its neighbours on the map.
func (r *ruiner) around(st *state, n int) {
	j := int32(r.rng.IntN(len(r.m.jobs)))
	r.take(st, j)
	for _, k := range r.m.jobs[j].near {
		if len(r.picked) >= n {
			return
		}
		if r.rng.IntN(10) < 8 {
			r.take(st, k)
		}
	}
}

// stringMost is the longest string of stops taken out of one tour.
const stringMost = 10

// strings takes one string of neighbouring stops out of each of several tours near each
// other, sometimes sparing a few in its middle (after Christiaens and Vanden Berghe,
// Transportation Science 54, 2020: slack induction by string removals).
func (r *ruiner) strings(st *state, n int) {
	j := int32(r.rng.IntN(len(r.m.jobs)))
	near := r.m.jobs[j].near
	for i := -1; i < len(near) && len(r.picked) < n; i++ {
		k := j
		if i >= 0 {
			k = near[i]
		}
		jb := &r.m.jobs[k]
		v := jb.first + int32(r.rng.IntN(int(jb.n)))
		t := st.tourOf[v]
		if t < 0 || r.is[k] || r.cutIn[t] {
			continue
		}
		r.cutIn[t] = true
		r.cutOf = append(r.cutOf, t)
		r.string(st, t, v, n-len(r.picked))
	}
	for _, t := range r.cutOf {
		r.cutIn[t] = false
	}
	r.cutOf = r.cutOf[:0]
}

// string takes up to n stops in a row that hold stop v.
func (r *ruiner) string(st *state, t, v int32, n int) {
	stops := st.stops[t]
	length := 1 + r.rng.IntN(min(len(stops), n, stringMost))
	spared := 0
	for length > 1 && length+spared < len(stops) && r.rng.IntN(2) == 0 {
		spared++
	}
	if length < 2 || r.rng.IntN(2) == 0 {
		spared = 0
	}
	at := 0
	for s, u := range stops {
		if u == v {
			at = s
		}
	}
	whole := length + spared
	from := at - r.rng.IntN(whole)
	from = max(0, min(from, len(stops)-whole))
	hole := whole
	if spared > 0 {
		hole = 1 + r.rng.IntN(length-1)
	}
	for s := 0; s < whole; s++ {
		if s < hole || s >= hole+spared {
			r.take(st, r.m.visits[stops[from+s]].job)
		}
	}
}

// wholeTour empties one tour, if it is not very long.
func (r *ruiner) wholeTour(st *state) {
	v := r.m.jobs[r.rng.IntN(len(r.m.jobs))].conv
	if t := st.tourOf[v]; t >= 0 && len(st.stops[t]) <= 3*stringMost {
		for _, u := range st.stops[t] {
			r.take(st, r.m.visits[u].job)
		}
	}
}

// ofDay takes jobs that have a stop on one day.
func (r *ruiner) ofDay(st *state, n int) {
	if len(r.m.tours) == 0 {
		return
	}
	day := r.m.tours[r.rng.IntN(len(r.m.tours))].day
	start := r.rng.IntN(len(r.m.tours))
	for i := range r.m.tours {
		t := (start + i) % len(r.m.tours)
		if r.m.tours[t].day != day {
			continue
		}
		for _, v := range st.stops[t] {
			if len(r.picked) >= n {
				return
			}
			if r.rng.IntN(3) > 0 {
				r.take(st, r.m.visits[v].job)
			}
		}
	}
}

func (r *ruiner) random(st *state, n int) {
	for i := 0; i < n*3 && len(r.picked) < n; i++ {
		r.take(st, int32(r.rng.IntN(len(r.m.jobs))))
	}
}
