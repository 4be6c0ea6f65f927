package main

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"

	"ebbline/dispatch/search/kernel"
)

// convention says how a set's distances count: dimacs cuts each to one decimal
// and leaves the number of vehicles free; sintef counts vehicles first, then
// distances in full precision.
type convention struct {
	name   string
	scale  float64 // whole units of the search in one of the set
	fewest bool
}

var conventions = map[string]convention{
	"dimacs": {name: "dimacs", scale: 10},
	"sintef": {name: "sintef", scale: 10_000, fewest: true},
}

// problem writes a set in whole numbers. In full precision drives are rounded up,
// so that what keeps a window in whole numbers keeps it in real ones.
func (c convention) problem(in instance) *kernel.Problem {
	n := len(in.places)
	p := &kernel.Problem{Capacity: int32(in.capacity), Vehicles: in.vehicles}
	for _, a := range in.places {
		p.X, p.Y = append(p.X, a.x), append(p.Y, a.y)
		p.Demand = append(p.Demand, int32(a.demand))
		p.Early = append(p.Early, int32(a.ready*c.scale))
		p.Late = append(p.Late, int32(a.due*c.scale))
		p.Service = append(p.Service, int32(a.service*c.scale))
	}
	p.Dist = make([]int32, 0, n*n)
	for _, a := range in.places {
		for _, b := range in.places {
			d := math.Hypot(a.x-b.x, a.y-b.y) * c.scale
			if c.fewest {
				d = math.Ceil(d)
			}
			p.Dist = append(p.Dist, int32(math.Floor(d+1e-9)))
		}
	}
	p.Time = p.Dist
	return p
}

// known is a best known value.
type known struct {
	vehicles int // 0: free
	cost     float64
}

// bestKnown reads the published best value of a set; it is asked for only after
// solving.
func (c convention) bestKnown(name string) (known, error) {
	f, err := os.Open(filepath.Join(dataFolder(), "vrptw", "best-known.csv"))
	if err != nil {
		return known{}, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return known{}, err
	}
	for _, row := range rows {
		if row[0] != name || row[1] != c.name {
			continue
		}
		k := known{}
		k.vehicles, _ = strconv.Atoi(row[2])
		k.cost, err = strconv.ParseFloat(row[3], 64)
		return k, err
	}
	return known{}, fmt.Errorf("no best known value of %s in the %s convention", name, c.name)
}
