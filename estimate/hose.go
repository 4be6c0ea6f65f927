package estimate

import "math"

// lossPerFoot is the head that friction takes in a pipe or hose, in feet for
// each foot of length, by Hazen and Williams: flow in gallons a minute, inside
// width in inches, c the smoothness (140 for hose and plastic pipe).
func lossPerFoot(gpm, inches, c float64) float64 {
	return 0.002083 * math.Pow(100/c, 1.852) * math.Pow(gpm, 1.852) / math.Pow(inches, 4.8655)
}

// freeFlow is the flow in gallons a minute through a hose that is open at its
// end, when friction takes the whole pressure. It turns round the formula's form
// in pounds on the square inch, whose published rounding of the exponents (1.85,
// 4.87) differs a little from lossPerFoot's.
func freeFlow(psi, feet, inches, c float64) float64 {
	if psi <= 0 || feet <= 0 {
		return 0
	}
	return c * math.Pow(psi/feet*math.Pow(inches, 4.87)/4.52, 1/1.85)
}

// pumpFlow is the flow in gallons a minute at which the pump's head equals rise
// plus friction (all in feet); 0 when it can't lift that far. Found by halving:
// one side falls with the flow, the other rises.
func pumpFlow(head, most, rise, feet, inches, c float64) float64 {
	if rise >= head || most <= 0 {
		return 0
	}
	low, high := 0.0, most
	if rise < 0 { // running downhill a pump may pass more than its curve's end
		rise = 0
	}
	for range 60 {
		mid := (low + high) / 2
		if head*(1-(mid/most)*(mid/most)) > rise+feet*lossPerFoot(mid, inches, c) {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}
