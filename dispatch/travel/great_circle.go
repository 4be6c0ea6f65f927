package travel

import "math"

// earthMetres is the mean radius of the IUGG: (2a + b)/3 of WGS 84's a and b.
const earthMetres = 6_371_008.8

const radians = math.Pi / 180 / 1e7

// GreatCircle is the distance along the globe in metres.
func GreatCircle(a, b LatLon) float64 {
	la, lb := float64(a.Lat)*radians, float64(b.Lat)*radians
	sLat, sLon := math.Sin((lb-la)/2), math.Sin((float64(b.Lon)-float64(a.Lon))*radians/2)
	h := sLat*sLat + math.Cos(la)*math.Cos(lb)*sLon*sLon
	return 2 * earthMetres * math.Asin(math.Min(1, math.Sqrt(h)))
}

// lengthCm is a line's length in centimetres.
func lengthCm(points []LatLon) int64 {
	sum := 0.0
	for i := 1; i < len(points); i++ {
		sum += GreatCircle(points[i-1], points[i])
	}
	return int64(math.Round(sum * 100))
}
