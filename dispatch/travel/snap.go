package travel

import (
	"math"
	"slices"

	"ebbline/dispatch/travel/hierarchy"
)

// SnapMetres is how far from a road a place may lie to be reached by it.
const SnapMetres = 2000

// StubKmPerHour is the speed from the road to a place beside it, in a straight
// line: across a yard or along a drive that no map has.
const StubKmPerHour = 15

// Point is a place with the road it is reached by. The zero Point is a place that
// no road reaches: nothing is known of drives to it.
type Point struct {
	At   LatLon // the place
	Road LatLon // where its road is nearest
	// OffCm is the straight line between the two, centimetres.
	OffCm int64

	edge  uint32 // plus one
	along uint32 // how far along the edge, of alongWhole
}

// alongWhole is a whole edge.
const alongWhole = 1 << 30

// OnRoad says whether a road reaches the point.
func (p Point) OnRoad() bool { return p.edge > 0 }

// Edge is the number of the road's piece; -1 where there is none.
func (p Point) Edge() int { return int(p.edge) - 1 }

// Snap finds the nearest road that a place, in degrees times ten million, can be
// reached by and left, on either side of it. Motorways, their ramps and tunnels
// don't count: nobody stops there. It answers how far off the road the place is,
// in metres rounded up, and false where no road lies within SnapMetres.
func (r *Roads) Snap(lat, lon int32) (p Point, offRoadMetres int64, ok bool) {
	return r.SnapTo(lat, lon, nil)
}

// SnapTo is Snap to the roads for which want is true, given their numbers.
func (r *Roads) SnapTo(lat, lon int32, want func(edge int) bool) (p Point, offRoadMetres int64, ok bool) {
	s := snapper{roads: r, want: want, at: LatLon{lat, lon}, best: SnapMetres, perLon: math.Cos(float64(lat) * radians)}
	row, column := lat>>cellBits, lon>>cellBits
	if !inWorld(s.at) {
		return Point{At: s.at}, 0, false
	}
	for ring := int32(0); ring <= mostRings && s.best > s.clear(row, column, ring-1); ring++ {
		for i := -ring; i <= ring; i++ {
			if i == -ring || i == ring {
				for j := -ring; j <= ring; j++ {
					s.cell(row+i, column+j)
				}
				continue
			}
			s.cell(row+i, column-ring)
			s.cell(row+i, column+ring)
		}
	}
	if !s.found {
		return Point{At: s.at}, 0, false
	}
	p = Point{At: s.at, Road: s.road, OffCm: int64(math.Ceil(s.best * 100)), edge: s.edge + 1, along: r.alongOf(s.edge, s.segment, s.road)}
	return p, (p.OffCm + 99) / 100, true
}

// mostRings is how many cells around a place are looked at: as many as SnapMetres
// may take 85 degrees from the equator, beyond which there are no roads.
const mostRings = 32

func inWorld(p LatLon) bool {
	return p.Lat >= -900_000_000 && p.Lat <= 900_000_000 && p.Lon >= -1_800_000_000 && p.Lon <= 1_800_000_000
}

// snapper looks for the nearest road. Around the place the globe is taken for
// flat, which at SnapMetres is true to the centimetre.
type snapper struct {
	roads   *Roads
	want    func(int) bool
	at      LatLon
	perLon  float64 // metres of a step of longitude, per one of latitude
	best    float64 // metres
	found   bool
	edge    uint32
	segment int
	road    LatLon
}

const metresPerStep = earthMetres * radians

// clear is how far around the place all cells up to a ring have been looked at.
func (s *snapper) clear(row, column, ring int32) float64 {
	if ring < 0 {
		return -1
	}
	south, north := int64(s.at.Lat)-int64(row-ring)<<cellBits, int64(row+ring+1)<<cellBits-int64(s.at.Lat)
	west, east := int64(s.at.Lon)-int64(column-ring)<<cellBits, int64(column+ring+1)<<cellBits-int64(s.at.Lon)
	return metresPerStep * min(float64(min(south, north)), float64(min(west, east))*s.perLon)
}

func (s *snapper) cell(row, column int32) {
	r := s.roads
	at, ok := slices.BinarySearch(r.gridKey, cellOf(row, column))
	if !ok {
		return
	}
	for _, e := range r.gridOf[r.gridAt[at]:r.gridAt[at+1]] {
		if !r.stoppable(e) || s.want != nil && !s.want(int(e)) {
			continue
		}
		line := r.line(e)
		for i := 1; i < len(line); i++ {
			s.piece(e, i, line[i-1], line[i])
		}
	}
}

// stoppable says whether places may be reached by an edge.
func (r *Roads) stoppable(e uint32) bool {
	if r.entry[2*e] == noNode && r.entry[2*e+1] == noNode {
		return false
	}
	class, flags := Class(r.class[r.way[e]]), r.flags[r.way[e]]
	return class != Motorway && flags&FlagTunnel == 0 && (class != Trunk || flags&FlagLink == 0)
}

// piece compares with the nearest point of a straight piece of road. Of pieces
// equally near the one with the lower number counts.
func (s *snapper) piece(e uint32, segment int, a, b LatLon) {
	ax, ay := s.metres(a)
	bx, by := s.metres(b)
	dx, dy := bx-ax, by-ay
	t := 0.0
	if square := dx*dx + dy*dy; square > 0 {
		t = min(max(-(ax*dx+ay*dy)/square, 0), 1)
	}
	d := math.Hypot(ax+t*dx, ay+t*dy)
	if d > s.best || s.found && d == s.best && (e > s.edge || e == s.edge && segment >= s.segment) {
		return
	}
	s.best, s.found, s.edge, s.segment = d, true, e, segment
	between := func(a, b int32) int32 { return int32(math.Round(float64(a) + t*(float64(b)-float64(a)))) }
	s.road = LatLon{between(a.Lat, b.Lat), between(a.Lon, b.Lon)}
}

// metres is where a point lies from the place, eastward and northward.
func (s *snapper) metres(p LatLon) (x, y float64) {
	return (float64(p.Lon) - float64(s.at.Lon)) * s.perLon * metresPerStep, (float64(p.Lat) - float64(s.at.Lat)) * metresPerStep
}

// alongOf is how far along an edge a point of one of its pieces lies.
func (r *Roads) alongOf(e uint32, segment int, road LatLon) uint32 {
	line := r.line(e)
	before, whole := 0.0, 0.0
	for i := 1; i < len(line); i++ {
		length := GreatCircle(line[i-1], line[i])
		if i < segment {
			before += length
		}
		whole += length
	}
	before += GreatCircle(line[segment-1], road)
	if whole == 0 {
		return 0
	}
	return uint32(math.Round(min(before/whole, 1) * alongWhole))
}

// part is how much of a weight lies before a point.
func part(w hierarchy.Weight, along uint32) hierarchy.Weight {
	return hierarchy.Join(uint32(w.Milliseconds()*int64(along)/alongWhole), uint32(w.Centimetres()*int64(along)/alongWhole))
}

// stub is the weight between a point and its road.
func (p Point) stub() hierarchy.Weight {
	return hierarchy.Join(uint32(p.OffCm*36/StubKmPerHour), uint32(p.OffCm))
}
