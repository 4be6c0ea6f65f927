package odds_test

import (
	"fmt"
	"math"
	"testing"

	"ebbline/dispatch/odds"
	"ebbline/dispatch/week"
)

// One visit before a promise: P(start <= x) = Phi((ln x - mu)/sigma), with the values of
// Phi as in Abramowitz and Stegun, Handbook of Mathematical Functions (1964), table 26.1.
func TestOneVisitBeforeAPromise(t *testing.T) {
	for _, c := range []struct{ z, phi float64 }{{-2, .0227501}, {-1, .1586553}, {-.5, .3085375}, {0, .5}, {.5, .6914625}, {1, .8413447}, {1.5, .9331928}, {2, .9772499}} {
		w := yard(1)
		w.Uncertainty.WorkDayLogSD = 300 // a part of what the visit says, so nothing changes
		job(w, "j", log1("first", 500))
		job(w, "k", brief("second"))
		start := 8*hour + int64(math.Round(float64(2*hour)*math.Exp(.5*c.z)))
		promise(w, "second", 0, start)
		o := simulate(t, w, plan(tourOf(w, "a0", "first", "second")), odds.Ask{Seed: 7, Runs: many})
		near(t, fmt.Sprintf("z = %g", c.z), o.Promises[0].Kept, c.phi)
		if !o.Promises[0].Kept.Known {
			t.Errorf("z = %g: said to be not known", c.z)
		}
	}
}

// The quantiles of a start are those of the log-normal: e^(mu + z sigma), z of 0.9 being
// 1.281552 (the same table, 26.5).
func TestQuantilesOfAStart(t *testing.T) {
	w := yard(1)
	job(w, "j", log1("first", 400))
	job(w, "k", brief("second"))
	promise(w, "second", 0, 10*hour)
	o := simulate(t, w, plan(tourOf(w, "a0", "first", "second")), odds.Ask{Seed: 3, Runs: many, Want: 900})
	got := o.Visits[1].Start
	const z, density = 1.281552, .175498 // of the normal there
	for _, c := range []struct {
		name    string
		got     int64
		z       float64
		density float64
		p       float64
	}{{"p10", got.P10, -z, density, .1}, {"p50", got.P50, 0, .398942, .5}, {"p90", got.P90, z, density, .9}, {"wanted", o.Promises[0].Short + 10*hour, z, density, .9}} {
		want := float64(2*hour) * math.Exp(.4*c.z)
		// the error of a sample's quantile: sqrt(p(1-p)/n) over the density
		bar := 4 * math.Sqrt(c.p*(1-c.p)/many) / c.density * .4 * want
		if math.Abs(float64(c.got-8*hour)-want) > bar+1 {
			t.Errorf("%s: %d s, want %.0f within %.0f", c.name, c.got-8*hour, want, bar)
		}
	}
}

// Two visits in line: the sum of two log-normals, by numerical convolution.
func TestTwoInLine(t *testing.T) {
	for _, x := range []float64{3.5, 4, 5, 6, 8} {
		w := yard(1)
		job(w, "j", log1("first", 500))
		job(w, "k", log1("second", 300))
		job(w, "l", brief("third"))
		promise(w, "third", 0, 8*hour+int64(x*float64(hour)))
		o := simulate(t, w, plan(tourOf(w, "a0", "first", "second", "third")), odds.Ask{Seed: 11, Runs: many})
		near(t, fmt.Sprintf("within %g h", x), o.Promises[0].Kept, sumBelow(x, 2, .5, 2, .3))
	}
}

// sumBelow is P(X + Y <= x) of two log-normals: the integral over z of
// phi(z) Phi((ln(x - m e^(s z)) - ln n)/r), by Simpson's rule.
func sumBelow(x, m, s, n, r float64) float64 {
	const steps = 4000
	f := func(z float64) float64 {
		left := x - m*math.Exp(s*z)
		if left <= 0 {
			return 0
		}
		return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) * below(math.Log(left/n)/r)
	}
	sum := f(-8) + f(8)
	for k := 1; k < steps; k++ {
		sum += f(-8+16*float64(k)/steps) * float64(2+2*(k%2))
	}
	return sum * 16 / steps / 3
}

