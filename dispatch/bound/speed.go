package bound

import (
	"context"

	"ebbline/dispatch/week"
)

// road answers how long drives take.
type road struct {
	seconds, metres [][]int64
	periods         []week.Period
	best            []int64 // the greatest speed from each period on
	short           bool    // no detour is shorter, in seconds or metres
}

// newRoad reads travel. If ctx ends meanwhile the road is of no use.
func newRoad(ctx context.Context, t *week.Travel) *road {
	r := &road{seconds: t.Seconds, metres: t.Metres, periods: t.Periods}
	r.best = make([]int64, len(t.Periods))
	for i := len(t.Periods) - 1; i >= 0; i-- {
		r.best[i] = t.Periods[i].Permille
		if i+1 < len(t.Periods) {
			r.best[i] = max(r.best[i], r.best[i+1])
		}
	}
	r.short = true
	for _, m := range [][][]int64{t.Seconds, t.Metres} {
		for i := range m {
			if ctx.Err() != nil || !r.short {
				return r
			}
			for k := range m {
				ik, row := m[i][k], m[k]
				for l, x := range m[i] {
					if ik+row[l] < x {
						r.short = false
					}
				}
			}
		}
	}
	return r
}

// period is the number of the period that holds at x; -1: before the first.
func (r *road) period(x int64) int {
	k := len(r.periods) - 1
	for k >= 0 && r.periods[k].From > x {
		k--
	}
	return k
}

// arrive is when a drive of so many usual seconds ends.
func (r *road) arrive(leave, seconds int64) int64 {
	arrive, _ := r.leg(r.period(leave), leave, seconds)
	return arrive
}

// speeds are the speed in permille in period k and the greatest from then on.
func (r *road) speeds(k int) (speed, best int64) {
	if k >= 0 {
		return r.periods[k].Permille, r.best[k]
	}
	if len(r.best) > 0 {
		return 1000, max(1000, r.best[0])
	}
	return 1000, 1000
}

// leg is when a drive of so many usual seconds ends that leaves in period k, and how
// long it takes at the least if it may leave later.
func (r *road) leg(k int, leave, seconds int64) (arrive, work int64) {
	speed, best := r.speeds(k)
	until := int64(never)
	if k+1 < len(r.periods) {
		until = r.periods[k+1].From
	}
	left := seconds * 1000
	work = left / best
	if arrive = leave + (left+speed-1)/speed; arrive <= until {
		return arrive, work
	}
	for {
		left -= (until - leave) * speed
		if k++; left <= 0 {
			return until, work
		}
		leave, speed, until = until, r.periods[k].Permille, never
		if k+1 < len(r.periods) {
			until = r.periods[k+1].From
		}
		if arrive = leave + (left+speed-1)/speed; arrive <= until {
			return arrive, work
		}
	}
}

// fastest is the greatest speed in permille at x or later.
func (r *road) fastest(x int64) int64 {
	switch k := r.period(x); {
	case len(r.periods) == 0:
		return 1000
	case k < 0:
		return max(1000, r.best[0])
	default:
		return r.best[k]
	}
}
