package main

import (
	"bytes"
	"context"
	"errors"
	"math"
	"strings"
	"testing"
	"time"
)

// Work that sleeps three times as long is done a third as often.
func TestSlicesCompareByRound(t *testing.T) {
	nap := func(d time.Duration) func(context.Context, int) error {
		return func(context.Context, int) error { time.Sleep(d); return nil }
	}
	s := method{rounds: 4, slice: 120 * time.Millisecond, clients: 4}
	r, err := s.measure(t.Context(), []variant{{"short", nap(2 * time.Millisecond)}, {"long", nap(6 * time.Millisecond)}})
	if err != nil {
		t.Fatal(err)
	}
	if len(r[0]) != 4 || len(r[1]) != 4 {
		t.Fatalf("rounds: %d and %d", len(r[0]), len(r[1]))
	}
	if ratio := median(r.against(1)); ratio < 0.2 || ratio > 0.55 {
		t.Errorf("ratio %.2f, want about a third", ratio)
	}
}

func TestSlicesStopAtAnError(t *testing.T) {
	wrong := errors.New("wrong answer")
	calls := 0
	s := method{rounds: 50, slice: time.Second, clients: 1}
	_, err := s.measure(t.Context(), []variant{{"broken", func(context.Context, int) error { calls++; return wrong }}})
	if !errors.Is(err, wrong) || calls != 1 {
		t.Errorf("have %v after %d calls", err, calls)
	}
}

func TestSlicesEndWithTheirContext(t *testing.T) {
	ctx, cancel := context.WithTimeout(t.Context(), 30*time.Millisecond)
	defer cancel()
	s := method{rounds: 1000, slice: 10 * time.Millisecond, clients: 2}
	_, err := s.measure(ctx, []variant{{"idle", func(context.Context, int) error { time.Sleep(time.Millisecond); return nil }}})
	if !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("have %v", err)
	}
}

func TestMedian(t *testing.T) {
	for _, c := range []struct {
		values []float64
		want   float64
	}{{[]float64{3}, 3}, {[]float64{5, 1, 3}, 3}, {[]float64{4, 1, 3, 2}, 2.5}} {
		if have := median(c.values); math.Abs(have-c.want) > 1e-12 {
			t.Errorf("%v: %g, want %g", c.values, have, c.want)
		}
	}
}

func TestReportForPeopleAndPrograms(t *testing.T) {
	r := report{Version: "1", Figures: []figure{newFigure("GET one job", "of bare", []float64{0.5, 0.7, 0.6})}}
	var table, text bytes.Buffer
	if err := errors.Join(r.table(&table), r.json(&text)); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(table.String(), "GET one job  0.60    0.50  0.70  of bare  3") {
		t.Errorf("table:\n%s", table.String())
	}
	if !strings.Contains(text.String(), `"median": 0.6`) {
		t.Errorf("json:\n%s", text.String())
	}
}
