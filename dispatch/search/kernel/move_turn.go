package kernel

// turnBack reverses the stretch from behind u up to v in one route, so that v comes
// behind u, if that lowers the cost.
func (r *routes) turnBack(u, v, a int32) bool {
	x := r.after(u, a)
	if x == v || u != 0 && r.at[v] <= r.at[u]+1 {
		return false
	}
	m := r.next[v]
	delta := int64(r.d(u, v)) + int64(r.d(x, m)) - int64(r.d(u, x)) - int64(r.d(v, m))
	if !r.even {
		for s := x; s != v; s = r.next[s] {
			delta += int64(r.d(r.next[s], s)) - int64(r.d(s, r.next[s]))
		}
	}
	ra := &r.list[a]
	if delta >= ra.price {
		return false
	}
	seg := r.stretch(r.before[u], u, x, v, true)
	if delta+r.penalty(warpOf(seg, r.t(x, m), r.behind[m]), ra.load)-ra.price >= 0 {
		return false
	}
	r.cut(x, v, a)
	r.turnRound(x, v)
	r.paste(v, x, u, a)
	r.renew(a, a)
	return true
}
