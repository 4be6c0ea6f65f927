package tile

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/simplify"
)

// extent is the side of a tile in its own units.
const (
	extentBits = 12
	extent     = 1 << extentBits
)

// MaxZoom is the closest zoom that tiles are drawn for.
const MaxZoom = 16

// tops are the closest zooms of the levels, farthest level first.
var tops = [...]int{6, 8, 10, 12, MaxZoom}

// pt is a place in units of a tile at some zoom: the world is 2^(zoom+12) wide.
// x grows to the east, y to the south.
type pt struct{ x, y int32 }

// project places degrees times ten million in units of the closest zoom, by the
// spherical Mercator projection that vector tiles are cut in (EPSG:3857).
func project(lat, lon int32) pt {
	const world = extent << MaxZoom
	const most = 85.05112877980659
	phi := max(-most, min(most, float64(lat)/1e7)) * math.Pi / 180
	x := (float64(lon)/1e7 + 180) / 360
	y := (1 - math.Log(math.Tan(phi)+1/math.Cos(phi))/math.Pi) / 2
	put := func(f float64) int32 { return int32(max(0, min(world-1, math.Floor(f*world)))) }
	return pt{put(x), put(y)}
}

// feature is something drawn at one level, in units of its closest zoom.
type feature struct {
	class class
	flags uint8
	name  string
	ref   string
	lines [][]pt // one line, or an area's rings, outline first; rings repeat no point
}

func (f *feature) bounds() (low, high pt) {
	low, high = pt{math.MaxInt32, math.MaxInt32}, pt{math.MinInt32, math.MinInt32}
	for _, line := range f.lines {
		for _, p := range line {
			low, high = pt{min(low.x, p.x), min(low.y, p.y)}, pt{max(high.x, p.x), max(high.y, p.y)}
		}
	}
	return low, high
}

// leveled makes one level: what it shows of the features, whose units are those
// of the closest zoom, joined and simplified.
func leveled(all []feature, top int) []feature {
	var roads, out []feature
	for _, f := range all {
		if from(f.class, f.flags) > top {
			continue
		}
		if classes[f.class].layer == waterLayer {
			if a, ok := coarseArea(f, top); ok {
				out = append(out, a)
			}
			continue
		}
		// Far away nobody reads names of small roads, and without them more joins.
		if top < 10 || top == 10 && f.class > primary {
			f.name = ""
		}
		if top <= 10 {
			f.flags &= link | dry
		}
		if f.class > primary || top <= 6 {
			f.ref = ""
		}
		roads = append(roads, f)
	}
	for _, f := range joined(roads) {
		if line := coarse(f.lines[0], top, false); len(line) > 1 {
			f.lines = [][]pt{line}
			out = append(out, f)
		}
	}
	return byPlace(out)
}

// coarse brings a line to a level's units and leaves out the points that lie
// less than half a pixel of a screen off.
func coarse(line []pt, top int, ring bool) []pt {
	shift := MaxZoom - top
	in := make(orb.LineString, 0, len(line)+1)
	var last pt
	for i, p := range line {
		p = pt{p.x >> shift, p.y >> shift}
		if i == 0 || p != last {
			in = append(in, orb.Point{float64(p.x), float64(p.y)})
		}
		last = p
	}
	if ring && len(in) > 0 {
		in = append(in, in[0])
	}
	if len(in) < 2 {
		return nil
	}
	off := 4.0
	if top == MaxZoom {
		off = 1.5 // a fifth of a metre
	}
	in = simplify.DouglasPeucker(off).LineString(in)
	if ring {
		in = in[:len(in)-1]
	}
	out := make([]pt, len(in))
	for i, p := range in {
		out[i] = pt{int32(p[0]), int32(p[1])}
	}
	return out
}

// coarseArea is coarse for areas; what is smaller than a pixel is left out.
func coarseArea(f feature, top int) (feature, bool) {
	var rings [][]pt
	for i, line := range f.lines {
		ring := coarse(line, top, true)
		one := feature{lines: [][]pt{ring}}
		low, high := one.bounds()
		if len(ring) < 3 || high.x-low.x < 8 && high.y-low.y < 8 || twiceArea(ring) == 0 {
			if i == 0 {
				return f, false
			}
			continue
		}
		rings = append(rings, wound(ring, i == 0))
	}
	f.lines = rings
	return f, true
}

// twiceArea is positive for a ring that runs clockwise as one sees it on a map,
// y growing southwards: the surveyor's formula of the specification, 4.3.4.4.
func twiceArea(ring []pt) int64 {
	var sum int64
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		sum += int64(p.x)*int64(q.y) - int64(q.x)*int64(p.y)
	}
	return sum
}

// wound turns a ring the way that the specification wants of outlines and holes.
func wound(ring []pt, outline bool) []pt {
	if (twiceArea(ring) > 0) != outline {
		slices.Reverse(ring)
	}
	return ring
}

// byPlace sorts features along a Hilbert curve, so that neighbours in the file
// are neighbours on the map.
func byPlace(list []feature) []feature {
	type keyed struct {
		key uint64
		f   feature
	}
	keys := make([]keyed, len(list))
	for i, f := range list {
		low, high := f.bounds()
		keys[i] = keyed{hilbert(uint32(low.x/2+high.x/2), uint32(low.y/2+high.y/2)), f}
	}
	slices.SortStableFunc(keys, func(a, b keyed) int { return cmp.Compare(a.key, b.key) })
	for i := range keys {
		list[i] = keys[i].f
	}
	return list
}

// hilbert is how far along the Hilbert curve over 2^28 by 2^28 a place lies.
func hilbert(x, y uint32) uint64 {
	const n = uint32(1) << (MaxZoom + extentBits)
	var d uint64
	for s := n / 2; s > 0; s /= 2 {
		var rx, ry uint32
		if x&s > 0 {
			rx = 1
		}
		if y&s > 0 {
			ry = 1
		}
		d += uint64(s) * uint64(s) * uint64((3*rx)^ry)
		if ry == 0 {
			if rx == 1 {
				x, y = n-1-x, n-1-y
			}
			x, y = y, x
		}
	}
	return d
}
