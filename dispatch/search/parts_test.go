package search

import (
	"testing"

	"pgregory.net/rapid"

	"ebbline/dispatch/week"
)

// A table's inverses agree with reading it at every x.
func TestTableInverses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tab := week.Table{{X: rapid.Int64Range(-20, 20).Draw(t, "x0"), Y: rapid.Int64Range(-20, 20).Draw(t, "y0")}}
		for range rapid.IntRange(0, 4).Draw(t, "points") {
			p := tab[len(tab)-1]
			tab = append(tab, week.Point{X: p.X + rapid.Int64Range(1, 9).Draw(t, "dx"), Y: p.Y + rapid.Int64Range(0, 20).Draw(t, "dy")})
		}
		y := rapid.Int64Range(-40, 140).Draw(t, "y")
		least, greatest := never, always
		for x := tab[0].X; x <= tab[len(tab)-1].X; x++ {
			v, ok := at(tab, x)
			if !ok {
				t.Fatalf("no value at %d", x)
			}
			if v >= y {
				least = min(least, x)
			}
			if v <= y {
				greatest = max(greatest, x)
			}
		}
		if got := leastX(tab, y); got != least {
			t.Errorf("leastX(%v, %d) = %d, want %d", tab, y, got, least)
		}
		if got := greatestX(tab, y); got != greatest {
			t.Errorf("greatestX(%v, %d) = %d, want %d", tab, y, got, greatest)
		}
		if _, ok := at(tab, tab[0].X-1); ok {
			t.Error("a value before the first point")
		}
	})
}

// A drive through changes of speed, second by second.
func TestDriveThroughPeriods(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var periods []week.Period
		from := rapid.Int64Range(-50, 50).Draw(t, "from")
		for range rapid.IntRange(0, 4).Draw(t, "periods") {
			periods = append(periods, week.Period{From: from, Permille: rapid.Int64Range(100, 3000).Draw(t, "permille")})
			from += rapid.Int64Range(1, 60).Draw(t, "step")
		}
		secs := rapid.Int64Range(0, 90).Draw(t, "secs")
		w := &week.Week{End: 86400, Places: make([]week.Place, 2), Travel: week.Travel{Seconds: [][]int64{{0, secs}, {secs, 0}},
			Metres: [][]int64{{0, 1}, {1, 0}}, Periods: periods}}
		tr := newTravel(w)
		rate := func(x int64) int64 {
			r := int64(1000)
			for _, p := range periods {
				if p.From <= x {
					r = p.Permille
				}
			}
			return r
		}
		slow := func(d int64) int64 {
			for left := secs * 1000; left > 0; d++ {
				left -= rate(d)
			}
			return d
		}
		d := rapid.Int64Range(-120, 200).Draw(t, "leave")
		if got := tr.arrive(0, 1, d); got != slow(d) {
			t.Fatalf("leaving %d: arrives %d, want %d", d, got, slow(d))
		}
		a := rapid.Int64Range(-120, 200).Draw(t, "arrive")
		got := tr.leave(0, 1, a)
		if slow(got) > a || slow(got+1) <= a {
			t.Fatalf("to arrive by %d: leaves %d, which arrives %d; a second later %d", a, got, slow(got), slow(got+1))
		}
	})
}

// Sets of starts against a list of members.
func TestStarts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) (starts, map[int64]bool) {
			var s starts
			in := map[int64]bool{}
			for range rapid.IntRange(0, 7).Draw(t, name) {
				lo := rapid.Int64Range(0, 60).Draw(t, "lo")
				p := span{lo, lo + rapid.Int64Range(-2, 6).Draw(t, "length")}
				s = append(s, p)
				for x := p.lo; x <= p.hi; x++ {
					in[x] = true
				}
			}
			return normal(s), in
		}
		a, inA := draw("a")
		b, inB := draw("b")
		lo := rapid.Int64Range(0, 60).Draw(t, "cut")
		hi := lo + rapid.Int64Range(-1, 9).Draw(t, "cut length")
		both, cut := meet(a, b), a.without(lo, hi)
		for x := int64(-3); x < 80; x++ {
			if a.has(x) != inA[x] || both.has(x) != (inA[x] && inB[x]) || cut.has(x) != (inA[x] && (x < lo || x > hi)) {
				t.Fatalf("member %d: %v, met with %v: %v, cut [%d, %d]: %v", x, a, b, both, lo, hi, cut)
			}
			next, prev := x, x
			for next < 90 && !inA[next] {
				next++
			}
			for prev > -9 && !inA[prev] {
				prev--
			}
			if got := a.next(x); got != next && (next < 90 || got != never) {
				t.Fatalf("next(%d) of %v = %d", x, a, got)
			}
			if got := a.prev(x); got != prev && (prev > -9 || got != always) {
				t.Fatalf("prev(%d) of %v = %d", x, a, got)
			}
		}
	})
}
