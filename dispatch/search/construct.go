package search

import (
	"context"
	"sort"
)

// construct puts the jobs in one after the other, those that are hardest to place
// first, each at its cheapest spots. A job stays out where that is cheaper, and so do
// those whose turn has not come when ctx ends, unless they must not be left out. tell
// hears now and then that some more are in; it may be nil.
func construct(ctx context.Context, st *state, in *inserter, rank func(j int32) int64, tell func()) {
	order := make([]int32, 0, len(st.m.jobs))
	for j := range st.m.jobs {
		if !st.in[j] {
			order = append(order, int32(j))
		}
	}
	sort.SliceStable(order, func(a, b int) bool { return rank(order[a]) < rank(order[b]) })
	late := false
	for n, j := range order {
		if tell != nil && n > 0 && n%max(100, len(order)/20) == 0 {
			tell()
		}
		if late = late || ctx.Err() != nil; late && !st.m.jobs[j].must {
			break // byHardness puts those that must go in first
		}
		in.stamp++
		in.insert(st, j)
	}
	wide := newInserter(nil, 4*in.width, 6*in.exact)
	wide.perDay = 4
	order = append(order, st.mustIn(wide, order)...)
	for _, j := range order {
		if ctx.Err() != nil {
			break
		}
		if !st.in[j] {
			wide.stamp++
			wide.insert(st, j)
		}
	}
}

// insert puts a job in at its cheapest spots if that lowers the cost.
func (in *inserter) insert(st *state, j int32) bool {
	spots, delta, moved, ok := in.find(st, j)
	if !ok && st.m.jobs[j].must {
		spots, delta, moved, ok = in.findBreaking(st, j)
	}
	worth := int64(0)
	if in.generous {
		worth = st.m.leftOutPrice(j)
	}
	st.changed.job(j)
	if !ok || delta >= worth && !st.m.jobs[j].must {
		st.moved[j], st.off[j] = false, 0
		return false
	}
	st.moved[j] = moved
	if _, ok = st.place(j, spots); !ok { // can't happen: it was tried
		st.moved[j] = false
		return false
	}
	for _, sp := range spots {
		if sp.tour >= 0 {
			st.changed.tour(sp.tour)
		}
	}
	st.commit()
	return true
}

// offs are the rules that a begun job is let off where nothing else is left, in the
// order in which they are tried.
var offs = []uint8{offLow, offCommission, offLow | offCommission, offAvailability, offPin,
	offLow | offCommission | offAvailability, offLow | offCommission | offAvailability | offPin}

// findBreaking is find for a job that may not be left out and fits nowhere: the
// cheapest way that breaks a rule which may be broken. st.off holds which.
func (in *inserter) findBreaking(st *state, j int32) (best []spot, delta int64, moved, ok bool) {
	off := uint8(0)
	for _, o := range offs {
		st.off[j] = o
		spots, d, mv, good := in.find(st, j)
		if good && (!ok || d < delta) {
			best, delta, moved, ok, off = spots, d, mv, true, o
		}
	}
	st.off[j] = off
	return best, delta, moved, ok
}

// byHardness ranks jobs that must go in first, then scarce needs, then value.
func (m *model) byHardness(j int32) int64 {
	jb := &m.jobs[j]
	r := -int64(jb.hard)*1_000_000 - min(jb.value/100, 900_000)
	if jb.must {
		r -= 1 << 40
	}
	return r
}

// byValue ranks dear jobs first.
func (m *model) byValue(j int32) int64 {
	r := -m.leftOutPrice(j)
	if m.jobs[j].must {
		r -= 1 << 60
	}
	return r
}
