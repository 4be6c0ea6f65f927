package estimate

import (
	"testing"

	"ebbline/jobs"
	"pgregory.net/rapid"
)

// at reads a table as the week's planning does: straight between points,
// rounded down.
func (t Table) at(x int64) int64 {
	for i := 1; i < len(t); i++ {
		if x <= t[i].X {
			a, b := t[i-1], t[i]
			return a.Y + (x-a.X)*(b.Y-a.Y)/(b.X-a.X)
		}
	}
	return t[len(t)-1].Y
}

// walked counts open seconds one by one.
func walked(need, x int64, open []Span) int64 {
	y := x
	for need > 0 {
		for _, s := range open {
			if s.From <= y && y < s.To {
				need--
				break
			}
		}
		y++
	}
	return y
}

func spans(t *rapid.T, name string) []Span {
	var list []Span
	at := rapid.Int64Range(-20, 5).Draw(t, name+" first")
	for range rapid.IntRange(2, 6).Draw(t, name+" count") {
		at += rapid.Int64Range(0, 15).Draw(t, name+" gap")
		to := at + rapid.Int64Range(1, 20).Draw(t, name+" long")
		list = append(list, Span{at, to})
		at = to
	}
	return append(list, Span{at + 3, at + 500}) // enough for whatever is begun
}

func clockOf(t *rapid.T) Clock {
	early := rapid.Int64Range(0, 30).Draw(t, "early")
	return Clock{
		Known: true, LowLimit: rapid.Int64Range(1, 100).Draw(t, "limit"),
		Drain: Quantiles{early, early + 3, early + rapid.Int64Range(3, 30).Draw(t, "more")},
		Cover: Quantiles{1, 2, rapid.Int64Range(0, 40).Draw(t, "cover")},
	}
}

func TestTablesAgainstCounting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		clock, drain, fill := clockOf(t), spans(t, "drain"), spans(t, "fill")
		from, to := int64(-25), rapid.Int64Range(-20, 120).Draw(t, "to")
		tables, err := Tables(clock, from, to, drain, fill)
		if err != nil {
			t.Fatal(err)
		}
		for _, table := range []Table{tables.LowLate, tables.LowEarly, tables.Covered, tables.LowLimit} {
			for i := 1; i < len(table); i++ {
				if table[i].X <= table[i-1].X || table[i].Y < table[i-1].Y {
					t.Fatalf("not rising: %v", table)
				}
			}
		}
		for x := from; x <= to; x++ {
			if got, want := tables.LowLate.at(x), walked(clock.Drain.Late, x, drain); got != want {
				t.Fatalf("low late at %d: %d, counted %d, spans %v\n%v", x, got, want, drain, tables.LowLate)
			}
			if got, want := tables.LowEarly.at(x), walked(clock.Drain.Early, x, drain); got != want {
				t.Fatalf("low early at %d: %d, counted %d", x, got, want)
			}
			if got, want := tables.Covered.at(x), walked(clock.Cover.Late, x, fill); got != want {
				t.Fatalf("covered at %d: %d, counted %d", x, got, want)
			}
			if tables.LowEarly.at(x) > tables.LowLate.at(x) {
				t.Fatalf("early after late at %d", x)
			}
			if got := tables.LowLimit.at(x); got != x+clock.LowLimit {
				t.Fatalf("low limit at %d: %d", x, got)
			}
		}
	})
}

func TestWiderWaterHoursNeverDelay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		clock, hours := clockOf(t), spans(t, "hours")
		wider := append([]Span{}, hours...)
		for range rapid.IntRange(1, 3).Draw(t, "more") {
			from := rapid.Int64Range(-25, 150).Draw(t, "from")
			wider = append(wider, Span{from, from + rapid.Int64Range(1, 40).Draw(t, "length")})
		}
		a, err := Tables(clock, -25, 100, hours, hours)
		if err != nil {
			t.Fatal(err)
		}
		b, err := Tables(clock, -25, 100, wider, wider)
		if err != nil {
			t.Fatal(err)
		}
		for x := int64(-25); x <= 100; x++ {
			if b.LowLate.at(x) > a.LowLate.at(x) || b.Covered.at(x) > a.Covered.at(x) {
				t.Fatalf("wider hours delay at %d", x)
			}
		}
	})
}

func TestTablesRefuse(t *testing.T) {
	clock := Clock{Known: true, Drain: Quantiles{10, 20, 30}, Cover: Quantiles{1, 2, 3}, LowLimit: 100}
	hours := []Span{{0, 20}, {50, 59}}
	if _, err := Tables(clock, 0, 10, hours, hours); jobs.CodeOf(err) == "" {
		t.Error("29 s of water hours hold no 30 s of pumping")
	}
	if _, err := Tables(clock, 10, 0, hours, hours); jobs.CodeOf(err) != jobs.CodeInvalid {
		t.Errorf("ends before it begins: %v", err)
	}
	if _, err := Tables(Clock{}, 0, 10, hours, hours); jobs.CodeOf(err) != jobs.CodeConflict {
		t.Errorf("an unknown clock has no tables: %v", err)
	}
}
