package odds

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// exp is the standard library's to 13 digits.
func TestExp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(-8, 8).Draw(t, "x")
		if rapid.Bool().Draw(t, "far") {
			x = rapid.Float64Range(-700, 700).Draw(t, "x")
		}
		if got, want := exp(x), math.Exp(x); math.Abs(got-want) > 1e-13*want {
			t.Fatalf("exp(%g) = %g, want %g", x, got, want)
		}
	})
	if !math.IsNaN(exp(math.NaN())) || exp(math.Inf(1)) != math.Inf(1) || exp(math.Inf(-1)) != 0 {
		t.Error("what is no number")
	}
}

// ranked is what sorting gives, and times are ranked.
func TestRanked(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := rapid.SliceOfN(rapid.Int32Range(0, 40), 1, 60).Draw(t, "list")
		sorted := make([]int32, len(list))
		copy(sorted, list)
		for i := range sorted { // insertion
			for k := i; k > 0 && sorted[k] < sorted[k-1]; k-- {
				sorted[k], sorted[k-1] = sorted[k-1], sorted[k]
			}
		}
		n := len(list)
		at := func(p int) int64 { return int64(sorted[(p*n+9)/10-1]) }
		if got, want := times(list, n), (Times{at(1), at(5), at(9)}); got != want {
			t.Fatalf("%v: %v, want %v", sorted, got, want)
		}
		k := rapid.IntRange(0, n-1).Draw(t, "k")
		if got := ranked(list, k); got != sorted[k] {
			t.Fatalf("%v: number %d is %d", sorted, k, got)
		}
	})
}
