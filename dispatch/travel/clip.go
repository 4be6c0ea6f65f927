package travel

// Box is an area between two parallels and two meridians, degrees times ten
// million, its border included.
type Box struct{ South, West, North, East int32 }

// Inside says whether a place lies in the box.
func (b Box) Inside(p LatLon) bool {
	return p.Lat >= b.South && p.Lat <= b.North && p.Lon >= b.West && p.Lon <= b.East
}

// Rings are closed lines; what an odd number of them surrounds is inside, so that
// holes need no mark.
type Rings [][]LatLon

// Inside says whether a place lies inside of the rings; on a line it may be
// either.
func (rings Rings) Inside(p LatLon) bool {
	inside := false
	for _, ring := range rings {
		for i := range ring {
			a, b := ring[i], ring[(i+1)%len(ring)]
			if (a.Lat > p.Lat) == (b.Lat > p.Lat) {
				continue
			}
			// The line's longitude at the place's latitude, compared without division.
			dLat, side := int64(b.Lat)-int64(a.Lat), (int64(p.Lon)-int64(a.Lon))*(int64(b.Lat)-int64(a.Lat))-(int64(p.Lat)-int64(a.Lat))*(int64(b.Lon)-int64(a.Lon))
			if (dLat > 0) == (side < 0) {
				inside = !inside
			}
		}
	}
	return inside
}
