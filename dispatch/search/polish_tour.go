package search

import "slices"

// better looks for cheaper times of the tour's stops and takes them; of equal ones the
// later (sign 1) or the earlier (-1, drains always the later). It reports whether it
// changed anything.
func (p *polisher) better(sign int64) bool {
	p.eps = sign
	p.choices()
	return p.solve() && p.take(0)
}

// choices gathers for each stop the starts at which anything can change: its own limits
// and the steps of its job's cost, and what follows from those of the other stops with
// the crew never waiting in between.
func (p *polisher) choices() {
	n := len(p.stop)
	for len(p.ways) < n {
		p.ways, p.cost, p.from = append(p.ways, nil), append(p.cost, nil), append(p.from, nil)
	}
	own := make([][]int64, n)
	for i := range p.stop {
		p.ways[i] = p.ways[i][:0]
		own[i] = p.steps(i)
	}
	for i := range p.stop {
		for _, x := range own[i] {
			p.ways[i] = append(p.ways[i], x)
			p.onward(i, x)
			p.backward(i, x)
		}
	}
	tr := &p.st.m.tours[p.t] // home at the end of the shift
	last := &p.stop[n-1]
	if x := last.free.prev(min(p.unride(n, tr.b)-last.secs, last.late)); x >= last.early {
		p.ways[n-1] = append(p.ways[n-1], x)
		p.backward(n-1, x)
	}
	for i := range p.stop {
		slices.Sort(p.ways[i])
		p.ways[i] = slices.Compact(p.ways[i])
	}
}

func (p *polisher) onward(i int, x int64) {
	for k := i + 1; k < len(p.stop); k++ {
		s := &p.stop[k]
		if x = s.free.next(max(p.ride(k, x+p.stop[k-1].secs), s.early)); x > s.late {
			return
		}
		p.ways[k] = append(p.ways[k], x)
	}
}

func (p *polisher) backward(i int, x int64) {
	for k := i - 1; k >= 0; k-- {
		s := &p.stop[k]
		if x = s.free.prev(min(p.unride(k+1, x)-s.secs, s.late)); x < s.early {
			return
		}
		p.ways[k] = append(p.ways[k], x)
	}
}

// stepGrid is how finely a job's cost is sampled for its steps.
const stepGrid = 900

// steps are the starts of stop i on either side of each step of its job's cost, and its
// limits.
func (p *polisher) steps(i int) []int64 {
	s := &p.stop[i]
	list := []int64{s.early, s.late, p.st.ss[s.v]}
	if p.st.m.jobs[p.st.m.visits[s.v].job].water == nil && p.price(i, s.early) == p.price(i, s.late) {
		return list
	}
	a, fa := s.early, p.price(i, s.early)
	for a < s.late {
		b := s.free.next(min(a+stepGrid, s.late))
		if b > s.late {
			b = s.late
		}
		fb := p.price(i, b)
		if fa != fb {
			lo, hi := a, b // between them lies a step; nearest by halving
			flo := fa
			for hi-lo > 1 {
				mid := lo + (hi-lo)/2
				if f := p.price(i, mid); f == flo {
					lo = mid
				} else {
					hi = mid
				}
			}
			if x := s.free.prev(lo); x >= s.early {
				list = append(list, x)
			}
			if x := s.free.next(hi); x <= s.late {
				list = append(list, x)
			}
		}
		if b == a {
			break
		}
		a, fa = b, fb
	}
	return list
}

// price is what a stop's job costs with the stop at x and what is told moved along;
// never if that breaks a rule.
func (p *polisher) price(i int, x int64) int64 {
	st, s := p.st, &p.stop[i]
	j := st.m.visits[s.v].job
	ss, se := st.ss[s.v], st.se[s.v]
	st.ss[s.v], st.se[s.v] = x, x+s.secs
	f := never
	if w := s.told; w >= 0 {
		ts, te := st.ss[w], st.se[w]
		d := te - ts
		y := st.m.visits[w].free.prev(st.latestShown(w, d))
		st.ss[w], st.se[w] = y, y+d
		if y >= st.earliestShown(w, d) && st.kept(s.v) {
			f = st.jobPrice(j)
		}
		st.ss[w], st.se[w] = ts, te
	} else if st.kept(s.v) {
		f = st.jobPrice(j)
	}
	st.ss[s.v], st.se[s.v] = ss, se
	return f
}

// kept reports whether the rules of a visit with itself hold: draining on arrival.
func (st *state) kept(v int32) bool {
	vs := &st.m.visits[v]
	for k := range vs.out {
		a := &vs.out[k]
		if a.to != v || a.limit && st.off[vs.job]&offLow != 0 {
			continue
		}
		x := st.ss[v]
		if a.fromEnd {
			x = st.se[v]
		}
		if y := st.value(a, vs.job, x); a.toEnd && y > st.se[v] || !a.toEnd && y > st.ss[v] {
			return false
		}
	}
	return true
}

