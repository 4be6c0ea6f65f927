package estimate

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// 16 AWG stranded, 100 ft, 4 A: a drop of 4.0 V, 16.7 % of 24 V. Worked example
// of an online electricians' course that cites NEC chapter 9, table 8; the K form
// 2*12.9*4*100/2580 gives 4.000 V.
func TestDropAtKnownCurrent(t *testing.T) {
	ohms, _ := loopOhms(16, 100)
	if drop := 4 * ohms; math.Abs(drop-3.992) > 1e-9 || math.Abs(drop/24-.1663) > 1e-4 {
		t.Errorf("drop %v V, want 3.992", drop)
	}
	if k := 2 * 12.9 * 4 * 100 / 2580.0; math.Abs(k/(4*ohms)-1) > .0021 {
		t.Errorf("both forms differ by more than 0.2 %%: %v, %v", k, 4*ohms)
	}
}

func TestLoadVolts(t *testing.T) {
	for _, c := range []struct {
		source, watts, feet float64
		awg                 int
		volts               float64 // 0: no solution
	}{ // the quadratic by arithmetic; resistances of NEC chapter 9, table 8
		{12, 40, 100, 12, 10.4900},
		{12, 60, 150, 10, 9.6986},
		{14, 60, 150, 12, 10.6551},
		{24, 60, 150, 16, 19.3607},
		{12, 40, 100, 16, 0}, // at most 144/(4*0.998) = 36.07 W
	} {
		ohms, _ := loopOhms(c.awg, c.feet)
		got, ok := loadVolts(c.source, c.watts, ohms)
		if ok != (c.volts > 0) || math.Abs(got-c.volts) > 5e-5 {
			t.Errorf("%v: %v %v", c, got, ok)
		}
	}
	ohms, _ := loopOhms(12, 100)
	if most := 144 / (4 * ohms); math.Abs(most-90.91) > .005 {
		t.Errorf("12 V, 100 ft of 12 AWG deliver at most %v W, want 90.91", most)
	}
}

// The upper root is where the current settles when voltage and current follow
// each other from the source's voltage down.
func TestLoadVoltsAgainstIteration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		source := rapid.Float64Range(11, 15).Draw(t, "source")
		watts := rapid.Float64Range(1, 60).Draw(t, "watts")
		ohms := rapid.Float64Range(0, .95*source*source/(4*watts)).Draw(t, "ohms")
		volts := source
		for range 2000 {
			volts = source - watts/volts*ohms
		}
		got, ok := loadVolts(source, watts, ohms)
		if !ok || math.Abs(got-volts) > 1e-6 {
			t.Fatalf("%v, by iteration %v", got, volts)
		}
	})
}

// K = R * circular mils / 1000 of stranded copper lies between 12.84 and 12.93:
// NEC chapter 9, table 8 (2017).
func TestResistances(t *testing.T) {
	for awg, mils := range map[int]float64{18: 1620, 16: 2580, 14: 4110, 12: 6530, 10: 10380, 8: 16510} {
		if k := float64(milliohms[awg]) / 1000 * mils / 1000; k < 12.84 || k > 12.93 {
			t.Errorf("%d AWG: K %v", awg, k)
		}
	}
}
