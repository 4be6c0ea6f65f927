package jobs

import (
	"math"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParseMeasure(t *testing.T) {
	for _, c := range []struct {
		q          Quantity
		text, unit string
		want       int64
		used       string
	}{
		{QuantityLength, "32", "ft", 9_753_600, "ft"},
		{QuantityLength, `5' 6 1/2"`, "", 1_689_100, "ft"}, // 66.5 in x 25 400
		{QuantityLength, `5'-6 1/2"`, "", 1_689_100, "ft"},
		{QuantityLength, `5'6-1/2"`, "", 1_689_100, "ft"},
		{QuantityLength, `5’ 6½”`, "", 1_689_100, "ft"},
		{QuantityLength, "5 ft 6 in", "", 1_676_400, "ft"},
		{QuantityLength, "5 ft. 6 in.", "ft", 1_676_400, "ft"},
		{QuantityLength, "3/4 in", "", 19_050, "in"},
		{QuantityLength, "3/4", "in", 19_050, "in"},
		{QuantityLength, "1-1/2", "in", 38_100, "in"},
		{QuantityLength, "1.5", "m", 1_500_000, "m"},
		{QuantityLength, ".5", "ft", 152_400, "ft"},
		{QuantityLength, "-2 in", "", -50_800, "in"},
		{QuantityLength, "1/64", "in", 397, "in"}, // 396.875 rounds away from zero
		{QuantityLength, "1,200", "mm", 1_200_000, "mm"},
		{QuantityArea, "450 sq ft", "", 41_806_368, "ft2"},
		{QuantityArea, "450 ft2", "", 41_806_368, "ft2"},
		{QuantityVolume, "1", "gal", 3_785, "gal"},
		{QuantityVolume, "1000 gal", "", 3_785_412, "gal"},
		{QuantityFlow, "12 gpm", "", 45_425, "gpm"},
		{QuantityFlow, "720", "gph", 45_425, "gph"},
		{QuantityFlow, "3 m3/h", "", 50_000, "m3/h"},
		{QuantityPower, "0.175", "kW", 175_000, "kW"},
		{QuantityTemperature, "212", "°F", 100_000, "°F"},
		{QuantityTemperature, "-40 °F", "", -40_000, "°F"},
		{QuantityPressure, "40", "psi", 275_790, "psi"},
		{QuantityAngle, "270", "°", 270_000, "°"},
		{QuantityDuration, "1 h 30 min", "", 5_400, "h"},
		{QuantityDuration, "10", "d", 864_000, "d"},
		{QuantityConcentration, "0.1", "ppm", 100, "ppm"},
		{QuantityPH, "7.4", "", 7_400, "pH"},
		{QuantityCount, "4", "", 4, "pc"},
	} {
		got, used, err := ParseMeasure(c.q, c.text, c.unit)
		if err != nil || got != c.want || used != c.used {
			t.Errorf("%s %q %q: got %d %q %v, want %d %q", c.q, c.text, c.unit, got, used, err, c.want, c.used)
		}
	}
}

func TestParseMeasureRefuses(t *testing.T) {
	for _, c := range []struct {
		q                Quantity
		text, unit, want string
	}{
		{QuantityLength, "32", "", "a unit"},
		{QuantityLength, "32", "gal", "not one of ft"},
		{QuantityLength, "32 in", "ft", "give one of them"},
		{QuantityLength, "NaN", "ft", "plain number"},
		{QuantityLength, "Inf", "ft", "plain number"},
		{QuantityLength, "1e300", "ft", "unit"},
		{QuantityLength, "", "ft", "plain number"},
		{QuantityLength, "3/0", "in", "plain number"},
		{QuantityLength, "6 5/4", "in", "plain number"},
		{QuantityLength, "6 in 5 ft", "", "larger unit first"},
		{QuantityLength, "5 ft 5 ft", "", "larger unit first"},
		{QuantityLength, "5 6", "ft", "unit behind every number"},
		{QuantityLength, "1.2.3", "ft", "unit behind every number"},
		{QuantityLength, strings.Repeat("9", 40), "ft", "plain number"},
		{QuantityLength, "999999999999999", "mi", "size that can be real"},
		{QuantityPower, "1 kW 20 W", "", "one number"},
		{QuantityCount, "4.5.1", "", "unit behind"},
		{QuantityChoice, "4", "", "not a measure"},
		{QuantityLength, "--5", "ft", "plain number"},
		{QuantityLength, "5'-", "", "plain number"},
	} {
		got, _, err := ParseMeasure(c.q, c.text, c.unit)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s %q %q: got %d, %v; want an error with %q", c.q, c.text, c.unit, got, err, c.want)
		}
	}
}

