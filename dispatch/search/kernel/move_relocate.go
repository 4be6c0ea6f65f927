package kernel

// relocate takes count stops from u on, turned round if turned, and puts them
// behind v in route b (v is 0 for its start), if that lowers the cost.
func (r *routes) relocate(u, v, b int32, count int, turned bool) bool {
	a := r.in[u]
	x := u
	for range count - 1 {
		if x = r.next[x]; x == 0 {
			return false
		}
	}
	p, n, w := r.prev[u], r.next[x], r.after(v, b)
	head, tail := u, x
	if turned {
		head, tail = x, u
	}
	if a == b {
		if v == p && !turned || v != 0 && r.at[v] >= r.at[u] && r.at[v] <= r.at[x] {
			return false
		}
		if v == p { // turned round where it stands
			w = n
		}
	}
	delta := int64(r.d(v, head)) + int64(r.d(tail, w))
	if a == b && v == p {
		delta -= int64(r.d(p, u)) + int64(r.d(x, n))
	} else {
		delta += int64(r.d(p, n)) - int64(r.d(p, u)) - int64(r.d(x, n)) - int64(r.d(v, w))
	}
	if turned {
		for s := u; s != x; s = r.next[s] {
			delta += int64(r.d(r.next[s], s)) - int64(r.d(s, r.next[s]))
		}
	}
	ra, rb := &r.list[a], &r.list[b]
	if a == b {
		if delta >= ra.price {
			return false
		}
		warp := r.warpWithin(u, x, v, w, p, n, turned)
		if delta+r.penalty(warp, ra.load)-ra.price >= 0 {
			return false
		}
	} else {
		if delta >= ra.price+rb.price {
			return false
		}
		load := r.load[x] - r.load[p]
		left := r.penalty(warpOf(r.before[p], r.t(p, n), r.behind[n]), ra.load-load)
		if delta += left - ra.price; delta >= rb.price {
			return false
		}
		seg := r.stretch(r.before[v], v, u, x, turned)
		if delta+r.penalty(warpOf(seg, r.t(tail, w), r.behind[w]), rb.load+load)-rb.price >= 0 {
			return false
		}
	}
	r.cut(u, x, a)
	if turned {
		r.turnRound(u, x)
		u, x = x, u
	}
	r.paste(u, x, v, b)
	r.renew(a, b)
	return true
}

// stretch joins the stops from u to x behind seg, which ends at last.
func (r *routes) stretch(seg segment, last, u, x int32, turned bool) segment {
	if turned {
		for s := x; ; s = r.prev[s] {
			seg = join(seg, r.t(last, s), r.alone[s])
			last = s
			if s == u {
				return seg
			}
		}
	}
	for s := u; ; s = r.next[s] {
		seg = join(seg, r.t(last, s), r.alone[s])
		last = s
		if s == x {
			return seg
		}
	}
}

// warpWithin is a route's warp once u to x stand between v and w of it.
func (r *routes) warpWithin(u, x, v, w, p, n int32, turned bool) int32 {
	end := x
	if turned {
		end = u
	}
	switch {
	case v == p: // turned round where it stands
		seg := r.stretch(r.before[p], p, u, x, turned)
		return warpOf(seg, r.t(end, n), r.behind[n])
	case v != 0 && r.at[v] > r.at[u]: // further back
		seg := r.stretch(r.before[p], p, n, v, false)
		seg = r.stretch(seg, v, u, x, turned)
		return warpOf(seg, r.t(end, w), r.behind[w])
	}
	seg := r.stretch(r.before[v], v, u, x, turned)
	seg = r.stretch(seg, end, w, p, false)
	return warpOf(seg, r.t(p, n), r.behind[n])
}

// turnRound reverses the links inside a stretch that was cut.
func (r *routes) turnRound(u, x int32) {
	for s := u; ; {
		n := r.next[s]
		r.next[s], r.prev[s] = r.prev[s], n
		if s == x {
			return
		}
		s = n
	}
}
