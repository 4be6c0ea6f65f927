package search

import "ebbline/dispatch/week"

// leg is the drive between two places: at the usual speed, and its road.
type leg struct{ secs, metres int32 }

// layFlat is the most places whose matrices are laid flat, both values of a drive beside
// each other; of more the week's own rows are read, for laying them out takes longer.
const layFlat = 2500

// travel answers how long a drive takes.
type travel struct {
	n       int
	legs    []leg // row by row; nil: the week's own rows are read
	given   *week.Travel
	periods []week.Period
	hint    []int16 // number of the period at each 1,024th second from hintAt on
	hintAt  int64
}

func newTravel(w *week.Week) travel {
	n := len(w.Places)
	t := travel{n: n, given: &w.Travel}
	if n <= layFlat {
		t.legs = flat(&w.Travel, n)
	}
	t.periods = w.Travel.Periods
	if len(t.periods) > 0 {
		t.hintAt = min(0, w.T0)
		for x := t.hintAt; x < w.End+86400; x += 1 << 10 {
			t.hint = append(t.hint, int16(t.search(x)))
		}
	}
	return t
}

// flat lays the matrices flat; nil if a value is too large for it.
func flat(t *week.Travel, n int) []leg {
	legs := make([]leg, 0, n*n)
	for i := range n {
		secs, metres := t.Seconds[i], t.Metres[i]
		for k := range n {
			l := leg{int32(secs[k]), int32(metres[k])}
			if int64(l.secs) != secs[k] || int64(l.metres) != metres[k] {
				return nil
			}
			legs = append(legs, l)
		}
	}
	return legs
}

func (t *travel) dist(from, to int32) int64 {
	if t.legs == nil {
		return t.given.Metres[from][to]
	}
	return int64(t.legs[int(from)*t.n+int(to)].metres)
}

func (t *travel) usual(from, to int32) int64 {
	if t.legs == nil {
		return t.given.Seconds[from][to]
	}
	return int64(t.legs[int(from)*t.n+int(to)].secs)
}

// arrive returns the arrival of a drive that leaves at d.
func (t *travel) arrive(from, to int32, d int64) int64 {
	s := t.usual(from, to)
	if len(t.periods) == 0 || s == 0 {
		return d + s
	}
	left := s * 1000
	i := t.period(d)
	for {
		rate := int64(1000)
		if i >= 0 {
			rate = t.periods[i].Permille
		}
		if i+1 < len(t.periods) {
			if room := (t.periods[i+1].From - d) * rate; room < left {
				left -= room
				i++
				d = t.periods[i].From
				continue
			}
		}
		return d + (left+rate-1)/rate
	}
}

// leave returns the latest departure that arrives at a or earlier.
func (t *travel) leave(from, to int32, a int64) int64 {
	s := t.usual(from, to)
	if len(t.periods) == 0 || s == 0 {
		return a - s
	}
	// the permilles of the seconds d..a-1 must add up to s*1000 or more: walk back
	left := s * 1000
	i := t.period(a - 1)
	for {
		rate := int64(1000)
		if i >= 0 {
			rate = t.periods[i].Permille
		}
		if i >= 0 {
			if room := (a - t.periods[i].From) * rate; room < left {
				left -= room
				a = t.periods[i].From
				i--
				continue
			}
		}
		return a - (left+rate-1)/rate
	}
}

// period returns the number of the period that holds at d, -1 before the first.
func (t *travel) period(d int64) int {
	k := (d - t.hintAt) >> 10
	if k < 0 || k >= int64(len(t.hint)) {
		return t.search(d)
	}
	i := int(t.hint[k])
	for i+1 < len(t.periods) && t.periods[i+1].From <= d {
		i++
	}
	return i
}

func (t *travel) search(d int64) int {
	i, j := -1, len(t.periods)-1
	for i < j {
		m := (i + j + 1) >> 1
		if t.periods[m].From <= d {
			i = m
		} else {
			j = m - 1
		}
	}
	return i
}
