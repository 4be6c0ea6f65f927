package kernel

// focus is a stop on whose moves the search looks: its surroundings and their
// rows of the matrix, so that most moves are turned down by distance alone.
type focus struct {
	u, x                int32 // the stop, the one behind it (0: depot)
	fromP, fromU, fromX []int32
	toU, toX, toN       []int32 // columns, by way of the matrix turned over
	pu, ux, xn, xu      int64
	gone1, gone2        int64 // distance that u, that u and x leave behind
	pair                bool  // there is an x
	price               int64
	route               int32
}

// look sets the focus on u.
func (c *climber) look(u int32) {
	f := &c.focus
	n := c.n
	p, x := c.prev[u], c.next[u]
	f.u, f.x, f.pair, f.route = u, x, x != 0, c.in[u]
	f.price = c.list[f.route].price
	f.fromP, f.fromU, f.fromX = c.dist[int(p)*n:int(p)*n+n], c.dist[int(u)*n:int(u)*n+n], c.dist[int(x)*n:int(x)*n+n]
	f.toU, f.toX = c.flip[int(u)*n:int(u)*n+n], c.flip[int(x)*n:int(x)*n+n]
	f.pu, f.ux = int64(f.fromP[u]), int64(f.fromU[x])
	f.gone1 = int64(f.fromP[x]) - f.pu - f.ux
	if f.pair {
		m := c.next[x]
		f.toN = c.flip[int(m)*n : int(m)*n+n]
		f.xn, f.xu = int64(f.fromX[m]), int64(f.fromX[u])
		f.gone2 = int64(f.fromP[m]) - f.pu - f.xn
	}
}

// try makes the first move of the focus beside v that lowers the cost.
func (c *climber) try(v int32) bool {
	f := &c.focus
	u, b := f.u, c.in[v]
	y, q := c.next[v], c.prev[v]
	bound := f.price
	if b != f.route {
		bound += c.list[b].price
	}
	vy, qv := int64(c.ahead[v]), int64(c.astern[v])
	vu, uy := int64(f.toU[v]), int64(f.fromU[y])
	// one stop behind v; two; two turned round
	if f.gone1+vu+uy-vy < bound && c.relocate(u, v, b, 1, false) {
		return true
	}
	if f.pair {
		if f.gone2+vu+int64(f.fromX[y])-vy < bound && c.relocate(u, v, b, 2, false) {
			return true
		}
		if f.gone2-f.ux+f.xu+int64(f.toX[v])+uy-vy < bound && c.relocate(u, v, b, 2, true) {
			return true
		}
	}
	// one for one, two for one, two for two: the distance around u, then around v
	aside := int64(f.fromP[v]) - f.pu
	given := int64(f.toU[q]) - qv
	if u < v && (aside+int64(f.toX[v])-f.ux+given+uy-vy < bound || q == u || y == u) && c.swap(u, v, 1, 1) {
		return true
	}
	if f.pair {
		if (aside+int64(f.toN[v])-f.xn+given+int64(f.fromX[y])-vy < bound || q == f.x || y == u) && c.swap(u, v, 2, 1) {
			return true
		}
		if u < v && y != 0 {
			if z := c.next[y]; (aside+int64(f.toN[y])-f.xn+given+int64(f.fromX[z])-int64(c.ahead[y]) < bound || q == f.x || z == u) && c.swap(u, v, 2, 2) {
				return true
			}
		}
	}
	if b == f.route {
		if c.at[u] < c.at[v] && (!c.even || int64(f.fromU[v])+int64(f.fromX[y])-f.ux-vy < bound) && c.turnBack(u, v, b) {
			return true
		}
	} else if int64(f.fromU[v])+int64(f.toX[q])-f.ux-qv < bound && c.tails(u, v) {
		return true
	}
	return q == 0 && c.tryStart(v, b)
}

// tryStart is try with the depot in front of v in the place of v.
func (c *climber) tryStart(v, b int32) bool {
	u := c.focus.u
	if c.relocate(u, 0, b, 1, false) || c.relocate(u, 0, b, 2, false) || c.relocate(u, 0, b, 2, true) {
		return true
	}
	if c.in[u] != b {
		return c.startTails(v, u)
	}
	return c.turnBack(0, u, b)
}
