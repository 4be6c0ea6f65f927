package search

// pumps finds what a drop or a collection does to the morning load; false if the truck
// can't do it.
func (f *fitter) pumps(vs *visit, c *choice) bool {
	if !vs.drop && !vs.collect {
		return true
	}
	m, st, tr := f.st.m, f.st, &f.st.m.tours[c.tour]
	nb := len(tr.prefix)
	on, before, behind := int32(0), int32(0), int32(1<<20)
	level := func(x int32, i int) {
		if i < nb {
			return
		}
		if i < int(c.pos) {
			before = min(before, x)
		} else {
			behind = min(behind, x)
		}
	}
	for i, u := range st.stops[c.tour] {
		if i == int(c.pos) {
			behind = min(behind, on)
		}
		us := &m.visits[u]
		if us.collect {
			on++
		}
		if us.arrival {
			level(on-1, i)
		}
		if us.drop {
			on--
		}
		level(on, i)
	}
	if int(c.pos) == len(st.stops[c.tour]) {
		behind = min(behind, on)
	}
	with := func(by int32) int32 { return -min(before, behind+by, 0) }
	c.drop, c.take = with(-1)-with(0), with(1)-with(0)
	if tr.begun != nil {
		if vs.drop && st.load[c.tour]+min(before, behind-1) < 0 {
			return false
		}
		c.drop, c.take = 0, 0
	}
	return true
}

// stock reports whether a home's pumps do for a drop and a collection.
func (f *fitter) stock(d, c *choice) bool {
	m, st := f.st.m, f.st
	a, b := &m.tours[d.tour], &m.tours[c.tour]
	if a.home != b.home {
		return false
	}
	if d.tour == c.tour {
		return true // it is tried
	}
	for day := a.day; day <= b.day; day++ {
		i := int(a.home)*m.days + int(day)
		more := int32(0)
		if day == a.day {
			more += d.drop
		}
		if day == b.day {
			more += c.take
		}
		fresh := st.fresh[i] + more
		if day > a.day {
			more++
		}
		if fresh > 0 && int(st.loads[i]+st.out[i]+more) > m.homes[a.home].pumps[day] {
			return false
		}
	}
	return true
}
