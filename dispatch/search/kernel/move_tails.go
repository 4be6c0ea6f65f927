package kernel

// tails exchanges what follows u in its route with what stands from v on in
// another: v comes behind u, if that lowers the cost.
func (r *routes) tails(u, v int32) bool {
	a, b := r.in[u], r.in[v]
	x, q := r.next[u], r.prev[v]
	delta := int64(r.d(u, v)) + int64(r.d(q, x)) - int64(r.d(u, x)) - int64(r.d(q, v))
	ra, rb := &r.list[a], &r.list[b]
	if delta >= ra.price+rb.price {
		return false
	}
	kept := r.load[q]
	delta += r.penalty(warpOf(r.before[u], r.t(u, v), r.behind[v]), r.load[u]+rb.load-kept) - ra.price
	if delta >= rb.price {
		return false
	}
	if delta+r.penalty(warpOf(r.before[q], r.t(q, x), r.behind[x]), kept+ra.load-r.load[u])-rb.price >= 0 {
		return false
	}
	r.crossTails(u, v, a, b)
	return true
}

// startTails is the exchange at the start of u's route: the tail from v on becomes
// the whole of it, and what it was comes behind v's predecessor.
func (r *routes) startTails(u, v int32) bool {
	a, b := r.in[u], r.in[v]
	if r.prev[u] != 0 || r.prev[v] == 0 {
		return false
	}
	q := r.prev[v]
	ra, rb := &r.list[a], &r.list[b]
	delta := int64(r.d(0, v)) + int64(r.d(q, u)) - int64(r.d(0, u)) - int64(r.d(q, v))
	if delta >= ra.price+rb.price {
		return false
	}
	delta += r.penalty(warpOf(r.before[0], r.t(0, v), r.behind[v]), rb.load-r.load[q]) - ra.price
	if delta >= rb.price {
		return false
	}
	if delta+r.penalty(warpOf(r.before[q], r.t(q, u), r.behind[u]), r.load[q]+ra.load)-rb.price >= 0 {
		return false
	}
	r.crossTails(0, v, a, b)
	return true
}

// crossTails links the tail from v on behind u in route a, and what followed u
// behind v's predecessor in route b.
func (r *routes) crossTails(u, v, a, b int32) {
	x, q := r.after(u, a), r.prev[v]
	link := func(k, left, right int32) {
		if left == 0 {
			r.list[k].first = right
		} else {
			r.next[left] = right
		}
		if right != 0 {
			r.prev[right] = left
		}
	}
	link(a, u, v)
	link(b, q, x)
	r.renew(a, b)
}
