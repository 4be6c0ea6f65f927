package estimate

import "math"

// lognormal is a time whose logarithm is normal: Median = e^mu, S its log
// standard deviation.
type lognormal struct{ Median, S float64 }

// fromMeanSD is the log-normal with this mean and standard deviation.
func fromMeanSD(mean, sd float64) lognormal {
	s2 := math.Log(1 + (sd/mean)*(sd/mean))
	return lognormal{Median: mean / math.Exp(s2/2), S: math.Sqrt(s2)}
}

// fromMedianQuantile is the log-normal with this median and this p-quantile.
func fromMedianQuantile(median, p, at float64) lognormal {
	return lognormal{Median: median, S: math.Log(at/median) / normalQuantile(p)}
}

// below is the chance that it takes at most this long.
func (l lognormal) below(at float64) float64 {
	switch {
	case at <= 0:
		return 0
	case l.S <= 0:
		if at < l.Median {
			return 0
		}
		return 1
	}
	return normalBelow(math.Log(at/l.Median) / l.S)
}

func (l lognormal) quantile(p float64) float64 {
	return l.Median * math.Exp(normalQuantile(p)*l.S)
}

// normalQuantile is z with P(Z <= z) = p.
func normalQuantile(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }

// normalBelow is P(Z <= z).
func normalBelow(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// pert is the mean and variance of a task from its best, usual and worst time.
func pert(a, m, b float64) (mean, variance float64) {
	return (a + 4*m + b) / 6, (b - a) * (b - a) / 36
}
