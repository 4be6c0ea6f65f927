package jobs

import (
	"math"
	"testing"
	"time"
)

func visitOf(kind, outcome string, day string, median, actual int64) VisitFigure {
	d, _ := ParseDay(day)
	start := Wall(d, 9*3600, time.UTC)
	return VisitFigure{Kind: kind, Outcome: RecordOutcome(outcome), ArrivedAt: start,
		LeftAt: start.Add(time.Duration(actual) * time.Second), MedianSeconds: median, PlannedSeconds: median, CrewID: "c1", CrewName: "Crew 1"}
}

// Four conversions that all took 1.2 times the median move the multiplier to
// exp(0.5 ln 1.2) = 1.0954: normal-normal shrinkage with M = 4 (arithmetic
// from the formula for known variance).
func TestCorrectShrinks(t *testing.T) {
	var vs []VisitFigure
	for range 4 {
		vs = append(vs, visitOf("convert", "done", "2026-03-02", 10_000, 12_000))
	}
	got, spread, n := Correct(vs)
	if math.Abs(got-1.0954) > 0.0001 || n != 4 || spread == nil || *spread > 1e-9 {
		t.Fatalf("correction %.5f of %d visits, spread %v; want 1.0954 of 4, spread 0", got, n, spread)
	}
	if f, _, _ := Correct(nil); f != 1 {
		t.Fatalf("nothing learnt must leave the estimate alone, got %v", f)
	}
}

func TestReckonWeeks(t *testing.T) {
	zone := time.UTC
	visits := []VisitFigure{
		visitOf("convert", "done", "2026-03-02", 10_000, 12_000),
		visitOf("survey", "wasted", "2026-03-17", 2_000, 600),
	}
	visits[0].Promised, visits[0].Kept = true, true
	visits[1].Promised, visits[1].Reason = true, "gate locked"
	done := []JobFigure{{JobID: "a", ConvertedAt: visits[0].LeftAt, ValueCents: 420_000, Lights: 3, CrewID: "c1"}}
	f := Reckon("2026-03-01", "2026-03-21", zone, visits, done, nil)
	// 1 March 2026 is a Sunday: its ISO week begins on Monday 23 February.
	if len(f.Weeks) != 4 || f.Weeks[0].Key != "2026-02-23" || f.Weeks[1].Conversions != 1 || f.Weeks[2].Conversions != 0 {
		t.Fatalf("weeks %+v", f.Weeks)
	}
	if f.Kept != 1 || f.Promised != 2 || f.Wasted["gate locked"] != 1 {
		t.Fatalf("kept %d of %d, wasted %v", f.Kept, f.Promised, f.Wasted)
	}
	if f.Weeks[1].Lights != 3 || f.Weeks[1].Value != 420_000 || f.Crews[0].Name != "Crew 1" {
		t.Fatalf("week %+v crews %+v", f.Weeks[1], f.Crews)
	}
}

func TestLowAt(t *testing.T) {
	t0 := time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)
	in := int64(25_400)
	read := func(hours float64, inches int64) Reading {
		return Reading{At: t0.Add(time.Duration(hours * float64(time.Hour))), BelowTileUM: inches * in}
	}
	// Two inches an hour from one inch: 24 inches stand after 11.5 hours.
	got, ok := LowAt([]Reading{read(0, 1), read(1, 3), read(2, 5)}, 24*in)
	if want := t0.Add(11*time.Hour + 30*time.Minute); !ok || got.Sub(want).Abs() > time.Second {
		t.Fatalf("low at %v, %v; want %v", got, ok, want)
	}
	if _, ok := LowAt([]Reading{read(0, 5), read(1, 5)}, 24*in); ok {
		t.Fatal("a level that does not fall predicts nothing")
	}
	if _, ok := LowAt([]Reading{read(0, 5)}, 24*in); ok {
		t.Fatal("one reading predicts nothing")
	}
	if got, ok := LowAt([]Reading{read(0, 5), read(3, 25)}, 24*in); !ok || !got.Equal(t0.Add(3*time.Hour)) {
		t.Fatalf("already low: %v %v", got, ok)
	}
}

func TestPrep(t *testing.T) {
	now := time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)
	before, after := now.Add(-time.Hour), now.Add(time.Hour)
	said := func(k AnswerKind) []Answer { return []Answer{{Kind: k}} }
	for name, c := range map[string]struct {
		f    PrepFacts
		want PrepState
	}{
		"not yet":      {PrepFacts{ToldFrom: &after}, PrepNotDue},
		"quiet":        {PrepFacts{ToldFrom: &before, ConfirmBy: &after}, PrepWaiting},
		"cut-off past": {PrepFacts{ToldFrom: &before, ConfirmBy: &before}, PrepUnconfirmed},
		"started":      {PrepFacts{ConfirmBy: &before, Answers: said(AnswerStarted)}, PrepStarted},
		"read":         {PrepFacts{Readings: []Reading{{}}}, PrepReading},
		"too slow":     {PrepFacts{Readings: []Reading{{}}, LowAt: &after, NeededAt: &now}, PrepLate},
		"reached":      {PrepFacts{LowAt: &after, NeededAt: &now, Answers: said(AnswerReached)}, PrepReached},
	} {
		if got := Prep(c.f, now); got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
}

// One visit tapped through in two minutes moves the multiplier no further than
// one that took a third of its median.
func TestCorrectBoundsWildVisits(t *testing.T) {
	wild := []VisitFigure{visitOf("convert", "done", "2026-03-02", 10_000, 120)}
	third := []VisitFigure{visitOf("convert", "done", "2026-03-02", 9_000, 3_000)}
	a, _, _ := Correct(wild)
	b, _, _ := Correct(third)
	if math.Abs(a-b) > 1e-9 || a >= 1 {
		t.Fatalf("two minutes teach %.4f, a third %.4f", a, b)
	}
}
