package travel

import "ebbline/dispatch/travel/osm"

// DirectionsForTest says which ways along a road may be driven.
func DirectionsForTest(tags osm.Tags) (along, against, ok bool) {
	r, ok := roadOf(tags)
	return r.forward > 0, r.backward > 0, ok
}
