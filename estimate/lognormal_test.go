package estimate

import (
	"math"
	"testing"
)

func near(t *testing.T, name string, got, want, off float64) {
	t.Helper()
	if math.Abs(got-want) > off {
		t.Errorf("%s: %v, want %v", name, got, want)
	}
}

// The network of a management-science textbook's chapter on project planning:
// seven activities, critical path 1-3-5-7, mean 24, variance 5, and a chance of
// 0.9633 (by a table with z 1.79) to be done by 28.
func TestPERTNetwork(t *testing.T) {
	activities := [][3]float64{{5, 8, 17}, {7, 10, 13}, {3, 5, 7}, {1, 3, 5}, {4, 6, 8}, {3, 3, 3}, {3, 4, 5}}
	means := []float64{9, 10, 5, 3, 6, 3, 4}
	variances := []float64{4, 1, 4. / 9, 4. / 9, 4. / 9, 0, 1. / 9}
	var mean, variance float64
	for i, a := range activities {
		m, v := pert(a[0], a[1], a[2])
		near(t, "mean", m, means[i], 1e-12)
		near(t, "variance", v, variances[i], 1e-12)
		if i%2 == 0 {
			mean, variance = mean+m, variance+v
		}
	}
	near(t, "path mean", mean, 24, 1e-12)
	near(t, "path variance", variance, 5, 1e-12)
	near(t, "done by 28", normalBelow((28-mean)/math.Sqrt(variance)), .96318, 1e-5)
	near(t, "done by 28, table", normalBelow(1.79), .9633, 5e-5)
}

// Moments and quantiles by the formulas of statistics notes: median e^mu, mean
// e^(mu + s²/2), p-quantile e^(mu + z s).
func TestLognormal(t *testing.T) {
	l := fromMeanSD(5, 2)
	near(t, "mu", math.Log(l.Median), 1.53523, 1e-5)
	near(t, "s", l.S, .38525, 1e-5)
	near(t, "median", l.Median, 4.6424, 1e-4)
	near(t, "90 %", l.quantile(.9), 7.6061, 1e-4)
	near(t, "mean", l.Median*math.Exp(l.S*l.S/2), 5, 1e-9)
	l = fromMedianQuantile(4, .9, 6)
	near(t, "s", l.S, .31639, 1e-5)
	near(t, "mean", l.Median*math.Exp(l.S*l.S/2), 4.2053, 1e-4)
	near(t, "done by the 90 % quantile", l.below(6), .9, 1e-9)
	near(t, "80 %", l.quantile(.8), 5.2204, 1e-4)
	for p, z := range map[float64]float64{.8: .8416, .9: 1.2816, .95: 1.6449, .5: 0} { // normal table
		near(t, "z", normalQuantile(p), z, 5e-5)
	}
}
