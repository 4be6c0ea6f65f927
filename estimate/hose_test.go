package estimate

import (
	"math"
	"testing"
)

// Discharge of a 100-ft hose in gallons a minute by inlet pressure, all 20 cells:
// Iowa State University Extension, article on garden hose care, 28 June 1996.
func TestHoseTable(t *testing.T) {
	widths := []float64{.5, .625, .75, 1}
	for psi, want := range map[float64][]float64{
		20: {4, 8, 12, 26}, 30: {5, 9, 15, 32}, 40: {6, 11, 18, 38}, 50: {7, 12, 20, 43}, 60: {8, 14, 22, 47},
	} {
		for i, inches := range widths {
			if got := math.Round(freeFlow(psi, 100, inches, 140)); got != want[i] {
				t.Errorf("%v psi, %v in: %v gpm, want %v", psi, inches, got, want[i])
			}
		}
	}
}

// 200 gpm through 3.048 in, C 140: 9 ft of head in 100 ft, 2.7 ft in 30 ft. An
// engineering reference site's Hazen-Williams example.
func TestPipeLoss(t *testing.T) {
	perFoot := lossPerFoot(200, 3.048, 140)
	if got := 100 * perFoot; math.Abs(got-9.007) > .01 {
		t.Errorf("100 ft: %v, want 9.007", got)
	}
	if got := 30 * perFoot; math.Abs(got-2.702) > .003 {
		t.Errorf("30 ft: %v, want 2.702", got)
	}
}

// Operating points of the curve H = 23.89 - 0.005556 q² at 4 ft of rise, C 140:
// intersections computed by arithmetic from that curve and the formula.
func TestPumpFlow(t *testing.T) {
	p := DefaultSettings().Water.Pump
	head, most := float64(p.Head)/umPerFoot, float64(p.Flow)/mlPerGallon
	for _, c := range []struct{ feet, inches, want float64 }{
		{50, 1.5, 44.6}, {100, 1.5, 36.8}, {50, .75, 11.0}, {50, .625, 6.9},
	} {
		got := pumpFlow(head, most, 4, c.feet, c.inches, 140)
		if math.Abs(got-c.want) > .06 {
			t.Errorf("%v ft of %v in: %v gpm, want %v", c.feet, c.inches, got, c.want)
		}
		if left := head*(1-(got/most)*(got/most)) - 4 - c.feet*lossPerFoot(got, c.inches, 140); math.Abs(left) > 1e-6 {
			t.Errorf("%v ft of %v in: head out of balance by %v ft", c.feet, c.inches, left)
		}
	}
	if got := pumpFlow(head, most, head+1, 50, 1.5, 140); got != 0 {
		t.Errorf("a rise above the pump's head gives %v gpm", got)
	}
}

// The catalogue's pump curve goes through the two published points of a 1/3 hp
// sump pump, 50 gpm at 10 ft and 40 gpm at 15 ft (plumbing pages), and gives
// 65.6 gpm at no lift: H = 23.89 - 0.005556 q².
func TestPumpCurve(t *testing.T) {
	p := DefaultSettings().Water.Pump
	head, most := float64(p.Head)/umPerFoot, float64(p.Flow)/mlPerGallon
	for gpm, feet := range map[float64]float64{50: 10, 40: 15, 0: 23.89, 65.574: 0} {
		if got := head * (1 - (gpm/most)*(gpm/most)); math.Abs(got-feet) > .01 {
			t.Errorf("%v gpm: %v ft, want %v", gpm, got, feet)
		}
		if feet > 0 && gpm > 0 { // a wide short hose takes nothing: the curve alone decides
			if got := pumpFlow(head, most, feet, .001, 12, 140); math.Abs(got-gpm) > .03 {
				t.Errorf("%v ft of rise: %v gpm, want %v", feet, got, gpm)
			}
		}
	}
}
