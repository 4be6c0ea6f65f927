package desk

import (
	"math"
	"testing"
)

// WGS 84 (NIMA TR8350.2): a = 6,378,137 m, 1/f = 298.257223563. The mean radius
// R1 = (2a + b)/3 is the IUGG's.
func TestLineIsAGreatCircle(t *testing.T) {
	a, f := 6_378_137.0, 1/298.257223563
	if r := (2*a + a*(1-f)) / 3; math.Abs(r-earthMetres) > 0.1 {
		t.Errorf("mean radius %f, have %f", r, earthMetres)
	}
	quarter := math.Pi / 2 * earthMetres
	for _, c := range []struct {
		name string
		a, b point
		want float64
	}{
		{"equator to pole", point{0, 0}, point{90e7, 0}, quarter},
		{"a quarter of the equator", point{0, 0}, point{0, 90e7}, quarter},
		{"to the other side", point{0, 0}, point{0, 180e7}, 2 * quarter},
		{"across the date line", point{0, 1795e6}, point{0, -1795e6}, quarter / 90},
		{"a degree along 60 north", point{60e7, 0}, point{60e7, 1e7}, 55_596.9}, // half a degree of the equator, less the bulge of the circle
		{"nowhere", point{33e7, -112e7}, point{33e7, -112e7}, 0},
	} {
		if got := line(c.a, c.b); math.Abs(got-c.want) > 1 {
			t.Errorf("%s: %.1f m, want %.1f", c.name, got, c.want)
		}
		if back := line(c.b, c.a); math.Abs(back-line(c.a, c.b)) > 1e-6 {
			t.Errorf("%s: another way back", c.name)
		}
	}
}

func TestLineTravelRoundsUp(t *testing.T) {
	places := []point{{0, 0}, {0, 1e5}, {0, 0}} // a hundredth of a degree: 1,111.95 m
	seconds, metres := lineTravel(places, 1350, 45)
	if metres[0][1] != 1502 || seconds[0][1] != 121 { // 1,501.1 m; 120.2 s
		t.Errorf("%d m in %d s", metres[0][1], seconds[0][1])
	}
	if metres[0][2] != 0 || seconds[2][0] != 0 || seconds[1][1] != 0 {
		t.Error("a way from a place to itself")
	}
}