// Two crews under one day's factor: with d² of s² shared the logarithms are normal with
// correlation d²/s², and both take longer than their medians with the chance
// 1/4 + asin(rho)/(2 pi) (Sheppard 1899). On two days nothing is shared.
func TestDayIsShared(t *testing.T) {
	const runs = 4000
	for _, c := range []struct {
		day, rho float64
		second   string
	}{{0, 0, "b0"}, {250, .25, "b0"}, {400, .64, "b0"}, {500, 1, "b0"}, {900, 1, "b0"}, {400, 0, "b1"}} {
		w := yard(2)
		w.Uncertainty.WorkDayLogSD = int64(c.day)
		job(w, "j", log1("one", 500))
		job(w, "k", log1("two", 500))
		p := plan(tourOf(w, "a0", "one"), tourOf(w, c.second, "two"))
		both, logs := 0, [2][]float64{}
		for run := range runs {
			l, err := odds.Replay(w, p, odds.Ask{Seed: 5, Runs: runs}, run)
			if err != nil {
				t.Fatal(err)
			}
			long := 0
			for i, v := range l.Visits {
				if v.End-v.Start > 2*hour {
					long++
				}
				logs[i] = append(logs[i], math.Log(float64(v.End-v.Start)/float64(2*hour)))
			}
			if long == 2 {
				both++
			}
		}
		want := .25 + math.Asin(c.rho)/(2*math.Pi)
		if got := float64(both) / runs; math.Abs(got-want) > 4*math.Sqrt(want*(1-want)/runs) {
			t.Errorf("day %g on %s: both long in %.4f, want %.4f", c.day, c.second, got, want)
		}
		for _, list := range logs { // however much the day shares, all of it is what the visit says
			sum := 0.0
			for _, x := range list {
				sum += x * x / runs
			}
			if sd := math.Sqrt(sum); math.Abs(sd-.5) > 4*.5/math.Sqrt(2*runs) {
				t.Errorf("day %g on %s: log standard deviation %.4f, want 0.5", c.day, c.second, sd)
			}
		}
		if got := correlation(logs[0], logs[1]); math.Abs(got-c.rho) > 4*(1-c.rho*c.rho)/math.Sqrt(runs)+1e-3 {
			t.Errorf("day %g on %s: correlation %.4f, want %.4f", c.day, c.second, got, c.rho)
		}
	}
}

func correlation(x, y []float64) float64 {
	mx, my := 0.0, 0.0
	for i := range x {
		mx, my = mx+x[i]/float64(len(x)), my+y[i]/float64(len(y))
	}
	xx, yy, xy := 0.0, 0.0, 0.0
	for i := range x {
		xx, yy, xy = xx+(x[i]-mx)*(x[i]-mx), yy+(y[i]-my)*(y[i]-my), xy+(x[i]-mx)*(y[i]-my)
	}
	return xy / math.Sqrt(xx*yy)
}

// A drive has its own spread; the seconds given may be any quantile of it, and where
// traffic is slow the drawn drive is driven more slowly.
func TestDrives(t *testing.T) {
	for _, c := range []struct {
		name     string
		permille int64
		periods  []week.Period
		within   float64 // of the seconds given
		want     float64
	}{
		{"median", 500, nil, math.Exp(.3), .8413447},
		{"given at nine of ten", 900, nil, 1, .9},
		{"half the speed", 500, []week.Period{{From: 0, Permille: 500}}, 2 * math.Exp(-.3), .1586553},
		{"slow from half way on", 500, []week.Period{{From: 8*hour + 900, Permille: 500}}, 1.5, .5},
	} {
		w := yard(1)
		w.Uncertainty.DrivePermille, w.Uncertainty.DriveLogSD, w.Uncertainty.TrafficDayLogSD = c.permille, ptr(int64(300)), 200
		w.Travel.Periods = c.periods
		v := brief("there")
		v.Place = "far"
		job(w, "j", v)
		promise(w, "there", 0, 8*hour+int64(math.Round(1800*c.within)))
		o := simulate(t, w, plan(tourOf(w, "a0", "there")), odds.Ask{Seed: 2, Runs: many})
		near(t, c.name, o.Promises[0].Kept, c.want)
	}
}

// Overtime is the mean of what lies after the shift: of a log-normal X with median m,
// E max(0, X - k) = m e^(s²/2) Phi(d + s) - k Phi(d), d = ln(m/k)/s (the partial
// expectation of the log-normal).
func TestOvertime(t *testing.T) {
	const s, m, k = .5, 2.0, 2.5
	w := yard(1)
	w.Tours[0].ShiftTo = 8*hour + 9000
	job(w, "j", log1("only", 500))
	o := simulate(t, w, plan(tourOf(w, "a0", "only")), odds.Ask{Seed: 9, Runs: many})
	d := math.Log(m/k) / s
	want := 3600 * (m*math.Exp(s*s/2)*below(d+s) - k*below(d))
	got := o.Tours[0].Overtime
	if math.Abs(float64(got.Milli)/1000-want) > 4*float64(got.ErrorMilli)/1000 {
		t.Errorf("overtime %.1f s, want %.1f within 4 x %.1f", float64(got.Milli)/1000, want, float64(got.ErrorMilli)/1000)
	}
	square := 3600 * 3600 * (m*m*math.Exp(2*s*s)*below(d+2*s) - 2*k*m*math.Exp(s*s/2)*below(d+s) + k*k*below(d)) // of the same
	if bar := math.Sqrt((square - want*want) / many); math.Abs(float64(got.ErrorMilli)/1000-bar) > .1*bar {
		t.Errorf("error %.2f s, want about %.2f", float64(got.ErrorMilli)/1000, bar)
	}
	if got != o.Overtime {
		t.Errorf("overtime of all %v, of the only one %v", o.Overtime, got)
	}
}
