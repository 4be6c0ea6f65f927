package travel

import (
	"math"
	"testing"
)

// Worked examples: Los Angeles to New York by Ed Williams' Aviation Formulary,
// "Worked examples", 0.623585 radians; Nashville to Los Angeles from the article
// on great-circle distance in Wikipedia, 25.958 degrees. As angles they hang on
// no radius.
func TestGreatCircle(t *testing.T) {
	place := func(lat, lon float64) LatLon {
		return LatLon{int32(math.Round(lat * 1e7)), int32(math.Round(lon * 1e7))}
	}
	for _, c := range []struct {
		name        string
		a, b        LatLon
		angle, near float64 // radians
	}{
		{"LAX-JFK", place(33+57.0/60, -(118 + 24.0/60)), place(40+38.0/60, -(73 + 47.0/60)), 0.623585, 5e-7},
		{"BNA-LAX", place(36.12, -86.67), place(33.94, -118.40), 25.958 * math.Pi / 180, 1e-5},
		// By definition: a quarter of the globe, its half, and nothing.
		{"quarter", place(0, 0), place(90, 0), math.Pi / 2, 1e-12},
		{"half", place(0, 0), place(0, 180), math.Pi, 1e-7},
		{"nothing", place(12, 34), place(12, 34), 0, 0},
		{"over the date line", place(0, 179.5), place(0, -179.5), math.Pi / 180, 1e-9},
	} {
		for _, got := range []float64{GreatCircle(c.a, c.b) / earthMetres, GreatCircle(c.b, c.a) / earthMetres} {
			if math.Abs(got-c.angle) > c.near {
				t.Errorf("%s: %.9f radians, want %.9f", c.name, got, c.angle)
			}
		}
	}
}
