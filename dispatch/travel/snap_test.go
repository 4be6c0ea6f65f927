package travel_test

import (
	"math"
	"testing"

	"ebbline/dispatch/travel"
	"ebbline/dispatch/travel/osm"
)

// square is a square of roads of 400 m with corners 1 to 4 from the south-west
// around, the northern road in three pieces of one way, and things beside it.
func square() *made {
	m := &made{}
	m.node(1, 0, 0)
	m.node(2, 0, 400)
	m.node(3, 400, 400)
	m.node(5, 400, 300)
	m.node(6, 400, 100)
	m.node(4, 400, 0)
	m.way(1, []int64{1, 2})
	m.way(2, []int64{2, 3})
	m.way(3, []int64{3, 5, 6, 4})
	m.way(4, []int64{4, 1})
	return m
}

// Where places come to the road, and how far it is from one to another. Off the
// road 15 km/h are driven, on it 36: 100 m take 24 s and 10 s.
func TestSnapOnEdges(t *testing.T) {
	roads := built(t, square().bytes(t), travel.Options{})
	type place struct{ north, east, roadNorth, roadEast, off float64 }
	for _, p := range []place{
		{-30, 100, 0, 100, 30},                    // beside a road
		{30, 100, 0, 100, 30},                     // on its other side
		{430, 200, 400, 200, 30},                  // beside a piece in the middle of a way
		{200, 390, 200, 400, 10},                  // inside
		{-30, -40, 0, 0, 50},                      // off a corner
		{0, 123, 0, 123, 0},                       // on it
		{-1000, 200, 0, 200, 1000},                // far off, in another cell
		{400 + 1990, 200, 400, 200, 1990},         // as far as it goes
		{200, 2000, 200, 400, 1600},               // to the east
		{200, -1700, 200, 0, 1700},                // to the west
		{-1000, -1000, 0, 0, 1000 * math.Sqrt(2)}, // over cells without roads
	} {
		q := at(p.north, p.east)
		point, off, ok := roads.Snap(q.Lat, q.Lon)
		if !ok || !point.OnRoad() {
			t.Errorf("%+v: no road", p)
			continue
		}
		if d := travel.GreatCircle(point.Road, at(p.roadNorth, p.roadEast)); d > 0.6+p.off*0.001 {
			t.Errorf("%+v: meets the road %.2f m away from there", p, d)
		}
		if math.Abs(float64(off)-math.Ceil(p.off)) > 1+p.off*0.001 || math.Abs(float64(point.OffCm)-p.off*100) > 10+p.off/10 {
			t.Errorf("%+v: %d m, %d cm off", p, off, point.OffCm)
		}
		if point.At != q {
			t.Errorf("%+v: its place is %v, want %v", p, point.At, q)
		}
	}
	for _, p := range []travel.LatLon{{Lat: 900_000_000}, {Lat: -900_000_000, Lon: 5}, {Lat: 2_000_000_000}, {Lon: -1 << 31}, {Lat: 330_000_000, Lon: 1_800_000_000}} {
		if point, _, ok := roads.Snap(p.Lat, p.Lon); ok || point.OnRoad() {
			t.Errorf("%v is at %v", p, point.Road)
		}
	}
	for _, p := range [][2]float64{{-2010, 200}, {200, 2410}, {-1500, -1500}, {500_000, 0}} {
		q := at(p[0], p[1])
		if point, _, ok := roads.Snap(q.Lat, q.Lon); ok || point.OnRoad() {
			t.Errorf("%v lies too far off and is at %v", p, point.Road)
		}
	}
}

func TestDrives(t *testing.T) {
	roads := built(t, square().bytes(t), travel.Options{})
	for _, c := range []struct {
		name            string
		a, b            [2]float64
		metres, seconds int64
	}{
		{"along one piece", [2]float64{0, 100}, [2]float64{0, 300}, 200, 20},
		{"with stubs of 30 m on both sides", [2]float64{-30, 100}, [2]float64{30, 300}, 260, 20 + 14}, // 7.2 s each
		{"around a corner", [2]float64{0, 300}, [2]float64{100, 400}, 200, 20},
		{"half around", [2]float64{0, 200}, [2]float64{400, 200}, 800, 80},
		{"over the pieces of the north", [2]float64{400, 50}, [2]float64{400, 350}, 300, 30},
		{"to itself", [2]float64{-30, 100}, [2]float64{-30, 100}, 0, 0},
		{"across the road, at the same spot of it", [2]float64{-30, 100}, [2]float64{30, 100}, 60, 14},
	} {
		for _, turn := range []bool{false, true} {
			if turn {
				c.a, c.b = c.b, c.a
			}
			a, b := snap(t, roads, c.a[0], c.a[1]), snap(t, roads, c.b[0], c.b[1])
			metres, seconds := drive(t, roads, a, b)
			if metres < c.metres || metres > c.metres+1 || seconds < c.seconds || seconds > c.seconds+1 {
				t.Errorf("%s: %d m, %d s, want %d, %d", c.name, metres, seconds, c.metres, c.seconds)
			}
			if c.metres == 0 {
				continue
			}
			route, ok := roads.Route(a, b)
			if !ok || route.Metres != metres || route.Seconds != seconds {
				t.Errorf("%s: the route has %d m, %d s, want %d, %d", c.name, route.Metres, route.Seconds, metres, seconds)
			}
			if got := length(route.Line); math.Abs(got-float64(metres)) > 2 {
				t.Errorf("%s: its line has %.1f m, want %d", c.name, got, metres)
			}
			if route.Line[0] != a.At || route.Line[len(route.Line)-1] != b.At {
				t.Errorf("%s: its line does not run from place to place", c.name)
			}
		}
	}
}

