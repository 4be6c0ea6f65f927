package kernel

// swap exchanges k stops from u on with l stops from v on, if that lowers the
// cost.
func (r *routes) swap(u, v int32, k, l int) bool {
	x, y := u, v
	for range k - 1 {
		if x = r.next[x]; x == 0 {
			return false
		}
	}
	for range l - 1 {
		if y = r.next[y]; y == 0 {
			return false
		}
	}
	a, b := r.in[u], r.in[v]
	if a == b {
		if r.at[v] < r.at[u] {
			u, x, v, y = v, y, u, x
		}
		if r.at[v] <= r.at[x] {
			return false
		}
	}
	p, n, q, m := r.prev[u], r.next[x], r.prev[v], r.next[y]
	ra, rb := &r.list[a], &r.list[b]
	if a == b {
		return r.swapWithin(ra, a, u, x, v, y)
	}
	delta := int64(r.d(p, v)) + int64(r.d(y, n)) - int64(r.d(p, u)) - int64(r.d(x, n)) +
		int64(r.d(q, u)) + int64(r.d(x, m)) - int64(r.d(q, v)) - int64(r.d(y, m))
	if delta >= ra.price+rb.price {
		return false
	}
	shift := r.load[y] - r.load[v] + r.p.Demand[v] - r.load[x] + r.load[u] - r.p.Demand[u]
	seg := r.stretch(r.before[p], p, v, y, false)
	delta += r.penalty(warpOf(seg, r.t(y, n), r.behind[n]), ra.load+shift) - ra.price
	if delta >= rb.price {
		return false
	}
	seg = r.stretch(r.before[q], q, u, x, false)
	if delta+r.penalty(warpOf(seg, r.t(x, m), r.behind[m]), rb.load-shift)-rb.price >= 0 {
		return false
	}
	r.exchange(u, x, v, y, a, b)
	return true
}

// swapWithin is a swap inside one route; u to x stand before v to y.
func (r *routes) swapWithin(ra *route, a, u, x, v, y int32) bool {
	p, n, q, m := r.prev[u], r.next[x], r.prev[v], r.next[y]
	delta := int64(r.d(p, v)) + int64(r.d(x, m)) - int64(r.d(p, u)) - int64(r.d(y, m))
	if n == v {
		delta += int64(r.d(y, u)) - int64(r.d(x, v))
	} else {
		delta += int64(r.d(y, n)) + int64(r.d(q, u)) - int64(r.d(x, n)) - int64(r.d(q, v))
	}
	if delta >= ra.price {
		return false
	}
	seg, last := r.stretch(r.before[p], p, v, y, false), y
	if n != v {
		seg, last = r.stretch(seg, y, n, q, false), q
	}
	seg = r.stretch(seg, last, u, x, false)
	if delta+r.penalty(warpOf(seg, r.t(x, m), r.behind[m]), ra.load)-ra.price >= 0 {
		return false
	}
	r.exchange(u, x, v, y, a, a)
	return true
}

func (r *routes) exchange(u, x, v, y, a, b int32) {
	p, q := r.prev[u], r.prev[v]
	r.cut(u, x, a)
	if q == x { // side by side
		r.paste(u, x, y, b)
		r.renew(a, b)
		return
	}
	r.cut(v, y, b)
	r.paste(v, y, p, a)
	r.paste(u, x, q, b)
	r.renew(a, b)
}
