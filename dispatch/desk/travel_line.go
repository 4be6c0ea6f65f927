package desk

import "math"

// point is a place on the globe, in degrees times ten million.
type point struct{ latE7, lonE7 int64 }

// earthMetres is the mean radius of the IUGG: (2a + b)/3 of WGS 84's a and b.
const earthMetres = 6_371_008.8

// line is the great-circle distance in metres.
func line(a, b point) float64 {
	const rad = math.Pi / 180 / 1e7
	la, lb := float64(a.latE7)*rad, float64(b.latE7)*rad
	dLat, dLon := lb-la, float64(b.lonE7-a.lonE7)*rad
	h := math.Pow(math.Sin(dLat/2), 2) + math.Cos(la)*math.Cos(lb)*math.Pow(math.Sin(dLon/2), 2)
	return 2 * earthMetres * math.Asin(math.Min(1, math.Sqrt(h)))
}

// lineTravel gives seconds and metres between places without roads: the great
// circle times the road factor, driven at one speed. Both are rounded up; from
// a place to itself they are 0.
func lineTravel(places []point, factorPermille, kmPerHour int64) (seconds, metres [][]int64) {
	seconds, metres = make([][]int64, len(places)), make([][]int64, len(places))
	for i, a := range places {
		seconds[i], metres[i] = make([]int64, len(places)), make([]int64, len(places))
		for j, b := range places {
			if i == j || a == b {
				continue
			}
			m := int64(math.Ceil(line(a, b) * float64(factorPermille) / 1000))
			metres[i][j] = m
			seconds[i][j] = (m*3600 + kmPerHour*1000 - 1) / (kmPerHour * 1000)
		}
	}
	return seconds, metres
}