func length(line []travel.LatLon) (sum float64) {
	for i := 1; i < len(line); i++ {
		sum += travel.GreatCircle(line[i-1], line[i])
	}
	return sum
}

// On a one-way ring one goes all around to what lies behind, also on the same
// piece of road.
func TestOneWayRing(t *testing.T) {
	for _, oneway := range []string{"yes", "-1"} {
		m := square()
		for i := range m.ways {
			m.ways[i].Tags = append(m.ways[i].Tags, osm.Tag{Key: "oneway", Value: oneway})
		}
		roads := built(t, m.bytes(t), travel.Options{})
		a, b := snap(t, roads, -5, 100), snap(t, roads, 5, 300)
		if oneway == "-1" {
			a, b = b, a
		}
		for _, c := range []struct {
			from, to travel.Point
			metres   int64
		}{{a, b, 210}, {b, a, 1410}} {
			if metres, _ := drive(t, roads, c.from, c.to); metres < c.metres-1 || metres > c.metres+2 {
				t.Errorf("oneway=%s: %d m, want %d", oneway, metres, c.metres)
			}
			if route, _ := roads.Route(c.from, c.to); math.Abs(length(route.Line)-float64(c.metres)) > 2 {
				t.Errorf("oneway=%s: a line of %.1f m, want %d", oneway, length(route.Line), c.metres)
			}
		}
	}
}

// Nobody stops on a freeway or in a tunnel, on a road that can't be left, or on
// one that is cut off; a barrier parts a road; a private road is driven.
func TestWhereToStop(t *testing.T) {
	m := square()
	m.node(10, 600, 0)
	m.node(11, 600, 400)
	m.way(10, []int64{4, 10})
	m.ways = append(m.ways, osm.Way{ID: 11, Refs: []int64{10, 11}, Tags: tags("highway", "motorway", "oneway", "no")})
	m.way(12, []int64{11, 3})
	m.node(20, 700, 0)
	m.node(21, 700, 400)
	m.way(20, []int64{20, 21}) // an island
	m.node(30, -200, 0)
	m.way(30, []int64{1, 30}, "oneway", "yes") // no way back
	m.node(40, 0, 500)
	m.node(41, 0, 600, "barrier", "bollard")
	m.node(42, 0, 700)
	m.way(40, []int64{2, 40, 41, 42}, "access", "private")
	roads := built(t, m.bytes(t), travel.Options{})
	for _, c := range []struct {
		name                  string
		north, east, off, tol float64
	}{
		{"beside the freeway", 590, 200, 190, 1},
		{"on the island", 700, 200, 223.6, 1}, // to the corner of the road beyond
		{"at the end of no return", -200, 0, 200, 1},
		{"on the private road", 5, 550, 5, 1},
		{"behind the bollard", 0, 700, 100, 1},
	} {
		p := at(c.north, c.east)
		if _, off, ok := roads.Snap(p.Lat, p.Lon); !ok || math.Abs(float64(off)-c.off) > c.tol {
			t.Errorf("%s: %d m off, %v, want %v", c.name, off, ok, c.off)
		}
	}
	routable := 0
	for e := range roads.Edges() {
		if roads.Edge(e).Routable {
			routable++
		}
	}
	if roads.Edges() != 11 || routable != 8 {
		t.Errorf("%d pieces, %d of them routable, want 11 and 8", roads.Edges(), routable)
	}
}

// A place that no road reaches has no drives; others keep theirs.
func TestNoRoad(t *testing.T) {
	roads := built(t, square().bytes(t), travel.Options{})
	a, b := snap(t, roads, 0, 100), snap(t, roads, 0, 200)
	table, err := roads.Matrix(t.Context(), []travel.Point{a, {}, b})
	if err != nil {
		t.Fatal(err)
	}
	for i := range 9 {
		if want := i/3 == 1 || i%3 == 1; (table.Seconds[i] == travel.NoRoad) != want || (table.Metres[i] == travel.NoRoad) != want {
			t.Errorf("cell %d: %d s, %d m; no road: %v", i, table.Seconds[i], table.Metres[i], want)
		}
	}
	if line := roads.Path(a, travel.Point{}); line != nil {
		t.Errorf("a line to nowhere: %v", line)
	}
}

// Clipping by a box and by a polygon with a hole ends roads at the last node
// inside.
func TestClip(t *testing.T) {
	m := square()
	m.node(50, 0, 900)
	m.way(50, []int64{2, 50})
	south, north := at(-50, -50), at(450, 450)
	box := travel.Box{South: south.Lat, West: south.Lon, North: north.Lat, East: north.Lon}
	hole := travel.Rings{{at(-50, -50), at(-50, 950), at(450, 950), at(450, -50)}, {at(-20, 850), at(-20, 920), at(20, 920), at(20, 850)}}
	for name, inside := range map[string]func(travel.LatLon) bool{"box": box.Inside, "polygon": hole.Inside} {
		if roads := built(t, m.bytes(t), travel.Options{Inside: inside}); roads.Edges() != 4 {
			t.Errorf("%s: %d pieces of road, want 4", name, roads.Edges())
		}
	}
	if roads := built(t, m.bytes(t), travel.Options{}); roads.Edges() != 5 {
		t.Errorf("whole: %d pieces of road, want 5", roads.Edges())
	}
}
