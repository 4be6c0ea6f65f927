package odds

import (
	"testing"

	"ebbline/dispatch/week"
	"pgregory.net/rapid"
)

// Moving by open seconds is counting them one by one: the earliest instant from or to
// which so many of them lie.
func TestShiftCountsSeconds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var w week.Week
		var shut []week.Closure
		at := int64(0)
		for range rapid.IntRange(1, 4).Draw(t, "spans") {
			from := at + rapid.Int64Range(1, 9).Draw(t, "gap")
			at = from + rapid.Int64Range(1, 20).Draw(t, "length")
			w.WaterHours = append(w.WaterHours, week.Span{From: from, To: at})
		}
		if rapid.Bool().Draw(t, "storm") {
			from := rapid.Int64Range(0, 60).Draw(t, "from")
			shut = append(shut, week.Closure{All: true, StopsPumping: rapid.Bool().Draw(t, "stops"), From: from, To: from + rapid.Int64Range(1, 12).Draw(t, "for")})
		}
		h := waterHours(&w, shut)
		if len(h.spans) == 0 {
			t.Skip("the storm leaves nothing")
		}
		first, last := h.spans[0].From, h.spans[len(h.spans)-1].To
		open := func(s int64) bool {
			if s < first || s >= last {
				return true
			}
			for _, c := range shut {
				if c.StopsPumping && c.From <= s && s < c.To {
					return false
				}
			}
			for _, x := range w.WaterHours {
				if x.From <= s && s < x.To {
					return true
				}
			}
			return false
		}
		x := rapid.Int64Range(-10, 90).Draw(t, "x")
		by := rapid.Int64Range(-40, 40).Draw(t, "by")
		want := x
		for n := int64(0); n < by; want++ {
			if open(want) {
				n++
			}
		}
		for n := int64(0); n > by; want-- {
			if open(want - 1) {
				n--
			}
		}
		for by < 0 && !open(want-1) { // the earliest of them
			want--
		}
		if got := h.shift(x, by); got != want {
			t.Fatalf("%v less %v: %d by %d is %d, counted %d", w.WaterHours, shut, x, by, got, want)
		}
	})
}
