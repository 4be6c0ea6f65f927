package odds

import "math"

// length is a log-normal length as it is drawn.
type length struct {
	median   float64 // seconds; 0: not known, and fixed holds
	fixed    int64
	own, day float64 // log standard deviations: its own and the day's
	key      uint64
}

// newLength parts a log standard deviation in thousandths into the day's share and the rest.
func newLength(median, logSD, day, fixed int64, key uint64) length {
	l := length{median: float64(median), fixed: fixed, key: key}
	day = min(day, logSD)
	l.own, l.day = math.Sqrt(float64(logSD*logSD-day*day))/1000, float64(day)/1000
	return l
}

func (l *length) known() bool { return l.median > 0 }

// draw is the length in a run, in whole seconds; shared is the day's standard normal number.
func (l *length) draw(s *stream, run uint64, shared float64) int64 {
	if l.median <= 0 {
		return l.fixed
	}
	return int64(l.median*l.factor(s, run, shared) + .5)
}

// factor is what multiplies the median in a run.
func (l *length) factor(s *stream, run uint64, shared float64) float64 {
	x := l.day * shared
	if l.own > 0 {
		x += l.own * s.normal(run, l.key)
	}
	return exp(x)
}

// quantile of the length, in seconds.
func (l *length) quantile(permille int64) float64 {
	return l.median * math.Exp(normalAt(permille)*math.Hypot(l.own, l.day))
}

// normalAt is the standard normal number below which a share in permille lies.
func normalAt(permille int64) float64 {
	return math.Sqrt2 * math.Erfinv(float64(2*permille-1000)/1000)
}
