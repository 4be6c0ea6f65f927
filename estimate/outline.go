package estimate

import (
	"math"
	"math/big"
	"slices"

	"ebbline/jobs"
)

// ring is an outline whose corners are cleaned of doubles: the same place twice
// in a row, or the first place again at the end.
func ring(points []jobs.Point) []jobs.Point {
	out := slices.Compact(slices.Clone(points))
	for len(out) > 1 && out[len(out)-1] == out[0] {
		out = out[:len(out)-1]
	}
	return out
}

// shoelace is the area inside a ring in µm², whichever way round it is drawn:
// half the sum of the cross products of neighbouring corners. They are taken
// from the first corner on, so that a plan's far origin costs no digits.
func shoelace(ring []jobs.Point) float64 {
	twice := 0.0
	for i := 1; i+1 < len(ring); i++ {
		ax, ay := float64(ring[i].X-ring[0].X), float64(ring[i].Y-ring[0].Y)
		bx, by := float64(ring[i+1].X-ring[0].X), float64(ring[i+1].Y-ring[0].Y)
		twice += ax*by - bx*ay
	}
	return math.Abs(twice) / 2
}

// around is the length of a ring in µm.
func around(ring []jobs.Point) float64 {
	total := 0.0
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		total += math.Hypot(float64(q.X-p.X), float64(q.Y-p.Y))
	}
	return total
}

// across is the longest distance between two corners in µm.
func across(ring []jobs.Point) float64 {
	most := 0.0
	for i, p := range ring {
		for _, q := range ring[i+1:] {
			most = max(most, math.Hypot(float64(q.X-p.X), float64(q.Y-p.Y)))
		}
	}
	return most
}

// crosses finds two sides of a ring that meet where they should not; the
// numbers are those of the corners at which they begin, from 1.
func crosses(ring []jobs.Point) (a, b int, found bool) {
	n := len(ring)
	for i := range n {
		p, q := ring[i], ring[(i+1)%n]
		for j := i + 1; j < n; j++ {
			r, s := ring[j], ring[(j+1)%n]
			if max(p.X, q.X) < min(r.X, s.X) || max(r.X, s.X) < min(p.X, q.X) || max(p.Y, q.Y) < min(r.Y, s.Y) || max(r.Y, s.Y) < min(p.Y, q.Y) {
				continue
			}
			switch {
			case j == i+1 || i == 0 && j == n-1: // neighbours share a corner; they may not fold back
				joint, one, other := q, p, s
				if i == 0 && j == n-1 && n > 2 {
					joint, one, other = p, q, r
				}
				if turn(one, joint, other) == 0 && ahead(joint, one, other) {
					return i + 1, j + 1, true
				}
			case turn(p, q, r) != turn(p, q, s) && turn(r, s, p) != turn(r, s, q):
				return i + 1, j + 1, true
			case turn(p, q, r) == 0 && turn(p, q, s) == 0: // on one line, and their boxes meet
				return i + 1, j + 1, true
			}
		}
	}
	return 0, 0, false
}

// ahead says that two places on one line lie on the same side of a joint.
func ahead(joint, one, other jobs.Point) bool {
	return float64(one.X-joint.X)*float64(other.X-joint.X)+float64(one.Y-joint.Y)*float64(other.Y-joint.Y) > 0
}

// turn is the side of the line from a to b on which c lies: 1, -1, or 0 on it.
// Exact: where rounding could decide, whole numbers do.
func turn(a, b, c jobs.Point) int {
	ux, uy, vx, vy := b.X-a.X, b.Y-a.Y, c.X-a.X, c.Y-a.Y
	left, right := float64(ux)*float64(vy), float64(uy)*float64(vx)
	switch d := left - right; {
	case math.Abs(d) > 1e-14*(math.Abs(left)+math.Abs(right)):
		if d > 0 {
			return 1
		}
		return -1
	case left == 0 && right == 0:
		return 0
	}
	l := new(big.Int).Mul(big.NewInt(ux), big.NewInt(vy))
	return l.Cmp(new(big.Int).Mul(big.NewInt(uy), big.NewInt(vx)))
}
