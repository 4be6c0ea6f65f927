package search

import "ebbline/dispatch/week"

// at returns the table's value at x; ok is false outside of its points.
func at(t week.Table, x int64) (y int64, ok bool) {
	n := len(t)
	if n == 0 || x < t[0].X || x > t[n-1].X {
		return 0, false
	}
	i, j := 0, n-1 // the last point at or before x
	for i < j {
		m := int(uint(i+j+1) >> 1)
		if t[m].X <= x {
			i = m
		} else {
			j = m - 1
		}
	}
	if i == n-1 || t[i].X == x {
		return t[i].Y, true
	}
	a, b := t[i], t[i+1]
	return a.Y + (x-a.X)*(b.Y-a.Y)/(b.X-a.X), true
}

// leastX returns the least x of the table's range with a value of y or more, or
// never.
func leastX(t week.Table, y int64) int64 {
	n := len(t)
	if n == 0 || t[n-1].Y < y {
		return never
	}
	if t[0].Y >= y {
		return t[0].X
	}
	i, j := 1, n-1 // the first point with Y >= y
	for i < j {
		m := int(uint(i+j) >> 1)
		if t[m].Y >= y {
			j = m
		} else {
			i = m + 1
		}
	}
	a, b := t[i-1], t[i]
	// the least k with floor(k*dy/dx) >= need is ceil(need*dx/dy)
	need, dy, dx := y-a.Y, b.Y-a.Y, b.X-a.X
	return a.X + (need*dx+dy-1)/dy
}

// greatestX returns the greatest x of the table's range with a value of y or less,
// or always.
func greatestX(t week.Table, y int64) int64 {
	n := len(t)
	if n == 0 || t[0].Y > y {
		return always
	}
	if t[n-1].Y <= y {
		return t[n-1].X
	}
	i, j := 0, n-2 // the last point with Y <= y
	for i < j {
		m := int(uint(i+j+1) >> 1)
		if t[m].Y <= y {
			i = m
		} else {
			j = m - 1
		}
	}
	a, b := t[i], t[i+1]
	// the greatest k with floor(k*dy/dx) <= room is ceil((room+1)*dx/dy)-1
	room, dy, dx := y-a.Y, b.Y-a.Y, b.X-a.X
	return a.X + ((room+1)*dx+dy-1)/dy - 1
}
