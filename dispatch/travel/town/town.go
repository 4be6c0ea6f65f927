// Package town invents a desert town and writes it down as an extract of
// OpenStreetMap's form, so that roads, addresses and maps can be shown and
// tested without anybody's data:
//
//	t, err := town.Make(town.Spec{Seed: 1})
//	err = t.WritePBF(file)
//
// The town has arterials on a rough grid, blocks, cul-de-sacs, a dry river with
// few bridges, a freeway on an overpass with ramps, one-way streets,
// roundabouts, private lanes, forbidden turns, and an island that no road
// reaches. One spec makes one town, to the byte. Every name is invented.
package town

import (
	"fmt"
	"math/rand/v2"
)

// Name and Region are the town's, as its addresses have them.
const (
	Name   = "Cinder Wells"
	Region = "AZ"
)

// Spec is what a town is made from.
type Spec struct {
	Seed int64
	// Houses must stand in the town, besides those that are drawn: their streets
	// must be among the town's.
	Houses []Address
}

// Address is a house's, with the street's name spelled out: Saltbush Drive.
type Address struct {
	Number   int
	Street   string
	Postcode string // as the town has it; empty in a Spec: any
}

// House is an address with its place, in degrees times ten million.
type House struct {
	Address
	LatE7, LonE7 int64
}

// Town is a finished town, ready to be written.
type Town struct {
	Houses    []House
	nodes     []node
	ways      []way
	relations []relation
}

// point is a place in centimetres east and north of the town's middle. Whole
// numbers keep one spec at the same bytes on every machine.
type point struct{ x, y int64 }

// The middle of the town, in degrees times ten million, and how many of those a
// thousand metres are there. The town lies where there is only desert.
const (
	midLatE7, midLonE7 = 332_235_000, -1_137_780_000
	latE7PerKm         = 90_170  // 1 / 110.9 km, at 33 degrees north
	lonE7PerKm         = 107_380 // 1 / 93.13 km
)

func (p point) latE7() int64 { return midLatE7 + p.y*latE7PerKm/100_000 }
func (p point) lonE7() int64 { return midLonE7 + p.x*lonE7PerKm/100_000 }

// street is a line as it is drawn, before it is joined to others.
type street struct {
	name     string
	class    string // value of the highway tag
	tags     []tag  // besides name and class
	line     []point
	over     bool // passes over what it crosses, joined only at its own points
	bridged  bool // crosses water; others end at it
	island   bool // lies in the water
	trimHead bool // what sticks out past the first or the last crossing is cut off
	trimTail bool
	postcode string // of its houses
	houses   bool
	pieces   [][]int // the nodes it became, in its direction; water parts it
	wet      []bool  // of each piece: a bridge
}

// builder holds a town while it is made.
type builder struct {
	spec    Spec
	rng     *rand.Rand
	names   *namer
	corners [][]point // of the grid, by row and column
	streets []*street
	waters  []water
	net     network
	town    *Town
}

// Make invents a town. The error names a house of the spec that has no place.
func Make(spec Spec) (*Town, error) {
	b := &builder{spec: spec, rng: rand.New(rand.NewPCG(uint64(spec.Seed), 0x70776e)), town: &Town{}}
	b.names = newNamer(b.rng)
	b.layWater()
	b.layGrid()
	b.layFreeway()
	for _, c := range builtCells {
		b.layCell(c)
	}
	b.layDowntown()
	b.layIsland()
	b.layTracks()
	b.join()
	b.dropStrays()
	b.trimOneWays()
	if err := b.settle(); err != nil {
		return nil, err
	}
	b.write()
	return b.town, nil
}

// Streets lists the names of streets with houses and their postcodes.
func (t *Town) Streets() map[string]string {
	out := map[string]string{}
	for _, h := range t.Houses {
		out[h.Street] = h.Postcode
	}
	return out
}

// Find answers the house with an address.
func (t *Town) Find(number int, street string) (House, error) {
	for _, h := range t.Houses {
		if h.Number == number && h.Street == street {
			return h, nil
		}
	}
	return House{}, fmt.Errorf("no house %d %s in %s", number, street, Name)
}
