package estimate

import (
	"math"
	"testing"
)

// Resistances of 1 000 ft at 75 °C as printed: NEC chapter 9, table 8 (2017),
// with K = R × circular mils / 1000 between 12.84 and 12.93 for stranded copper.
func TestResistances(t *testing.T) {
	for awg, want := range map[int]struct{ mils, solid, stranded, coated float64 }{
		18: {1620, 7.77, 7.95, 8.45}, 16: {2580, 4.89, 4.99, 5.29}, 14: {4110, 3.07, 3.14, 3.26},
		12: {6530, 1.93, 1.98, 2.05}, 10: {10380, 1.21, 1.24, 1.29}, 8: {16510, .764, .778, .809},
	} {
		for w, ohms := range map[wire]float64{solid: want.solid, stranded: want.stranded, coated: want.coated} {
			if got, ok := loopOhms(awg, w, 500); !ok || math.Abs(got-ohms) > 1e-9 { // 500 ft there and back
				t.Errorf("%d AWG %s: %v, want %v", awg, w, got, ohms)
			}
		}
		if k := want.stranded * want.mils / 1000; k < 12.84 || k > 12.93 {
			t.Errorf("%d AWG: K %v", awg, k)
		}
	}
	if _, ok := loopOhms(7, stranded, 1); ok {
		t.Error("7 AWG is not in the table")
	}
	if (Light{Coated: true}).wire() != coated || (Light{Solid: true}).wire() != solid || (Light{}).wire() != stranded {
		t.Error("a cord's copper")
	}
}

// 12 AWG stranded at 20, 30, 40 and 75 °C: NEC chapter 9, table 8, note 2.
func TestCopperAtOtherTemperatures(t *testing.T) {
	for celsius, want := range map[float64]float64{20: 1.628, 30: 1.692, 40: 1.756, 75: 1.980} {
		if got := 1.98 * atCelsius(celsius); math.Abs(got-want) > .0006 {
			t.Errorf("at %v °C %v, want %v", celsius, got, want)
		}
	}
}
