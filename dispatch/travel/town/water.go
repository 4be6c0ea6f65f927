package town

import "math"

// water is something wet, or a river bed that mostly is dry: a closed outline,
// with islands in it.
type water struct {
	tags    []tag
	name    string
	outline []point
	islands [][]point
}

// The river comes from the north-west, passes between the quarters and leaves
// in the south-east: its middle line in metres, and half its width.
var riverLine = [][2]int64{{-4300, 8200}, {-3500, 6100}, {-2900, 4000}, {-2350, 1600}, {-2200, 200}, {-1900, -900}, {-900, -1680}, {600, -1850}, {1900, -1900},
	{2900, -2500}, {3700, -3900}, {4100, -5400}, {4400, -7000}}

const riverHalfCM = 4500

// The lake lies in the north-east; the island in it has a road that no bridge
// reaches.
var (
	lakeMid   = point{405_000, 395_000}
	islandMid = point{410_000, 398_000}
)

const islandRadiusCM = 16_000

func (b *builder) layWater() {
	// The bed winds a little, differently in every town.
	var mid []point
	for i := 0; i+1 < len(riverLine); i++ {
		p, q := riverLine[i], riverLine[i+1]
		for k := range int64(6) {
			x, y := (p[0]*(6-k)+q[0]*k)*100/6, (p[1]*(6-k)+q[1]*k)*100/6
			mid = append(mid, point{x + b.jitter(3500), y + b.jitter(3500)})
		}
	}
	left, right := make([]point, 0, len(mid)), make([]point, 0, len(mid))
	for i := range mid {
		p, q := mid[max(i-1, 0)], mid[min(i+1, len(mid)-1)]
		left, right = append(left, aside(mid[i], p, q, riverHalfCM)), append(right, aside(mid[i], p, q, -riverHalfCM))
	}
	bank := left
	for i := len(right) - 1; i >= 0; i-- {
		bank = append(bank, right[i])
	}
	b.waters = append(b.waters, water{name: "Owl Wash", outline: bank,
		tags: []tag{{"natural", "water"}, {"water", "river"}, {"intermittent", "yes"}}})
	b.waters = append(b.waters, water{name: "Lantern Tank Lake", outline: b.ellipse(lakeMid, 62_000, 52_000, 40, 900),
		islands: [][]point{b.ellipse(islandMid, islandRadiusCM+5000, islandRadiusCM+1000, 20, 300)}, tags: []tag{{"natural", "water"}, {"water", "lake"}}})
	b.waters = append(b.waters, water{name: "Stock Tank", outline: b.ellipse(point{-560_000, -420_000}, 9_000, 6_000, 14, 400),
		tags: []tag{{"natural", "water"}, {"water", "pond"}}})
}

func (b *builder) jitter(most int64) int64 { return b.rng.Int64N(2*most+1) - most }

// ellipse draws a rough one, counterclockwise.
func (b *builder) ellipse(mid point, rx, ry float64, n int, rough int64) []point {
	out := make([]point, n)
	for i := range out {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out[i] = point{mid.x + whole(rx*c) + b.jitter(rough), mid.y + whole(ry*s) + b.jitter(rough)}
	}
	return out
}

func whole(f float64) int64 { return int64(math.Round(f)) }

// aside is the place beside p, to the left of the way from a to b.
func aside(p, a, b point, cm float64) point {
	dx, dy := float64(b.x-a.x), float64(b.y-a.y)
	long := math.Hypot(dx, dy)
	if long == 0 {
		return p
	}
	return point{p.x + whole(-dy/long*cm), p.y + whole(dx/long*cm)}
}

// inside says whether a place lies in an outline (a ray to the east crosses it
// an odd number of times).
func inside(p point, outline []point) bool {
	in := false
	for i, a := range outline {
		c := outline[(i+1)%len(outline)]
		if (a.y > p.y) != (c.y > p.y) && float64(p.x) < float64(c.x-a.x)*float64(p.y-a.y)/float64(c.y-a.y)+float64(a.x) {
			in = !in
		}
	}
	return in
}

// wetAt says whether a place is in water, islands too.
func (b *builder) wetAt(p point) bool {
	for _, w := range b.waters {
		if inside(p, w.outline) {
			return true
		}
	}
	return false
}

// wetBetween says whether a straight piece of road touches water.
func (b *builder) wetBetween(p, q point) bool {
	for k := range int64(5) {
		if b.wetAt(point{(p.x*(4-k) + q.x*k) / 4, (p.y*(4-k) + q.y*k) / 4}) {
			return true
		}
	}
	return false
}

// layIsland puts a loop of road on the island.
func (b *builder) layIsland() {
	line := b.ellipse(islandMid, islandRadiusCM-5000, islandRadiusCM-8000, 14, 200)
	b.streets = append(b.streets, &street{name: "Heron Island Loop", class: "residential", line: append(line, line[0]), island: true, houses: true,
		postcode: quarters["north"].postcode})
}

// layTracks adds ways that no crew drives: a path along the river, and a track
// into the desert that leads past a pump house.
func (b *builder) layTracks() {
	var bank []point
	for _, p := range b.waters[0].outline[12:30] {
		bank = append(bank, point{p.x - 12_000, p.y})
	}
	b.streets = append(b.streets,
		&street{name: "Wash Walk", class: "footway", line: bank, over: true, island: true},
		&street{class: "track", line: []point{b.corners[5][9], {700_000, 560_000}, {720_000, 610_000}, {690_000, 680_000}}, tags: []tag{{"surface", "dirt"}}})
}