// earliestShown is the least start of a told interval of width d that the visits of its
// job allow where they are shown.
func (st *state) earliestShown(w int32, d int64) int64 {
	m, jb := st.m, &st.m.jobs[st.m.visits[w].job]
	lo := always
	for u := jb.first; u < jb.first+jb.n; u++ {
		for k := range m.visits[u].out {
			a := &m.visits[u].out[k]
			if a.to != w || !st.placed[u] || a.limit && st.off[m.visits[w].job]&offLow != 0 {
				continue
			}
			x := st.ss[u]
			if a.fromEnd {
				x = st.se[u]
			}
			y := st.value(a, m.visits[w].job, x)
			if a.toEnd {
				y -= d
			}
			lo = max(lo, y)
		}
	}
	return lo
}

// solve finds the cheapest choice of starts.
func (p *polisher) solve() bool {
	tr := &p.st.m.tours[p.t]
	for i := range p.stop {
		ways, s := p.ways[i], &p.stop[i]
		p.cost[i], p.from[i] = p.cost[i][:0], p.from[i][:0]
		k, best, at := 0, never, int32(-1) // the best of the stop before that is there in time
		for _, x := range ways {
			c := p.price(i, x)
			if c < never {
				tie := -p.eps
				if p.st.m.jobs[p.st.m.visits[s.v].job].drain == s.v {
					tie = -1
				}
				c += tie * (x - s.early)
			}
			if i == 0 {
				if tr.begun == nil && c < never {
					c -= p.unride(0, x) * tr.pay
				}
			} else {
				for ; k < len(p.ways[i-1]) && p.ride(i, p.ways[i-1][k]+p.stop[i-1].secs) <= x; k++ {
					if p.cost[i-1][k] < best {
						best, at = p.cost[i-1][k], int32(k)
					}
				}
				if at < 0 || c >= never {
					c = never
				} else {
					c += best
				}
			}
			p.cost[i], p.from[i] = append(p.cost[i], c), append(p.from[i], at)
		}
	}
	n := len(p.stop)
	best, at := never, int32(-1)
	for k, x := range p.ways[n-1] {
		c, r := p.cost[n-1][k], p.ride(n, x+p.stop[n-1].secs)
		if c >= never || r >= never {
			continue
		}
		if c += min(r, tr.b)*tr.pay + max(0, r-tr.b)*tr.over; c < best {
			best, at = c, int32(k)
		}
	}
	if at < 0 {
		return false
	}
	for i := n - 1; i >= 0; i-- {
		x := p.ways[i][at]
		at = p.from[i][at]
		p.stop[i].early = x // from here on: what was chosen
	}
	return true
}

// take sets what was chosen if the whole plan then costs at most so much more.
func (p *polisher) take(more int64) bool {
	st := p.st
	mark, before, changed := len(st.trail), st.total, false
	for i := range p.stop {
		s := &p.stop[i]
		changed = changed || st.ss[s.v] != s.early
		st.put(undoSS, s.v, s.early)
		st.put(undoSE, s.v, s.early+s.secs)
	}
	if !changed {
		return false
	}
	ok := p.account()
	for i := range p.stop {
		ok = ok && st.toldKept(st.m.visits[p.stop[i].v].job) && st.kept(p.stop[i].v)
	}
	if !ok || st.total-more > before {
		st.rollback(mark)
		return false
	}
	return true
}

// account brings departure, return, told intervals and cost up to date with the shown
// times of the tour's stops; false if it is out too long.
func (p *polisher) account() bool {
	st, m, tr := p.st, p.st.m, &p.st.m.tours[p.t]
	n := len(p.stop)
	last := p.stop[n-1].v
	dep, back := st.leave[p.t], p.ride(n, st.se[last])
	if tr.begun == nil {
		dep = p.unride(0, st.ss[p.stop[0].v])
	}
	if back > max(tr.limit, st.back[p.t]) || dep < min(tr.depart0, st.leave[p.t]) ||
		tr.lunch != nil && st.lunch[p.t].kind == lunchNone && back-dep > tr.lunch.DueAfter {
		return false
	}
	st.put(undoLeave, p.t, dep)
	st.put(undoBack, p.t, back)
	st.setTour(p.t, st.tourPrice(p.t, dep, back))
	for i := range p.stop {
		j := m.visits[p.stop[i].v].job
		st.settleTold(j)
		st.setJob(j, st.jobPrice(j))
		if m.worstRate > 0 {
			st.setTardy(j, st.lateness(j))
		}
	}
	if m.worstRate > 0 {
		st.setWorst()
	}
	return true
}

// toldKept reports whether a job's told interval agrees with the visits as shown.
func (st *state) toldKept(j int32) bool {
	w := st.m.jobs[j].told
	if w < 0 || !st.placed[w] {
		return true
	}
	d := st.se[w] - st.ss[w]
	return st.earliestShown(w, d) <= st.ss[w] && st.ss[w] <= st.latestShown(w, d)
}
