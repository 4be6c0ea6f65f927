package bound

import (
	"math"
	"sort"

	"ebbline/dispatch/week"
)

const (
	never  = math.MaxInt64 / 4
	always = -never
)

// span of instants, both ends inside.
type span struct{ lo, hi int64 }

// at is the value of a table; false outside of its points.
func at(t week.Table, x int64) (int64, bool) {
	n := len(t)
	if n == 0 || x < t[0].X || x > t[n-1].X {
		return 0, false
	}
	i := sort.Search(n, func(i int) bool { return t[i].X >= x })
	if t[i].X == x {
		return t[i].Y, true
	}
	a, b := t[i-1], t[i]
	return a.Y + (x-a.X)*(b.Y-a.Y)/(b.X-a.X), true
}

// least is the value of a table at x or, before its points, at its first: what it is
// at the least if x may still grow; false past its points.
func least(t week.Table, x int64) (int64, bool) {
	if len(t) > 0 && x < t[0].X {
		return t[0].Y, true
	}
	return at(t, x)
}

// last is the latest x of a table with a value of y or less; false if there is none.
func last(t week.Table, y int64) (int64, bool) {
	n := len(t)
	if n == 0 || t[0].Y > y {
		return 0, false
	}
	if t[n-1].Y <= y {
		return t[n-1].X, true
	}
	lo, hi := t[0].X, t[n-1].X // value(lo) <= y < value(hi)
	for hi-lo > 1 {
		mid := lo + (hi-lo)/2
		if v, _ := at(t, mid); v <= y {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo, true
}

// next is the first instant of rising spans at x or later.
func next(s []span, x int64) int64 {
	for i := range s {
		if s[i].hi >= x {
			return max(x, s[i].lo)
		}
	}
	return never
}

// before is the last instant of rising spans at x or earlier.
func before(s []span, x int64) int64 {
	for i := len(s) - 1; i >= 0; i-- {
		if s[i].lo <= x {
			return min(x, s[i].hi)
		}
	}
	return always
}

// both are the instants in each of two lists of rising spans.
func both(a, b []span) []span {
	var out []span
	for i, k := 0, 0; i < len(a) && k < len(b); {
		if s := (span{max(a[i].lo, b[k].lo), min(a[i].hi, b[k].hi)}); s.lo <= s.hi {
			out = append(out, s)
		}
		if a[i].hi < b[k].hi {
			i++
		} else {
			k++
		}
	}
	return out
}

// without are the instants of a list outside of the open span (lo, hi).
func without(a []span, lo, hi int64) []span {
	if lo >= hi {
		return a
	}
	return both(a, []span{{always, lo}, {hi, never}})
}
