package estimate

import (
	"fmt"
	"slices"

	"ebbline/jobs"
)

// Span is a closed stretch of time in which water may move, in whole seconds
// from wherever the caller counts.
type Span struct{ From, To int64 }

// Point is a breakpoint of a table: what begins at X has its effect at Y.
type Point struct {
	X int64 `json:"x"`
	Y int64 `json:"y"`
}

// Table is a non-decreasing function given by its breakpoints, straight between
// them; a jump is two points one second apart.
type Table []Point

// WaterTables are a job's water as the week's planning reads it.
type WaterTables struct {
	LowLate  Table `json:"low_late"`  // surely low, if draining began at x
	LowEarly Table `json:"low_early"` // may be low, if draining began at x
	Covered  Table `json:"covered"`   // lights covered, if filling began at x
	LowLimit Table `json:"low_limit"` // if it may be low from x, it must be covered by then
}

// Tables lays the clock over a stretch of time: from is the first instant that
// may be asked for, to the last; drain and fill are the water hours, which must
// go on past to until the latest thing begun there is done (the error says how
// much is lacking). Spans may touch or overlap. The clock must be known.
func Tables(clock Clock, from, to int64, drain, fill []Span) (WaterTables, error) {
	if !clock.Known {
		return WaterTables{}, jobs.Errorf(jobs.CodeConflict, "the water clock is not known yet")
	}
	if to < from {
		return WaterTables{}, jobs.Errorf(jobs.CodeInvalid, "the stretch of time ends at %d before it begins at %d", to, from)
	}
	drain, fill = joined(drain), joined(fill)
	var t WaterTables
	var err error
	if t.LowLate, err = working(clock.Drain.Late, from, to, drain); err != nil {
		return WaterTables{}, fmt.Errorf("pumping: %w", err)
	}
	if t.LowEarly, err = working(clock.Drain.Early, from, to, drain); err != nil {
		return WaterTables{}, fmt.Errorf("pumping: %w", err)
	}
	if t.Covered, err = working(clock.Cover.Late, from, to, fill); err != nil {
		return WaterTables{}, fmt.Errorf("filling: %w", err)
	}
	last := max(to, t.LowEarly[len(t.LowEarly)-1].Y, t.LowLate[len(t.LowLate)-1].Y)
	t.LowLimit = Table{{from, from + clock.LowLimit}}
	if last > from {
		t.LowLimit = append(t.LowLimit, Point{last, last + clock.LowLimit})
	}
	return t, nil
}

// working is the table of "need seconds of open time from x on".
func working(need, from, to int64, open []Span) (Table, error) {
	marks := []int64{from, to}
	add := func(x int64) {
		if x > from && x < to {
			marks = append(marks, x)
		}
	}
	for _, s := range open {
		add(s.From)
		add(s.To)
		// the latest start that is done when this span ends, and one second later
		if x, ok := latestStart(need, s.To, open); ok {
			add(x)
			add(x + 1)
		}
	}
	slices.Sort(marks)
	marks = slices.Compact(marks)
	table := make(Table, 0, len(marks))
	for _, x := range marks {
		y, lack := done(need, x, open)
		if lack > 0 {
			return nil, jobs.Errorf(jobs.CodeInvalid, "water hours must go on: %s of them are lacking for what begins at second %d", duration(lack), x)
		}
		table = append(table, Point{x, y})
	}
	return table, nil
}

// done is the first instant at which need seconds of open time have passed
// since x; lack is what the spans do not hold.
func done(need, x int64, open []Span) (y, lack int64) {
	if need <= 0 {
		return x, 0
	}
	for _, s := range open {
		start := max(s.From, x)
		if s.To <= start {
			continue
		}
		if s.To-start >= need {
			return start + need, 0
		}
		need -= s.To - start
	}
	return 0, need
}

// latestStart is the last x from which need seconds of open time have passed
// at y.
func latestStart(need, y int64, open []Span) (int64, bool) {
	if need <= 0 {
		return y, true
	}
	for i := len(open) - 1; i >= 0; i-- {
		end := min(open[i].To, y)
		if end <= open[i].From {
			continue
		}
		if end-open[i].From >= need {
			return end - need, true
		}
		need -= end - open[i].From
	}
	return 0, false
}

// joined sorts spans and joins those that touch; empty ones go.
func joined(spans []Span) []Span {
	sorted := slices.Clone(spans)
	slices.SortFunc(sorted, func(a, b Span) int {
		if a.From != b.From {
			if a.From < b.From {
				return -1
			}
			return 1
		}
		return 0
	})
	var out []Span
	for _, s := range sorted {
		switch {
		case s.To <= s.From:
		case len(out) > 0 && s.From <= out[len(out)-1].To:
			out[len(out)-1].To = max(out[len(out)-1].To, s.To)
		default:
			out = append(out, s)
		}
	}
	return out
}
