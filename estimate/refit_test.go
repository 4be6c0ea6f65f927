package estimate

import (
	"math"
	"math/rand/v2"
	"slices"
	"sort"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

const hour = 3600

// fall24 is a drain of 24 in that was estimated with 12 h, 9 to 16.
func fall24(open ...Span) Draining {
	if len(open) == 0 {
		open = []Span{{0, 400 * hour}}
	}
	return Draining{Started: true, Target: 24 * umPerInch, Drain: Quantiles{9 * hour, 12 * hour, 16 * hour}, Open: open}
}

func readAt(hours, inches float64) Reading {
	return Reading{At: round(hours * hour), Below: round(inches * umPerInch)}
}

func hoursOf(s int64) float64 { return float64(s) / hour }

func TestRefit(t *testing.T) {
	for _, c := range []struct {
		name     string
		d        Draining
		readings []Reading
		low      float64 // hours after the start, about
		off      float64
		doubts   []int
		odd      string
	}{
		{"none: as estimated", fall24(), nil, 12, 0, nil, ""},
		{"as estimated", fall24(), []Reading{readAt(3, 6), readAt(6, 12)}, 12, .3, nil, ""},
		{"half as fast", fall24(), []Reading{readAt(3, 3), readAt(6, 6), readAt(9, 9)}, 24, .7, nil, ""},
		{"twice as fast", fall24(), []Reading{readAt(1.5, 6), readAt(3, 12)}, 6, .4, nil, ""},
		{"one bad among four", fall24(), []Reading{readAt(2, 4), readAt(4, 8), readAt(5, 20), readAt(6, 12)}, 12, .4, []int{2}, ""},
		{"feet for inches", fall24(), []Reading{readAt(2, 4), readAt(4, 0.75), readAt(6, 12), readAt(8, 16)}, 12, .4, []int{1}, ""},
		{"given out of order", fall24(), []Reading{readAt(6, 6), readAt(3, 3), readAt(9, 9)}, 24, .7, nil, ""},
		{"contradicting", fall24(), []Reading{readAt(1, 2), readAt(2, 15), readAt(3, 1), readAt(4, 20), readAt(5, 6), readAt(6, 30)}, 12, 0, nil, "contradict"},
		{"rising", fall24(), []Reading{readAt(1, 9), readAt(3, 7), readAt(5, 5), readAt(7, 3)}, 12, 0, nil, "rises"},
		// pumping from 8 to 18 only: 10 h a day, the reading of the second morning
		// stands where it stood at night
		{"water hours", fall24(Span{0, 10 * hour}, Span{24 * hour, 34 * hour}, Span{48 * hour, 58 * hour}, Span{72 * hour, 82 * hour}),
			[]Reading{readAt(10, 10), readAt(24, 10), readAt(29, 15)}, 48 + 4, .5, nil, ""},
		{"low already", fall24(), []Reading{readAt(3, 12), readAt(5, 24)}, 5, .01, nil, ""},
		{"not where it should be low", fall24(), []Reading{readAt(8, 14), readAt(14, 22)}, 15.3, .5, nil, ""},
	} {
		r := Refit(c.d, c.readings)
		if !r.Known || math.Abs(hoursOf(r.LowAt.Median)-c.low) > c.off {
			t.Errorf("%s: low after %.2f h, want %v (%s)", c.name, hoursOf(r.LowAt.Median), c.low, r.Says)
		}
		if r.LowAt.Early > r.LowAt.Median || r.LowAt.Median > r.LowAt.Late {
			t.Errorf("%s: %v", c.name, r.LowAt)
		}
		doubts := []int(nil)
		for _, d := range r.Doubts {
			doubts = append(doubts, d.Index)
		}
		if c.odd == "" && !slices.Equal(doubts, c.doubts) || r.Contradict != (c.odd != "") || !strings.Contains(r.Says, c.odd) {
			t.Errorf("%s: put aside %v, %q", c.name, r.Doubts, r.Says)
		}
		if wide := hoursOf(r.Drain.Late - r.Drain.Early); len(c.readings) > 1 && c.odd == "" && wide > .3*hoursOf(r.Drain.Median) {
			t.Errorf("%s: still a band of %.1f h", c.name, wide)
		}
	}
}

// The weighing over a grid against another way to the same end: rates and levels
// drawn from what was known before, weighed by how well they explain the
// readings.
func TestRefitAgainstDraws(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	for _, readings := range [][]Reading{
		{readAt(4, 6)},
		{readAt(2, 3.2), readAt(5, 8.6)},
		{readAt(1, 2.5), readAt(3, 6.4), readAt(5, 3), readAt(7, 15.1)},
	} {
		d := fall24()
		usual := 24 * umPerInch / (12 * hour)
		sd := math.Log(16./9) / 2 / normalQuantile(.9)
		type drawn struct{ at, weight float64 }
		var list []drawn
		total := 0.0
		for range 1_500_000 {
			s := sd
			if rng.Float64() < .1 {
				s = 1.5
			}
			rate := usual * math.Exp(s*rng.NormFloat64())
			begin := levelSD * rng.NormFloat64()
			w, last, now := 1.0, 0.0, begin
			for _, r := range readings {
				off := d.readingSD(r.Below)
				e := (float64(r.Below) - begin - rate*float64(r.At)) / off
				good, bad := (1-slip)*math.Exp(-e*e/2)/off, slip/slipRange
				w *= good + bad
				last, now = float64(r.At), begin+rate*float64(r.At)
				if rng.Float64() < good/(good+bad) {
					now = float64(r.Below) + readSD*rng.NormFloat64()
				}
			}
			if w < 1e-45 {
				continue
			}
			at := last
			if left := float64(d.Target) - now; left > 0 {
				at += left / (rate * math.Exp(goesOnSD*rng.NormFloat64()))
			} else {
				at += left / rate
			}
			list, total = append(list, drawn{at, w}), total+w
		}
		sort.Slice(list, func(a, b int) bool { return list[a].at < list[b].at })
		got := Refit(d, readings)
		run, i := 0.0, 0
		for _, q := range []struct {
			p   float64
			got int64
		}{{.1, got.Drain.Early}, {.5, got.Drain.Median}, {.9, got.Drain.Late}} {
			for ; i < len(list) && run < q.p*total; i++ {
				run += list[i].weight
			}
			if want := list[max(i-1, 0)].at; math.Abs(float64(q.got)/want-1) > .02 {
				t.Errorf("%d readings, %v: %.3f h, by draws %.3f h", len(readings), q.p, hoursOf(q.got), want/hour)
			}
		}
	}
}

func TestRefitNeverBreaks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		early := rapid.Int64Range(0, 50*hour).Draw(t, "early")
		d := Draining{
			Start: rapid.Int64Range(-100, 100).Draw(t, "start"), Started: rapid.Bool().Draw(t, "started"),
			Level: rapid.Int64Range(-3e5, 1e6).Draw(t, "level"), Target: rapid.Int64Range(-3e5, 3e6).Draw(t, "target"),
			Drain: Quantiles{early, early + rapid.Int64Range(0, 10*hour).Draw(t, "median"), 0}, Open: []Span{{-1000, 200 * hour}, {210 * hour, 2000 * hour}},
		}
		d.Drain.Late = d.Drain.Median + rapid.Int64Range(0, 20*hour).Draw(t, "late")
		var readings []Reading
		for range rapid.IntRange(0, 20).Draw(t, "readings") {
			readings = append(readings, Reading{rapid.Int64Range(-hour, 60*hour).Draw(t, "at"), rapid.Int64Range(-6e6, 6e6).Draw(t, "below")})
		}
		r := Refit(d, readings)
		if !r.Known {
			if r.Says == "" {
				t.Fatal("not known, and nobody says why")
			}
			return
		}
		if r.Drain.Early > r.Drain.Median || r.Drain.Median > r.Drain.Late || r.LowAt.Early > r.LowAt.Median || r.LowAt.Median > r.LowAt.Late || r.Drain.Early < 0 || r.LowAt.Early < d.Start {
			t.Fatalf("%+v", r)
		}
		slices.Reverse(readings)
		if again := Refit(d, readings); len(readings) < 12 && again.Drain != r.Drain && !sameTimes(readings) {
			t.Fatalf("in another order %+v, before %+v", again, r)
		}
	})
}