// NIST SP 811 (2008), appendix B.8, factors to seven digits.
func TestUnitsAgainstSP811(t *testing.T) {
	for _, c := range []struct {
		q       Quantity
		unit    string
		si      float64 // one unit in the SI unit
		perBase float64 // base units in that SI unit
	}{
		{QuantityLength, "ft", 3.048e-1, 1e6},
		{QuantityLength, "in", 2.54e-2, 1e6},
		{QuantityLength, "yd", 9.144e-1, 1e6},
		{QuantityLength, "mi", 1.609344e3, 1e6},
		{QuantityArea, "ft2", 9.290304e-2, 1e6},
		{QuantityArea, "in2", 6.4516e-4, 1e6},
		{QuantityVolume, "gal", 3.785412e-3, 1e6},
		{QuantityVolume, "ft3", 2.831685e-2, 1e6},
		{QuantityFlow, "gpm", 6.309020e-5, 6e7},
		{QuantityPressure, "psi", 6.894757e3, 1},
		{QuantityPressure, "bar", 1e5, 1},
	} {
		u, ok := UnitNamed(c.q, c.unit)
		if !ok {
			t.Fatalf("no unit %s", c.unit)
		}
		got, _ := big.NewRat(u.num, u.den).Float64()
		if want := c.si * c.perBase; math.Abs(got/want-1) > 5e-7 {
			t.Errorf("%s: %v base units, want %v", c.unit, got, want)
		}
	}
	// 7.48052 gallons in a cubic foot, 231 cubic inches in a gallon (NIST
	// Handbook 44, appendix C).
	gal, _ := UnitNamed(QuantityVolume, "gal")
	cubicFoot, _ := UnitNamed(QuantityVolume, "ft3")
	if n, _ := new(big.Rat).Quo(big.NewRat(cubicFoot.num, cubicFoot.den), big.NewRat(gal.num, gal.den)).Float64(); math.Abs(n-7.48052) > 5e-6 {
		t.Errorf("gallons in a cubic foot: %v", n)
	}
	cubicInch := big.NewRat(25_400*25_400, 1_000_000) // mm² of a square inch
	cubicInch.Mul(cubicInch, big.NewRat(254, 10_000)) // x 25.4 mm, in mL
	if cubicInch.Mul(cubicInch, big.NewRat(231, 1)).Cmp(big.NewRat(gal.num, gal.den)) != 0 {
		t.Errorf("a gallon is not 231 cubic inches but %v", cubicInch)
	}
}

func TestUnitsThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom(units).Draw(t, "unit")
		base := rapid.Int64Range(-1e12, 1e12).Draw(t, "base")
		text, err := FormatMeasure(u.Quantity, base, u.Name, 12)
		if err != nil {
			t.Fatal(err)
		}
		got, used, err := ParseMeasure(u.Quantity, text, u.Name)
		if err != nil || got != base || used != u.Name {
			t.Fatalf("%d in %s is %q, read back as %d %s %v", base, u.Name, text, got, used, err)
		}
	})
}

func TestFeetInches(t *testing.T) {
	for um, want := range map[int64]string{
		0: `0"`, 25_400: `1"`, 19_050: `3/4"`, 1_689_100: `5' 6 1/2"`, 304_800: `1'`,
		304_799: `1'`, -31_750: `-1 1/4"`, 308_000: `1' 0 1/8"`,
	} {
		if got := FeetInches(um); got != want {
			t.Errorf("%d: %s, want %s", um, got, want)
		}
	}
}

func TestUnitNamesAreNotAmbiguous(t *testing.T) {
	seen := map[string]bool{}
	for _, u := range units {
		for _, n := range append([]string{u.Name}, u.Aliases...) {
			key := string(u.Quantity) + n
			if seen[key] {
				t.Errorf("%s names two units of %s", n, u.Quantity)
			}
			seen[key] = true
			if got, _, err := ParseMeasure(u.Quantity, "1 "+n, ""); err != nil {
				t.Errorf("1 %s: %v", n, err)
			} else if got < 0 && u.offset == 0 {
				t.Errorf("1 %s is %d", n, got)
			}
		}
	}
}
