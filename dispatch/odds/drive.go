package odds

import "ebbline/dispatch/week"

// roads answers how long drives take.
type roads struct {
	seconds [][]int64
	periods []week.Period
	hint    []int32 // number of the period at each 4,096th second from hintAt on
	hintAt  int64
	length  // of a drive of one second; its key is not used
	known   bool
}

func newRoads(w *week.Week) roads {
	r := roads{seconds: w.Travel.Seconds, periods: w.Travel.Periods, hintAt: min(0, w.T0)}
	for x := r.hintAt; len(r.periods) > 0 && x < w.End+86_400; x += 4096 {
		n := int32(-1)
		for int(n)+1 < len(r.periods) && r.periods[n+1].From <= x {
			n++
		}
		r.hint = append(r.hint, n)
	}
	if u := w.Uncertainty; u != nil && u.DriveLogSD != nil {
		r.length = newLength(1, *u.DriveLogSD, u.TrafficDayLogSD, 0, 0)
		r.median, r.known = 1/r.quantile(u.DrivePermille), true
	}
	return r
}

// drawn is how long a drive takes at the usual speed in a run.
func (r *roads) drawn(from, to int32, key uint64, l *life, shared float64) int64 {
	s := r.seconds[from][to]
	if !r.known || s == 0 {
		return s
	}
	one := length{median: r.median, own: r.own, day: r.day, key: key}
	return int64(float64(s)*r.median*one.factor(l.s, l.run, shared) + .5)
}

// arrive is when a drive of seconds at the usual speed ends, walked through the periods.
func (r *roads) arrive(leave, seconds int64) int64 {
	if len(r.periods) == 0 || seconds == 0 {
		return leave + seconds
	}
	i := -1
	if k := (leave - r.hintAt) / 4096; k >= 0 {
		i = int(r.hint[min(int(k), len(r.hint)-1)])
	}
	for i+1 < len(r.periods) && r.periods[i+1].From <= leave {
		i++
	}
	for left := seconds * 1000; ; {
		speed := int64(1000)
		if i >= 0 {
			speed = r.periods[i].Permille
		}
		if i+1 < len(r.periods) {
			if room := (r.periods[i+1].From - leave) * speed; room < left {
				i++
				left, leave = left-room, r.periods[i].From
				continue
			}
		}
		return leave + (left+speed-1)/speed
	}
}