func sameTimes(readings []Reading) bool {
	seen := map[int64]bool{}
	for _, r := range readings {
		if seen[r.At] {
			return true
		}
		seen[r.At] = true
	}
	return false
}

// What the estimate hands to the refit is its own drain and what comes after.
func TestDrainingOfAnEstimate(t *testing.T) {
	s := changedValue(t, changedValue(t, twoBodies(t, "use", "raised_spa", "", "becomes_low", "crew_pump", "", "read_rate", "10", "gpm"), "pool", "becomes_low", "crew_pump", ""), "pool", "read_rate", "20", "gpm")
	e := Make(s, dropOnly(), Ask{})
	d, ok := e.Draining("")
	if !ok || d.Target-d.Level != e.Bodies[0].Drop.Value || d.Drain.Median != e.Bodies[0].Drain.Value || d.Drain.Late+d.Rest.Late != e.Clock.Drain.Late {
		t.Errorf("%v, %+v", ok, d)
	}
	if d, ok := e.Draining("spa"); !ok || d.Drain.Median != e.Bodies[1].Drain.Value {
		t.Errorf("the spa: %v, %+v", ok, d)
	}
	if _, ok := Make(lowered(t, "450", "24", "20"), dropOnly(), Ask{}).Draining("none"); ok {
		t.Error("a body that is none")
	}
}

func BenchmarkRefit(b *testing.B) {
	readings := []Reading{readAt(2, 4), readAt(4, 8), readAt(5, 20), readAt(6, 12)}
	b.ReportAllocs()
	for b.Loop() {
		Refit(fall24(), readings)
	}
}
