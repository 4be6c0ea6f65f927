package estimate

import "math"

// milliohms is the resistance of 1 000 ft of stranded uncoated copper at 75 °C,
// by AWG size: NEC chapter 9, table 8 (2017). Cooler copper in a wet conduit has
// about a seventh less; the table is the safe side.
var milliohms = map[int]int64{18: 7950, 16: 4990, 14: 3140, 12: 1980, 10: 1240, 8: 778}

// loopOhms is the resistance there and back of a cord of the given length in
// feet; false for a size that is not in the table.
func loopOhms(awg int, feet float64) (float64, bool) {
	perKft, ok := milliohms[awg]
	return 2 * feet * float64(perKft) / 1e6, ok
}

// loadVolts is the voltage at a light that draws the same power whatever the
// voltage: from V = Vs - I*R and I = P/V, the upper root of V² - Vs*V + P*R = 0.
// False when the run can't deliver that power at all.
func loadVolts(source, watts, ohms float64) (float64, bool) {
	inside := source*source - 4*watts*ohms
	if inside < 0 {
		return 0, false
	}
	return (source + math.Sqrt(inside)) / 2, true
}
