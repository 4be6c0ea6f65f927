package estimate

// cell is the price of a need with a set on the shelf; no price: it is too
// short or another light.
type cell struct {
	price
	fits bool
}

// solve gives each need a set on the shelf or, from the open orders, its
// cheapest offer, at the least price of all; fees are not in it. Shortest
// augmenting paths with potentials: needs × needs × (sets + needs) steps.
func (a *assigner) solve(open uint) (price, []pick) {
	n, m := len(a.needs), len(a.units)
	rows := make([][]cell, n)
	buys := make([]price, n)
	offers := make([]int, n)
	for i, need := range a.needs {
		offers[i], buys[i] = a.buy(need, open)
		rows[i] = make([]cell, m)
		for j, s := range a.units {
			if set := a.stock[s]; set.fits(need) {
				rows[i][j] = cell{price{0, int64(a.over(need, set)-set.Restock)*a.scale + a.rank[set.Length] + 1}, true}
			}
		}
	}
	// Column j < m is a set on the shelf, column m+i what need i buys.
	cost := func(i, j int) (price, bool) {
		if j < m {
			return rows[i][j].price, rows[i][j].fits
		}
		return buys[i], j == m+i
	}
	u, v := make([]price, n), make([]price, m+n)
	owner := make([]int, m+n) // need that holds the column; -1: none
	for j := range owner {
		owner[j] = -1
	}
	least, known, done, from := make([]price, m+n), make([]bool, m+n), make([]bool, m+n), make([]int, m+n)
	for start := range n {
		clear(known)
		clear(done)
		row, column := start, -1
		for row >= 0 {
			if column >= 0 {
				done[column] = true
			}
			next := -1
			for j := range m + n {
				if done[j] {
					continue
				}
				if p, ok := cost(row, j); ok {
					if p = p.minus(u[row]).minus(v[j]); !known[j] || p.less(least[j]) {
						least[j], known[j], from[j] = p, true, column
					}
				}
				if known[j] && (next < 0 || least[j].less(least[next])) {
					next = j
				}
			}
			// a need can always buy or go without, so there is a next column
			step := least[next]
			u[start] = u[start].plus(step)
			for j := range m + n {
				switch {
				case done[j]:
					u[owner[j]] = u[owner[j]].plus(step)
					v[j] = v[j].minus(step)
				case known[j]:
					least[j] = least[j].minus(step)
				}
			}
			column, row = next, owner[next]
		}
		for column >= 0 { // turn the path round
			before := from[column]
			if before < 0 {
				owner[column] = start
			} else {
				owner[column] = owner[before]
			}
			column = before
		}
	}
	total, picks := price{}, make([]pick, n)
	for j, i := range owner {
		if i < 0 {
			continue
		}
		p, _ := cost(i, j)
		total = total.plus(p)
		if j < m {
			picks[i] = pick{a.units[j], -1}
		} else {
			picks[i] = pick{-1, offers[i]}
		}
	}
	return total, picks
}
